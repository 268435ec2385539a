"""Every family: the right is right however it is written, the wrong is named or asked about."""

from __future__ import annotations

from fractions import Fraction

import pytest
from family_checks import OF_ANSWERS, Check, complaints
from resistive_families import resistive_families

from problems import family

NAMES = [f.name for f in resistive_families()]
SEEDS = 3
"""The variants judged here; ``tests/bench/bench_family_checks.py`` judges two hundred of each family."""


@pytest.mark.parametrize("check", OF_ANSWERS, ids=lambda check: check.__name__)
@pytest.mark.parametrize("name", NAMES)
def test_every_problem(name: str, check: Check) -> None:
    assert complaints(check, name, SEEDS) == []


HALF_TURNED = {"Vin": "1 V", "Ri": "10k", "Rf": "20k", "Rp": "10k", "k": "0.6"}


@pytest.mark.parametrize(
    ("quantity", "text", "stated", "kind"),
    [
        pytest.param("I_Rf", "50 uA", {"I_Ri": "50 uA"}, "right-carried", id="one law from what was stated"),
        pytest.param("V_out", "-0.4 V", {"I_Rf": "50 uA"}, "right-carried", id="the other quantity not stated at all"),
        pytest.param("V_out", "-0.5 V", {"V_3": "0.5 V"}, "right-carried", id="several steps on, none of them stated"),
        pytest.param("V_out", "-2 V", {"V_2": "0 V"}, "wrong-move", id="a slip of 0 that takes a term away"),
        pytest.param("V_out", "-0.2 V", {"I_Rf": "50 uA"}, "right", id="right goes before carried"),
    ],
)
def test_a_value_that_follows_from_an_earlier_slip_is_recognised(
    quantity: str, text: str, stated: dict[str, str], kind: str
) -> None:
    problem = family("adjustable-polarity").problem(values=HALF_TURNED)
    assert problem.check(quantity, text, stated=stated).kind == kind


@pytest.mark.parametrize(
    ("equation", "law"),
    [
        ("(Vin - V_2)/Ri = (V_2 - V_out)/Rf", "same-current"),
        ("V_2 - V_out = I_Rf*Rf", "hop"),
    ],
)
def test_the_law_that_an_equation_states_is_named_back(equation: str, law: str) -> None:
    verdict = family("adjustable-polarity").problem(values=HALF_TURNED).check("V_out", equation)
    assert (verdict.kind, verdict.law) == ("right", law)


def test_earlier_values_may_be_numbers_as_an_attempt_has_them() -> None:
    problem = family("adjustable-polarity").problem(values=HALF_TURNED)
    attempt, _ = problem.begin().state("I_Ri = 40 uA")
    assert problem.check("I_Rf", "40 uA", stated=attempt.stated).kind == "right"
    assert problem.check("I_Rf", "50 uA", stated={"I_Ri": Fraction(1, 20000)}).kind == "right-carried"
    assert problem.check("I_Rf", "40 uA", stated={"I_Ri": None, "V_9": "1 V", "V_2": "?"}).kind == "right"
