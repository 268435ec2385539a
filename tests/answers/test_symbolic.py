"""Answers on a circuit whose values are names."""

from __future__ import annotations

import pytest
from station_lesson import said

from problems import Circuit, ask
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
    pytest.param("V_out = -Vin/(Ri/Rf)", "right", id="nested fractions"),
    pytest.param("V_out = -Vin*(Ri||Rf)/Ri*(1 + Rf/Ri)", "right", id="with parallel resistors"),
    pytest.param("V_out Ri + Vin Rf = 0", "right", id="multiplied out"),
    pytest.param("V_out/Vin = -Rf/Ri", "right", id="a ratio of voltages"),
    pytest.param("(Vin - V_2)/Ri = (V_2 - V_out)/Rf", "right", id="an equation"),
    pytest.param("(Vin - V_2)/Ri = I_Ri = I_Rf = -V_out/Rf", "right", id="a chain"),
    pytest.param("(Vin - V_2)/Ri = (V_2 - V_out)/Ri", "wrong", id="a false equation"),
    pytest.param("V_out/Vin = -4", "wrong", id="a figure where a formula is wanted"),
    pytest.param("Vin - V_2 = I_Ri", "unit-wrong", id="an equation of unlike sides"),
    pytest.param("V_2 - V_2 = V_out - V_out", "unreadable", id="an equation true of anything"),
    pytest.param("V_out - 2 V_2 = V_out", "right", id="a zero in an equation"),
]


@pytest.mark.parametrize(("text", "kind"), CASES)
def test_a_formula_is_judged_as_a_formula(text: str, kind: str) -> None:
    verdict = said(LESSON, text)
    assert verdict.kind == kind, verdict.message
    assert verdict.message


def test_an_equation_in_names_has_its_law_named_and_is_known_when_it_comes_again() -> None:
    attempt = ask(Circuit(LESSON.netlist.parts), "V_out").begin()
    attempt, first = attempt.state("(Vin - V_2)/Ri = (V_2 - V_out)/Rf")
    assert (first.kind, first.law) == ("right", "same-current")
    assert attempt.state("(Vin - V_2) Rf = (V_2 - V_out) Ri")[1].kind == "known"


OWN = {"V_2": "Vin/2"}
FROM_OWN = [
    pytest.param("I_Ri = Vin/(2 Ri)", "right-carried", "ohm", id="what one law gives from it"),
    pytest.param("I_Ri = (Vin - V_2)/Ri", "right-carried", None, id="a true formula in its name"),
    pytest.param("I_Ri = Vin/Ri", "right", "ohm", id="the true formula is right all the same"),
    pytest.param("I_Ri = 3 Vin/Ri", "wrong", None, id="nothing that follows"),
]


@pytest.mark.parametrize(("text", "kind", "law"), FROM_OWN)
def test_own_wrong_formulas_are_followed(text: str, kind: str, law: str | None) -> None:
    verdict = ask(Circuit(LESSON.netlist.parts), "V_out").check("I_Ri", text, stated=OWN)
    assert verdict.kind == kind, verdict.message
    assert law is None or verdict.law == law


def test_a_slip_in_names_that_takes_a_term_away_earns_nothing() -> None:
    problem = ask(Circuit(LESSON.netlist.parts), "V_out")
    assert not problem.check("I_Ri", "0 A", stated={"V_2": "Vin"}).right


def test_an_attempt_in_names_keeps_a_wrong_formula_and_what_follows_from_it() -> None:
    attempt = ask(Circuit(LESSON.netlist.parts), "V_out").begin()
    attempt, wrong = attempt.state("V_2 = Vin/2")
    assert not wrong.right
    attempt, verdict = attempt.state("I_Ri = Vin/(2*Ri)")
    assert verdict.kind == "right-carried"
    assert [line.status for line in attempt.working] == ["not yet", "carried"]
    assert "come back to V_2" in verdict.message
