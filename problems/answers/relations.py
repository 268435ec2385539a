"""Verdicts on equations: true ones in any form and order, and ``Q = …`` in quantities that are not found yet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from problems.answers import replies
from problems.answers.equations import Finding, examined
from problems.answers.found import right_of, unfound_in, what_names_mean
from problems.answers.read import Statement
from problems.answers.rows import Row
from problems.answers.values import NoValue, Values, only_names, value_of
from problems.answers.verdict import Sentence, Verdict
from problems.derivation.lesson import Lesson
from problems.formulas.expression import Expression, Name, Negative, keys
from problems.formulas.parser import Reading, Unreadable
from problems.quantities import Quantity

Stated = Mapping[Quantity, Fraction]


def judge_relation(statement: Statement, lesson: Lesson, stated: Stated, earlier: tuple[Row, ...] | None) -> Verdict:
    """``Q = …`` in quantities that are not found yet: judged as an equation, so that no value is given away."""
    head, side = statement.head, statement.sides[-1]
    assert head is not None, "an equation is judged as one"
    against = statement.direction is not None and statement.direction.sign < 0
    own: Expression = Negative(Name(head)) if against else Name(head)
    verdict = judge_equation(Statement(None, ((Reading(own),), side)), lesson, stated, earlier)
    if verdict.kind != "right":
        return verdict
    told = replies.unfound_reply(head, unfound_in(side, lesson, stated), lesson)
    return replace(verdict, sentences=(*verdict.sentences, told))


def judge_equation(statement: Statement, lesson: Lesson, stated: Stated, earlier: tuple[Row, ...] | None) -> Verdict:
    """The verdict on an equation, or on a chain of them. earlier: None outside an attempt. Raises NoValue."""
    findings = examined(statement.sides, lesson, right_of(lesson, stated), earlier or ())
    last = findings[-1]
    if last.kind == "true":
        return _true(findings, earlier is not None)
    if last.kind == "empty":
        return replies.unreadable(Unreadable("says-nothing"))
    if last.kind == "special":
        return Verdict("unclear", (Sentence("verdict.equation-special"),))
    if last.kind == "units":
        return Verdict("unit-wrong", (Sentence("verdict.not-yet"), Sentence("verdict.equation-units")))
    return Verdict("wrong", (Sentence("verdict.not-yet"), Sentence("verdict.equation-false")))


def _true(findings: tuple[Finding, ...], in_attempt: bool) -> Verdict:
    """The verdict on true equations: of several, the first that is new speaks."""
    if not any(keys(finding.equation.residual) for finding in findings):
        return replies.unreadable(Unreadable("no-quantity"))
    telling = [finding for finding in findings if finding.new] or [findings[0]]
    laws = tuple({id(finding.law): finding.law for finding in telling if finding.law}.values())
    rows = tuple(finding.row for finding in findings if finding.row)
    pairs = tuple((finding.equation.left, finding.equation.right) for finding in findings if finding.row)
    key = laws[0].key if laws else None
    if in_attempt and not telling[0].new:
        return Verdict("known", (Sentence("verdict.equation-known"),), law=key, rows=rows, equations=pairs)
    reply = (*replies.states(laws), *(line for law in laws for line in replies.why(law)))
    return Verdict("right", reply, law=key, rows=rows, equations=pairs)


def solved(statement: Statement, lesson: Lesson, stated: Stated) -> tuple[Quantity, Fraction] | None:
    """What an equation with typed figures gives for the one quantity in it that was not stated; names mean own values.

    None where none or several were not, where it is no linear equation in it, or where figures are only names.
    """
    if len(statement.sides) != 2 or not lesson.is_numeric:
        return None
    left, right = (side[0].expression for side in statement.sides)
    residual = left - right
    unknown = [key for key in keys(residual) if isinstance(key, Quantity) and key not in {*stated, *lesson.givens}]
    if len(unknown) != 1 or unknown[0].kind == "B" or only_names(residual):
        return None
    own = what_names_mean(lesson, stated)
    try:
        at = [value_of(residual, Values({**own, unknown[0]: Fraction(trial)})) for trial in (0, 1, 2)]
    except NoValue:
        return None
    slope = at[1] - at[0]
    return (unknown[0], -at[0] / slope) if slope and at[2] - at[1] == slope else None
