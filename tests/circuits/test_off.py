"""Circuits with one source on: what becomes of the others, and when one source is split."""

from __future__ import annotations

import pytest

from problems.circuits.netlist import Netlist
from problems.circuits.off import OneOn, alone, contributions, split
from problems.circuits.parts import Part
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource
from problems.quantities import GROUND, current, voltage

STAGE: tuple[Part, ...] = (Resistor("Rf", "n", "out", "10k"), OpAmp("U1", plus="p", minus="n", out="out"))


def ends(netlist: Netlist) -> dict[str, tuple[str, ...]]:
    return {part.name: part.nodes for part in netlist.parts}


def test_a_voltage_source_off_is_a_wire_and_a_current_source_off_is_gone() -> None:
    whole = Netlist(
        [
            VoltageSource("V1", "a", GROUND, "1 V"),
            VoltageSource("V2", "b", "c", "2 V"),
            CurrentSource("I1", GROUND, "c", "1 mA"),
            Resistor("R1", "a", "b", "1k"),
            Resistor("R2", "c", GROUND, "1k"),
        ]
    )
    assert ends(alone(whole, "V1")) == {"V1": ("a", "0"), "R1": ("a", "b"), "R2": ("b", "0")}
    assert ends(alone(whole, "V2")) == {"V2": ("b", "c"), "R1": ("0", "b"), "R2": ("c", "0")}
    assert ends(alone(whole, "I1")) == {"I1": ("0", "b"), "R1": ("0", "b"), "R2": ("b", "0")}
    assert alone(whole, "V1").into == {"0": "0", "a": "a", "b": "b", "c": "b"}


@pytest.mark.parametrize(
    ("parts", "tags"),
    [
        pytest.param(
            [VoltageSource("V", "a", "0", "1"), Resistor("Ri", "a", "n", "1k"), Resistor("Rp", "a", "p", "1k")],
            ("V:Ri", "V:Rp"),
            id="a part to each input",
        ),
        pytest.param(
            [VoltageSource("V", "0", "a", "1"), Resistor("Ri", "a", "n", "1k"), Resistor("Rp", "a", "p", "1k")],
            ("V:Ri", "V:Rp"),
            id="held from below",
        ),
        pytest.param(
            [VoltageSource("V", "p", "0", "1"), Resistor("Ri", "p", "n", "1k")], ("V:Ri", "V:3"), id="an input on it"
        ),
        pytest.param(
            [VoltageSource("V", "a", "0", "1"), Resistor("Ri", "a", "n", "1k"), Resistor("Rp", "p", "0", "1k")],
            ("V",),
            id="one input alone",
        ),
        pytest.param(
            [VoltageSource("V", "a", "b", "1"), Resistor("Ri", "a", "n", "1k"), Resistor("Rp", "b", "p", "1k")],
            ("V",),
            id="a source that does not stand on ground",
        ),
        pytest.param(
            [
                VoltageSource("V", "a", "0", "1"),
                VoltageSource("W", "b", "0", "1"),
                Resistor("Ri", "a", "n", "1k"),
                Resistor("Rp", "a", "p", "1k"),
                Resistor("Rq", "b", "p", "1k"),
            ],
            ("V", "W"),
            id="two sources",
        ),
        pytest.param(
            [VoltageSource("V", "a", "0", "1"), Resistor("Rs", "a", "n", "1k"), Resistor("Rp", "n", "p", "1k")],
            ("V",),
            id="one part to both inputs",
        ),
    ],
)
def test_a_source_is_split_where_its_parts_lead_to_both_inputs(parts: list[Part], tags: tuple[str, ...]) -> None:
    assert contributions(Netlist([*parts, *STAGE])) == tags


def test_what_a_silent_copy_feeds_is_on_ground() -> None:
    whole = Netlist([VoltageSource("V", "p", "0", "1"), Resistor("Ri", "p", "n", "1k"), *STAGE])
    assert [feed.label for feed in split(whole)] == ["Ri", "3"]
    assert ends(alone(whole, "V:Ri"))["U1"] == ("0", "n", "out")
    assert ends(alone(whole, "V:Ri"))["Ri"] == ("p", "n")
    assert ends(alone(whole, "V:3"))["U1"] == ("p", "n", "out")
    assert ends(alone(whole, "V:3"))["Ri"] == ("0", "n")


def test_a_source_reaches_what_parts_and_op_amps_lead_to() -> None:
    whole = Netlist(
        [
            VoltageSource("V1", "a", "0", "1 V"),
            VoltageSource("V2", "b", "0", "1 V"),
            Resistor("R1", "a", "n", "1k"),
            Resistor("Rq", "b", "out", "1k"),
            Resistor("RL", "out", "0", "1k"),
            Resistor("Rf", "n", "out", "10k"),
            OpAmp("U1", plus="0", minus="n", out="out"),
        ]
    )
    first, second = alone(whole, "V1"), alone(whole, "V2")
    assert first.influenced == {"a", "n", "out"}
    assert second.influenced == {"b"}
    assert not second.reaches(voltage("out"))
    assert not second.reaches(current("RL"))
    assert second.reaches(current("U1"))


def test_other_values_keep_which_source_is_on() -> None:
    whole = Netlist([VoltageSource("V1", "a", "0", "1 V"), Resistor("R1", "a", "0", "1k")])
    changed = alone(whole, "V1").with_values({"R1": "2k"})
    assert isinstance(changed, OneOn)
    assert changed.tag == "V1"
    assert changed.off == ()
    assert changed.values["R1"] == 2000
