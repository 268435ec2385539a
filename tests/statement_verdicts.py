"""What the engine says of a generated statement, and whether that agrees with the float solver."""

from __future__ import annotations

from generated_statements import Case

from problems.answers.judge import OUTSIDE_ATTEMPT, judge
from problems.answers.verdict import Verdict


def judged(case: Case) -> Verdict:
    """The verdict on a statement by itself: nothing was stated before."""
    names = case.lesson.netlist.names
    asked = names.read(case.asked) if case.asked else None
    return judge(case.lesson, case.text, asked, {}, () if case.in_attempt else OUTSIDE_ATTEMPT)


def is_mistaken(case: Case, verdict: Verdict) -> bool:
    """A true statement must be right or known; a false one neither, nor right but for its unit."""
    if case.is_true:
        return not verdict.right
    return verdict.right or verdict.kind == "unit-missing"
