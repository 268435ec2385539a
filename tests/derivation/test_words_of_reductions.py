"""Sentences of laws that hold in a reduced circuit: none says that nothing draws current where something hangs."""

from __future__ import annotations

import pytest

from problems import Family, families, family
from problems.derivation.condition import live_ends


def reasons(name: str) -> dict[str, str]:
    problem = family(name).problem(seed=3)
    return {step.quantity: step.why for step in problem.lesson.walk(problem.targets)}


def test_a_ladder_is_told_by_what_carries_current() -> None:
    why = reasons("ladder")
    assert why["V_a"] == "At Va nothing but R1 and R_G* carries current, so the voltage divides over R1 and R_G*."
    assert why["R_F*"] == "R_F* is R3 and R_E* in line: at Vb nothing but R3 and R_E* carries current."
    assert why["R_D*"] == "R_D* is R5 and R6 in line: nothing draws current at Vc."
    assert why["V_c"] == "No current is drawn at Vc, so the voltage divides over R5 and R6."


@pytest.mark.parametrize("known", families(), ids=lambda known: known.name)
def test_where_more_than_two_meet_no_sentence_says_that_nothing_draws(known: Family) -> None:
    problem = known.problem(seed=3)
    view = problem.lesson.laws.view
    for step in problem.lesson.walk(problem.targets) if problem.method == "laws" else ():
        if step.law in ("divider", "series"):
            loaded = any(len(live_ends(view, node)) > 2 for node in step.place.nodes)
            assert loaded == ("nothing but" in step.why), step.why
            assert loaded == ("Nothing " not in step.hints[1]), step.hints[1]
