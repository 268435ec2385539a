"""Names of parts and nodes: which will do, and that none of them means anything else here."""

from __future__ import annotations

import pytest

from problems import Circuit, OpAmp, Potentiometer, Resistor, VoltageSource, ask
from problems.circuits.netlist import BadName, BadSetting, Netlist
from problems.problem import UnknownValue


@pytest.mark.parametrize("name", ["", "R 1", "R1,2", "R\x1b[31m", "R\u202e1", "R" * 41])
def test_a_part_whose_name_could_not_be_asked_for_is_refused(name: str) -> None:
    with pytest.raises(BadName) as caught:
        Netlist([Resistor(name, "a", "0", "1k")])
    assert str(caught.value).isprintable()


def test_a_node_whose_name_could_not_be_asked_for_is_refused() -> None:
    with pytest.raises(BadName, match="blanks"):
        Netlist([Resistor("R1", "a b", "0", "1k")])


def test_names_that_mean_something_elsewhere_are_ordinary_names_here() -> None:
    circuit = Circuit(
        [
            VoltageSource("s", "in", "0", "1 V"),
            Resistor("k", "in", "a", "1k"),
            Resistor("j", "a", "pi", "2k"),
            OpAmp("U1", plus="0", minus="a", out="pi"),
        ]
    )
    problem = ask(circuit, "V_pi")
    assert problem.check("V_pi", "-s*j/k").kind == "right"
    assert problem.check("I_j", "s/k").kind == "right"
    assert not problem.check("V_pi", "-2*pi*1 V").right


@pytest.mark.parametrize("setting", ["-0.1", "1.5"])
def test_a_wiper_beyond_its_track_is_refused(setting: str) -> None:
    with pytest.raises(BadSetting, match="from 0"):
        Circuit([Potentiometer("Rp", "a", "0", wiper="w", value="1k", setting=setting)])
    with pytest.raises(BadSetting, match="from 0"):
        Circuit([Potentiometer("Rp", "a", "0", wiper="w", value="1k")]).with_values({"k": setting})


def test_a_value_for_nothing_in_the_drawing_is_refused_by_name() -> None:
    with pytest.raises(UnknownValue, match="'R7'"):
        Circuit.from_drawing("Vin o--[R1]--GND", {"Vin": "1 V", "R1": "1k", "R7": "1k"})
