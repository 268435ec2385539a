"""Good drawings give their circuits, whatever the look; any other text gives a DrawingError and nothing else."""

from __future__ import annotations

import unicodedata

import pytest
from drawing_tools import mirrored, renamed
from drawings import GOOD, Drawn
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from problems.circuits.drawing import Drawing, DrawingError, read_drawing
from problems.circuits.netlist import Netlist
from problems.circuits.parts.opamp import OpAmp
from problems.formulas.spelling import DASHES


def nodes(drawing: Drawing, driven: tuple[str, ...], package: str = "single") -> dict[str, tuple[str, ...]]:
    return {part.name: part.nodes for part in drawing.parts(dict.fromkeys(driven), package)}


def joined(drawing: Drawing) -> set[frozenset[str]]:
    """Which terminals meet, without order of ends: what a mirror must not change."""
    nets: dict[str, set[str]] = {}
    for part in drawing.parts({}):
        for index, node in enumerate(part.nodes):
            end = f".{index}" if isinstance(part, OpAmp) or len(part.nodes) == 3 else ""
            nets.setdefault(node, set()).add(part.name + end)
    return {frozenset(met) for met in nets.values()}


@pytest.mark.parametrize("drawn", GOOD.values(), ids=GOOD)
def test_a_good_drawing_gives_its_circuit(drawn: Drawn) -> None:
    assert nodes(read_drawing(drawn.text), drawn.driven) == drawn.parts


@pytest.mark.parametrize("drawn", GOOD.values(), ids=GOOD)
def test_indent_line_ends_and_trailing_blanks_do_not_matter(drawn: Drawn) -> None:
    for indent in ("", "       ", "\t", "\t\t  "):
        lines = [indent + line + "  " for line in drawn.text.split("\n")]
        assert nodes(read_drawing("\r\n".join(lines)), drawn.driven) == drawn.parts


@pytest.mark.parametrize("dash", [dash for dash in DASHES if unicodedata.east_asian_width(dash) != "W"])
def test_a_wire_may_be_drawn_with_any_dash(dash: str) -> None:
    drawn = GOOD[next(iter(GOOD))]
    assert nodes(read_drawing(drawn.text.replace("-", dash)), drawn.driven) == drawn.parts


@pytest.mark.parametrize("drawn", GOOD.values(), ids=GOOD)
def test_in_a_mirror_the_same_ends_meet(drawn: Drawn) -> None:
    """A lying potentiometer's top becomes its bottom, so ends are compared by part."""
    there, back = read_drawing(mirrored(drawn.text)), read_drawing(mirrored(mirrored(drawn.text)))
    assert nodes(back, drawn.driven) == drawn.parts
    flat = {frozenset(end.partition(".")[0] for end in met) for met in joined(read_drawing(drawn.text))}
    assert {frozenset(end.partition(".")[0] for end in met) for met in joined(there)} == flat


def test_renamed_parts_keep_their_places() -> None:
    drawn = GOOD["adjustable polarity"]
    read = read_drawing(renamed(drawn.text, {"Ri": "R7", "Vin": "Vs", "Rp": "R8"}))
    expected = {"Vs": ("s", "0"), "R7": ("s", "2"), "Rf": ("2", "out"), "R8": ("s", "0", "3"), "U1": ("3", "2", "out")}
    assert nodes(read, ("Vs",)) == expected


def test_op_amps_of_a_dual_package_take_its_pin_numbers_by_name() -> None:
    read = read_drawing(GOOD["instrumentation amplifier"].text)
    found = nodes(read, ("Va", "Vb"), "dual")
    assert found["U1"] == ("a", "U1.2", "U1.1")
    assert found["U2"] == ("b", "U2.6", "U2.7")


def test_what_a_box_says_is_the_value_unless_another_is_given() -> None:
    read = read_drawing(" Vin o--[R1 10k]--+--[R2=4k7]--GND\n                  o\n                  Vx")
    assert Netlist(read.parts({})).values == {"R1": 10_000, "R2": 4_700}
    given_too = Netlist(read.parts({"R1": "22k", "Vin": "1 V"}), {"R1": "22k", "Vin": "1 V"})
    assert given_too.values == {"Vin": 1, "R1": 22_000, "R2": 4_700}


def test_a_potentiometer_takes_the_setting_that_is_given() -> None:
    read = read_drawing(GOOD["a rheostat"].text)
    assert Netlist(read.parts({"k": "0.6"})).values["k"] * 5 == 3


def test_only_terminals_with_a_value_are_driven() -> None:
    read = read_drawing(GOOD["as tight as can be"].text)
    assert read.terminal_names == ("Vin", "Vout")
    assert "Vin" not in nodes(read, ())
    assert nodes(read, ("Vout",))["Vout"] == ("out", "0")


def test_nets_without_names_are_numbered_past_the_names_in_use() -> None:
    read = read_drawing("n1 o--[R1]--GND  GND--[R2]--+--[R3]--GND")
    assert set(nodes(read, ()).values()) == {("n1", "0"), ("0", "n2"), ("n2", "0")}


MUTATIONS = st.tuples(
    st.sampled_from(["delete", "insert", "replace", "swap lines", "drop line", "cut"]),
    st.integers(0, 2000),
    st.sampled_from(
        [*" -|+*o<>^v[]()\\/=GNDRVU1k.─│┼●┐└├◂╲\t\u202e\u0301\x1b中é\r\n\u2028\ud800", "--", "GND", "[R9 10k]"]
    ),
)


def mutated(text: str, how: str, place: int, new: str) -> str:
    lines, at = text.split("\n"), place % (len(text) + 1)
    if how in {"swap lines", "drop line"} and len(lines) > 1:
        row = place % (len(lines) - 1)
        lines[row : row + 2] = lines[row : row + 2][::-1] if how == "swap lines" else lines[row + 1 : row + 2]
        return "\n".join(lines)
    if how == "cut":
        return text[:at]
    return text[:at] + ("" if how == "delete" else new) + text[at + (how != "insert") :]


@settings(max_examples=400, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(sorted(GOOD)), st.lists(MUTATIONS, min_size=1, max_size=4))
def test_a_spoilt_drawing_is_read_or_refused_with_every_place(name: str, mutations: list[tuple[str, int, str]]) -> None:
    text = GOOD[name].text
    for mutation in mutations:
        text = mutated(text, *mutation)
    check(text)


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=300) | st.text(" -|+o<>[]()\\/GNDR1v^\n", max_size=300))
@example("")
@example("\x00")
@example("[" * 5000)
@example("+" * 390 + "\n" + "|" * 390)
def test_any_text_is_read_or_refused(text: str) -> None:
    check(text)


def check(text: str) -> None:
    """Read it, or see that the refusal is whole: places from 1, safe to print, a remedy for each fault."""
    refusal: DrawingError | None = None
    try:
        read = read_drawing(text)
    except DrawingError as error:
        refusal = error
    if refusal is None:
        Netlist(read.parts(dict.fromkeys(read.terminal_names)), drawing=read)
        return
    assert refusal.faults
    assert all(fault.row >= 1 and fault.column >= 1 and fault.problem and fault.remedy for fault in refusal.faults)
    assert f"row {refusal.faults[0].row}, column {refusal.faults[0].column}" in str(refusal)
    assert all(character == "\n" or character.isprintable() for character in str(refusal))
    str(refusal).encode("utf-8")
