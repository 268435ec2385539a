"""What marking should do, item by item, as reference levels for tutors of circuits have it; where the house rule
differs, the test says how and why.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from station_lesson import balanced, quantity, said, vane

from problems import Circuit, ask, families, family
from problems.answers.tolerance import SHARE, close
from problems.formulas.printers import engineering, rounded


@pytest.mark.parametrize("size", [Fraction(1), Fraction(1005, 1000), Fraction(9995, 10), Fraction(31, 1000)])
def test_36_the_limit_itself_is_right_and_so_is_any_proper_rounding_to_three_figures(size: Fraction) -> None:
    """Half a unit of the third figure is at most 0.5 % of a value, so the 1 % of the house rule takes it in."""
    assert close(size * (1 + SHARE), size)
    assert close(size * (1 - SHARE), size)
    assert not close(size * (1 + SHARE) + Fraction(1, 10**12), size)
    assert close(rounded(size, 3), size)


def test_36_near_zero_there_is_a_floor_only_where_terms_cancel() -> None:
    """The house rule is narrower than 1 % of the largest node voltage: 0.5 %, and none where a law gives 0, since there
    a value near 0 says that the law was not seen."""
    assert said(balanced(), "V_out = 4 mV").right
    assert not said(balanced(), "V_out = 5 mV").right
    assert not said(vane(k="0"), "V_3 = 1 uV").right


def test_37_three_figure_working_ends_right_and_two_figure_working_is_carried() -> None:
    assert said(vane(), "I_Rf = -17.4 uA", I_Ri="29.3e-6", I_Rg="46.7e-6").kind == "right"
    two = {"I_Ri": "29e-6", "I_Rg": "47e-6"}
    assert said(vane(), "I_Rf = -18 uA", **two).kind == "right-carried"
    assert not said(vane(), "I_Rf = -18 uA").right


@pytest.mark.parametrize("name", [each.name for each in families()][::3])
def test_38_no_wrong_move_passes_as_right(name: str) -> None:
    """Every kept draw has the right value of each step at least twice the tolerance from every wrong one."""
    for seed in range(8):
        problem = family(name).problem(seed=seed)
        for step in problem.steps:
            right = problem.lesson.values[step.target]
            for move in step.wrong_moves:
                if right and isinstance(move.exact, Fraction) and isinstance(right, Fraction):
                    assert abs(move.exact - right) > SHARE * abs(right), (name, seed, step.quantity, move.key)


def test_39_a_carried_value_earns_its_method_mark_and_no_more() -> None:
    attempt = ask(Circuit(vane().netlist.parts), "I_Ri").begin()
    attempt, _ = attempt.state("V_2 = 0.5 V")
    attempt, verdict = attempt.state("I_Ri = 36.6 uA")
    assert verdict.kind == "right-carried"
    assert [line.status for line in attempt.working] == ["not yet", "carried"]
    assert not attempt.done


def test_40_a_missing_unit_is_told_once_and_a_wrong_one_is_refused() -> None:
    attempt = ask(Circuit(vane().netlist.parts), "V_3").begin()
    attempt, missing = attempt.state("0.56")
    _, again = attempt.state("V_3 = 0.56 V")
    assert (missing.kind, again.kind) == ("unit-missing", "known")
    assert said(vane(), "V_3 = 0.56 A").kind == "unit-wrong"


@pytest.mark.parametrize("text", ["1.13 V", "1.134 V", "1.1341463 V", "1.134146341463414634 V"])
def test_41_figures_more_or_fewer_are_no_fault_within_the_tolerance(text: str) -> None:
    verdict = said(vane(), f"V_out = {text}")
    assert verdict.kind == "right"
    assert "figures" not in verdict.message


def test_42_a_negative_value_is_a_direction_and_the_arrow_settles_it() -> None:
    along, against = said(vane(), "I_Rf = -17.4 uA"), said(vane(), "I_Rf = 17.4 uA")
    assert along.right
    assert "from node out to pin 2" in along.message
    assert not against.right
    assert not against.costs_a_try
    assert said(vane(), "I_Rf = 17.4 uA from node out to pin 2").right


CARRIED = [
    pytest.param("I_Ri = 36.6 uA", {"V_2": "0.5"}, True, id="recomputed from the own value"),
    pytest.param("I_Ri = 97.6 uA", {"V_2": "0"}, False, id="a 0 takes a term away"),
    pytest.param("I_Ri = 0 A", {"V_2": "0.8"}, False, id="a value equal to another known one"),
    pytest.param("I_Rf = -22.7 uA", {"V_2": "0.5", "V_out": "1.25"}, True, id="in another order, backwards"),
]


@pytest.mark.parametrize(("text", "stated", "counts"), CARRIED)
def test_43_follow_through_counts_unless_the_slip_removes_a_term(
    text: str, stated: dict[str, str], counts: bool
) -> None:
    assert said(vane(), text, **stated).right is counts


def test_43_follow_through_works_along_the_whole_walk() -> None:
    """The first value is a slip; each later one is worked out from the values written before it."""
    lesson, env = vane(), {**vane().symbols, **vane().given_values}
    problem = ask(Circuit(lesson.netlist.parts), "V_out")
    attempt = problem.begin()
    for number, step in enumerate(problem.steps):
        value = step.rule.relation.at(env) * (Fraction(11, 10) if number == 0 else 1)
        env[step.target] = rounded(value, 4)
        attempt, verdict = attempt.state(f"{step.label} = {engineering(env[step.target], step.unit, 4)}")
        assert verdict.right is (number > 0), (step.quantity, verdict.message)
    assert attempt.values[quantity(lesson, "V_out")] == env[quantity(lesson, "V_out")]
