"""Answers on a circuit whose values are names."""

from __future__ import annotations

import pytest
from station_lesson import said

from problems.circuits.netlist import Netlist
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource
from problems.derivation.lesson import Lesson

LESSON = Lesson.of(
    Netlist(
        [
            VoltageSource("Vin", "in", "0"),
            Resistor("Ri", "in", "2"),
            Resistor("Rf", "2", "out"),
            OpAmp("U1", plus="0", minus="2", out="out"),
        ]
    )
)

CASES = [
    pytest.param("V_out = -Rf/Ri*Vin", "right", id="the gain"),
    pytest.param("V_out = -Vin Rf/Ri", "right", id="the same in another order"),
    pytest.param("V_out = -I_Ri*Rf", "right", id="by another quantity"),
    pytest.param("V_2 = 0 V", "right", id="a virtual ground"),
    pytest.param("V_out = -Ri/Rf*Vin", "wrong-move", id="the ratio upside down"),
    pytest.param("V_out = Vin + Vin + Vin", "wrong", id="nothing known"),
    pytest.param("V_out = 3 V + Ri", "unreadable", id="unlike things"),
    pytest.param("V_out = sqrt(2)", "unreadable", id="a number where a formula is wanted"),
    pytest.param("(Vin - V_2)/Ri = (V_2 - V_out)/Rf", "unreadable", id="an equation"),
]


@pytest.mark.parametrize(("text", "kind"), CASES)
def test_a_formula_is_judged_as_a_formula(text: str, kind: str) -> None:
    verdict = said(LESSON, text)
    assert verdict.kind == kind, verdict.message
    assert verdict.message
