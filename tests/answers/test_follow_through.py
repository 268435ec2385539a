"""Right from the learner's own earlier values, and when that is withheld."""

from __future__ import annotations

from fractions import Fraction

import pytest
from station_lesson import balanced, inverter, quantity, said, vane

CARRIED = [
    pytest.param("I_Ri = 36.6 uA", {"V_2": "0.5"}, "ohm", id="Ohm's law from a wrong voltage"),
    pytest.param("I_Ri = (0.8-0.5)/8.2k", {"V_2": "0.5"}, "ohm", id="the same as a sum"),
    pytest.param("I_Rf = 12 uA", {"I_Ri": "50e-6", "I_Rg": "38e-6"}, "kcl", id="KCL from two wrong currents"),
    pytest.param("I_Rf = 3.33 uA", {"I_Ri": "50e-6", "I_Rg": "46.7e-6"}, "kcl", id="KCL, one wrong and one right"),
    pytest.param("V_out = 1.3 V", {"V_2": "0.7", "I_Rf": "-18.18e-6"}, "hop", id="a hop from two wrong values"),
    pytest.param("V_2 = 0.5 V", {"V_3": "0.5"}, "equal-inputs", id="equal inputs from a wrong voltage"),
    pytest.param("I_Rf = -22.7 uA", {"V_2": "0.5", "V_out": "1.25"}, "ohm", id="backwards, from a wrong output"),
]


@pytest.mark.parametrize(("text", "stated", "law"), CARRIED)
def test_one_law_from_own_values_is_right_carried(text: str, stated: dict[str, str], law: str) -> None:
    verdict = said(vane(), text, **stated)
    assert (verdict.kind, verdict.law, verdict.right) == ("right-carried", law, True), verdict.message


def test_the_reply_names_the_value_to_come_back_to() -> None:
    verdict = said(vane(), "I_Ri = 36.6 uA", V_2="0.5")
    assert verdict.carried == (quantity(vane(), "V_2"),)
    assert "come back to V_2." in verdict.message


def test_the_right_value_is_right_whatever_was_stated() -> None:
    assert said(vane(), "I_Ri = 29.3 uA", V_2="0.5").kind == "right"


def test_working_rounded_at_every_step_is_carried() -> None:
    """Two figures throughout: 0.56, 29e-6, 47e-6, then −18 µA, 3.4 % from the right one."""
    verdict = said(vane(), "I_Rf = -18.2 uA", I_Ri="29.1e-6", I_Rg="47.3e-6")
    assert verdict.kind == "right-carried"


WITHHELD = [
    pytest.param("I_Ri = 97.6 uA", {"V_2": "0"}, id="a carried 0 took a term away"),
    pytest.param("I_Ri = 0 A", {"V_2": "0.8"}, id="the carried value made the result 0"),
    pytest.param("I_Rg = 0 A", {"V_2": "0"}, id="0 from 0"),
]


@pytest.mark.parametrize(("text", "stated"), WITHHELD)
def test_a_slip_that_makes_the_step_easier_earns_nothing(text: str, stated: dict[str, str]) -> None:
    assert said(vane(), text, **stated).kind != "right-carried"


def test_a_stated_zero_that_would_be_divided_by_is_no_follow_through() -> None:
    lesson = inverter()
    assert said(lesson, "V_in = 5 V", V_2="0.1", V_out="0").kind != "right-carried"


def test_a_quantity_does_not_follow_from_itself() -> None:
    assert said(vane(), "V_2 = 0.5 V", V_2="0.5").kind != "right-carried"


def test_values_far_off_are_not_needed_for_what_does_not_use_them() -> None:
    assert said(vane(), "V_3 = 0.24 V", V_out="7").kind == "wrong-move"


def test_a_wrong_move_from_own_values_is_named() -> None:
    """V_2 stated as 0.5 V; then the sum 0.8 + 0.5 over Ri instead of the difference."""
    verdict = said(vane(), "I_Ri = 158.5 uA", V_2="0.5")
    assert (verdict.kind, verdict.wrong_move) == ("wrong-move", "added-not-subtracted")


