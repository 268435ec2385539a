"""A drawing shown again says the same circuit, and everything asked of it."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from drawing_tools import mirrored
from drawings import GOOD

from problems.circuits.drawing import Drawing, Marks, legend, plain, read_drawing, render
from problems.circuits.netlist import Netlist

FAMILIES = Path(__file__).parents[3] / "content" / "families"
TEXTS = {name: drawn.text for name, drawn in GOOD.items()} | {
    path.stem: drawing
    for path in sorted(FAMILIES.glob("*.toml"))
    if (drawing := tomllib.loads(path.read_text("utf-8")).get("drawing"))
}
TEXTS |= {f"{name}, mirrored": mirrored(text) for name, text in TEXTS.items()}

each_drawing = pytest.mark.parametrize("text", TEXTS.values(), ids=TEXTS)
each_look = pytest.mark.parametrize("unicode", [True, False], ids=["box characters", "ascii"])


def circuit(text: str, package: str = "single") -> tuple[Drawing, Netlist]:
    drawing = read_drawing(text)
    driven = {name: None for name in drawing.terminal_names if name != "Vout"}
    return drawing, Netlist(drawing.parts(driven, package), package=package, drawing=drawing)


def everything(netlist: Netlist, text: str = "") -> Marks:
    return Marks(
        currents={branch.name: text for branch in netlist.branches},
        drops=frozenset(netlist.part_names) - set(netlist.held.values()),
        voltages={node: text for node in netlist.nodes if text and node != "0"},
    )


@each_look
@each_drawing
def test_shown_without_labels_it_reads_back_to_the_same_circuit(text: str, unicode: bool) -> None:
    drawing, netlist = circuit(text)
    rows = plain(render(drawing, netlist, unicode=unicode, values="none", pins=False))
    assert circuit("\n".join(rows))[1].parts == netlist.parts
    if not unicode:
        assert all(row.isascii() for row in rows) or not text.isascii()


@each_look
@each_drawing
def test_every_current_has_its_arrow_and_every_drop_its_signs(text: str, unicode: bool) -> None:
    drawing, netlist = circuit(text)
    marks = everything(netlist)
    rows = plain(render(drawing, netlist, marks, unicode, "none", pins=False))
    for branch in marks.currents:
        right, left, down, up = ("→", "←", "↓", "↑") if unicode else ("->", "<-", "v", "^")
        ways = (f"I_{branch} {right}", f"{left} I_{branch}", f"I_{branch} {down}", f"I_{branch} {up}")
        assert any(way in row for row in rows for way in ways), branch
    plus, minus = ("+", "−") if unicode else ("(+)", "(-)")
    bare = plain(render(drawing, netlist, unicode=unicode, values="none", pins=False))
    for sign in (plus, minus):
        assert "".join(rows).count(sign) - "".join(bare).count(sign) == len(marks.drops)


@each_drawing
def test_labels_leave_the_circuit_as_it_was(text: str) -> None:
    """With the labels blanked, stretched wires and all, the same circuit is read."""
    drawing, netlist = circuit(text)
    rows = render(drawing, netlist, everything(netlist, "−12.3 mV"), values="place", pins=False)
    named = {terminal.name for terminal in drawing.terminals} | {"GND"}
    bare = []
    for row in rows:
        spans = [(span.text, span.style) for span in row]
        label = [style == "known" or (style == "name" and not set(text.split()) & named) for text, style in spans]
        bare.append("".join(" " * len(t) if gone else t for (t, _), gone in zip(spans, label, strict=True)))
    assert circuit("\n".join(bare))[1].parts == netlist.parts


@each_drawing
def test_nothing_asked_is_lost_nor_wider_than_a_terminal(text: str) -> None:
    drawing, netlist = circuit(text)
    marks = everything(netlist, "−12.3 mV")
    rows = plain(render(drawing, netlist, marks, values="place"))
    assert "".join(rows).count("−12.3 mV") == len(marks.currents) + len(marks.voltages)
    assert max(map(len, rows)) <= max(80, *map(len, text.split("\n")))


def test_the_picture_of_an_adjustable_polarity_amplifier() -> None:
    drawing, netlist = circuit(GOOD["adjustable polarity"].text)
    marks = Marks(
        currents={"Ri": "29.3 µA", "Rf": ""}, drops=frozenset({"Rp"}), voltages={"3": "0.56 V", "in": "0.8 V"}
    )
    assert plain(render(drawing, netlist, marks)) == [
        "   0.8 V   I_Ri →       I_Rf →",
        " Vin o──┬───[Ri]────┬────[Rf]────┬──o Vout",
        "        │ 29.3 µA   │            │",
        "        │           │    │╲      │",
        "      + │           └───2│−╲     │",
        "       [Rp]◂───┐         │U1>6───┘",
        "      − │      └────────3│+╱",
        "       GND        0.56 V │╱",
    ]


def test_pin_numbers_follow_the_package_and_make_their_own_room() -> None:
    drawing, netlist = circuit(GOOD["joints right at the pins"].text, "quad")
    rows = plain(render(drawing, netlist))
    assert any("2│−╲" in row for row in rows)
    assert any("U1>1" in row for row in rows)
    assert any("3│+╱" in row for row in rows)


@pytest.mark.parametrize(
    ("marks", "lit"),
    [
        (Marks(parts=frozenset({"Ri"})), "[Ri]"),
        (Marks(pins=frozenset({"2"})), "2"),
        (Marks(pins=frozenset({"U1.3"})), "3"),
        (Marks(parts=frozenset({"U1"})), "│╲│−╲│U1>│+╱│╱"),
        (Marks(nets=frozenset({"3"})), "◂───┐└────────3"),
        (Marks(nets=frozenset({"0"})), "│GND"),
    ],
    ids=["a part", "a pin", "a pin by its full name", "an op-amp", "a net", "ground"],
)
def test_what_is_pointed_at_is_lit_and_nothing_else(marks: Marks, lit: str) -> None:
    drawing, netlist = circuit(GOOD["adjustable polarity"].text)
    shown = "".join(span.text for row in render(drawing, netlist, marks) for span in row if span.style == "lit")
    assert shown == lit


def test_values_are_written_in_place_or_told_by_the_legend() -> None:
    drawing = read_drawing(GOOD["adjustable polarity"].text)
    values = {"Vin": "0.8 V", "Ri": "8.2k", "Rf": "33k", "Rp": "20k", "k": "0.7"}
    netlist = Netlist(drawing.parts(values), values, drawing=drawing)
    assert legend(netlist, ascii_only=True) == ("Vin 0.8 V", "Ri 8.2 kohm", "Rf 33 kohm", "Rp 20 kohm", "k 0.7")
    assert "33\u2009kΩ" in "".join(plain(render(drawing, netlist, values="place")))
    assert "33" not in "".join(plain(render(drawing, netlist, values="legend")))
