"""Answers in Laplace's s: formulas compared exactly, with room of 1 % in each coefficient where figures are typed."""

from __future__ import annotations

import pytest
from filters import filter_circuit

from problems.problem import ask

PROBLEM = ask(filter_circuit("low-pass"), "V_out")


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("-(Rf/R1)*Vin/(1 + s*Rf*Cf)", True),
        ("-Vin/R1*(Rf || (1/(s*Cf)))", True),
        ("-4.68/(1+0.00022s)", True),
        ("-4.68 V/(1 + s*220us)", True),
        ("-4.68/(1 + s/4545)", True),
        ("-4.68/(1 + 0.000223 s)", False),
        ("-4.75/(1 + 0.00022 s)", False),
        ("-4.68/(1 + 0.00022 s)^2", False),
        ("-(Rf/R1)*Vin/(1 + s*R1*Cf)", False),
    ],
)
def test_a_formula_in_s(text: str, right: bool) -> None:
    assert PROBLEM.check("V_out", text).right is right


def test_a_circuit_of_names_is_answered_in_names() -> None:
    problem = ask(filter_circuit("integrator").with_values({}), "V_out")
    assert problem.check("V_out", "-Vin/(s*R*Cf)").right


@pytest.mark.parametrize(
    ("name", "text", "kind"),
    [
        ("f_c", "723 Hz", "right"),
        ("f_c", "1/(2*pi*Rf*Cf)", "right"),
        ("f_c", "220 us", "unit-wrong"),
        ("gain(f=0)", "-Rf/R1", "right"),
        ("gain(f=0)", "0", "wrong-move"),
        ("V_out(f=inf)", "0 V", "right"),
        ("R_seen", "22 kohm", "right"),
        ("R_seen", "4.7 kohm", "wrong-move"),
        ("tau", "220 us", "right"),
    ],
)
def test_what_is_a_number_is_judged_as_one(name: str, text: str, kind: str) -> None:
    assert PROBLEM.check(name, text).kind == kind


@pytest.mark.parametrize(
    ("text", "move"),
    [
        ("-3.34 V", "growth-for-decay"),
        ("-4.27 V", "exponent-upside-down"),
        ("-1.71 V", "start-ignored"),
    ],
)
def test_an_instant_after_a_step(text: str, move: str) -> None:
    problem = ask(filter_circuit("low-pass", {"t": "0.1 ms", "V_Cf(0)": "1 V"}), "V_out")
    assert problem.check("V_out", "-2.34 V").right
    assert problem.check("tau", "220 us").right
    assert problem.check("V_out(0)", "-1 V").right
    assert problem.check("V_out", text).wrong_move == move