def test_true_zeros_do_not_withhold() -> None:
    """In the balanced circuit V_2 is right; the output's own 0 is no slip."""
    lesson = balanced()
    assert lesson.values[quantity(lesson, "V_out")] == Fraction(0)
    assert said(lesson, "I_Rf = 50 uA", I_Ri="50e-6").kind != "right"
    assert said(lesson, "I_Rf = 50 uA", I_Ri="50e-6").kind == "right-carried"


def test_of_several_carried_values_the_first_slip_is_the_one_to_come_back_to() -> None:
    verdict = said(vane(), "I_Rf = -9.19 uA", V_2="0.52", I_Ri="34.1463e-6", I_Rg="43.3333e-6")
    assert verdict.kind == "right-carried"
    assert verdict.message.endswith("come back to V_2.")


def test_what_follows_from_a_slip_that_takes_a_term_away_is_said_to_and_earns_nothing() -> None:
    verdict = said(vane(), "I_Rg = 0 A", V_2="0")
    assert not verdict.right
    assert "follows from your own V_2" in verdict.message


def test_a_name_stands_for_the_student_s_own_value() -> None:
    verdict = said(vane(), "V_2 = V_3", V_3="0.8")
    assert (verdict.kind, verdict.value) == ("right-carried", Fraction(4, 5))


def test_an_older_slip_excuses_no_error_in_a_step_whose_values_are_right() -> None:
    right = {"V_2": "0.56", "I_Ri": "29.27e-6", "I_Rg": "46.67e-6"}
    assert not said(vane(), "I_Rf = 17.4 uA", **right, V_3="0.24").right
    assert not said(vane(), "I_Rf = I_Ri + I_Rg", **right, V_3="0.24").right


IN_NAMES = [
    pytest.param("I_Ri = (Vin - V_2)/Ri", {"V_2": "0"}, id="whose value is 0"),
    pytest.param("V_out = V_2 - Rf*I_Rf", {"V_2": "0", "I_Rf": "10e-6"}, id="one of two of which is 0"),
    pytest.param("V_out = V_2*(1 + Rf/Ri + Rf/Rg) - Vin*Rf/Ri", {"V_2": "0.5"}, id="by several laws at once"),
]


@pytest.mark.parametrize(("text", "stated"), IN_NAMES)
def test_a_true_formula_in_names_counts_whatever_the_learner_s_values_in_it(text: str, stated: dict[str, str]) -> None:
    """Its terms are there to see: a value of 0 takes none of them away."""
    verdict = said(vane(), text, **stated)
    assert verdict.kind == "right-carried", verdict.message
    assert verdict.carried == tuple(quantity(vane(), name) for name in stated)


def test_a_false_formula_that_fits_only_through_own_values_is_told_so() -> None:
    verdict = said(vane(), "V_2 = V_3 + V_3", V_3="0.28")
    assert (verdict.kind, verdict.value) == ("unclear", None)
    assert "only through what you have for V_3" in verdict.message
    assert "so alike" not in verdict.message


def test_an_equation_with_typed_figures_follows_from_own_values_too() -> None:
    verdict = said(vane(), "8.2k*I_Ri = 0.8 V - 0.5 V", V_2="0.5")
    assert (verdict.kind, verdict.quantity) == ("right-carried", quantity(vane(), "I_Ri"))
    assert not said(vane(), "8.2k*I_Ri = 0.8 V - 0.4 V", V_2="0.5").right


def test_what_is_withheld_names_only_what_it_follows_from() -> None:
    verdict = said(vane(), "I_Ri = 97.6 uA", V_2="0", V_out="2.2", I_Rf="-66.7e-6", I_Rg="50e-6")
    assert "follows from your own V_2, but" in verdict.message
