"""Verdicts on a circuit whose values are names: formulas are compared exactly, as fractions of polynomials."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from problems.answers import replies
from problems.answers.follow import carried, slips_behind
from problems.answers.found import slips_in, what_names_mean
from problems.answers.read import Readings, Statement, fitting
from problems.answers.tolerance import SHARE
from problems.answers.values import Values, only_names
from problems.answers.verdict import Sentence, Verdict
from problems.answers.vocabulary import label, labels
from problems.derivation.lesson import Lesson
from problems.derivation.reactive.transfer import alike
from problems.formulas.expression import Expression, keys
from problems.formulas.parser import Reading, Unreadable
from problems.formulas.printers import text
from problems.quantities import Quantity

Stated = Mapping[Quantity, Any]


def judge_formula(lesson: Lesson, statement: Statement, side: Readings, stated: Stated, in_attempt: bool) -> Verdict:
    """Right, right from own formulas, known, a wrong move, or wrong; without figures there is no slip of figures.

    side: the one of the statement's that is judged. stated: the learner's own formulas, right or not.
    """
    head = statement.head
    assert head is not None, "an equation is judged as one"
    meant = tuple(reading for reading in side if head not in keys(reading.expression))
    before = {key: value for key, value in stated.items() if key != head}
    own = what_names_mean(lesson, before)
    sign = statement.direction.sign if statement.direction else 1
    values = [(reading, _value(reading.expression, own, sign)) for reading in fitting(meant, head, lesson.netlist)]
    known = [(reading, value) for reading, value in values if value is not None]
    if not known:
        return replies.unreadable(Unreadable("formula-wanted", 0, {"label": label(head, lesson.netlist)}))
    for reading, value in known:
        if _same(value, lesson.values.get(head), reading, lesson):
            return _right(reading, head, lesson, in_attempt and stated.get(head) == value)
    for reading, value in known:
        verdict = _carried(value, reading, head, lesson, before) or _moved(
            _moves(value, head, reading, lesson), reading, value, head, lesson
        )
        if verdict is not None:
            return verdict
    shown = _shown(known[0][0], head, lesson)
    fields = {"statement": shown, "label": label(head, lesson.netlist)}
    return Verdict("wrong", (*_opening(head, lesson), Sentence("verdict.wrong", fields)), head, known[0][1])


def _carried(value: Any, reading: Reading, head: Quantity, lesson: Lesson, stated: Stated) -> Verdict | None:
    """Right from the learner's own formulas: by a law from them, or as a formula that is true in their names."""
    rests_on, law = slips_in(reading.expression, lesson, stated), None
    if not rests_on or _value(reading.expression, Values(lesson.values), 1) != lesson.values.get(head):
        way = next((way for way in carried(lesson, head, stated) if way.value == value), None)
        if way is None:
            return None
        rests_on, law = way.rests_on, way.law.key
    wrong = slips_behind(lesson, stated, rests_on)
    fields = {
        "statement": _shown(reading, head, lesson),
        "own": labels(rests_on, lesson.netlist),
        "again": labels(wrong, lesson.netlist),
    }
    reply = (Sentence("verdict.carried", fields),)
    return Verdict("right-carried", reply, head, value, law=law, carried=rests_on)


def _value(expression: Expression, env: Mapping[Any, Any], sign: int) -> Any:
    """The formula in part names alone; None where it has none."""
    try:
        value = sign * expression.at(env)
    except (ArithmeticError, KeyError, TypeError, ValueError):
        return None
    return None if isinstance(value, float | complex) else value


def _same(value: Any, wanted: Any, reading: Reading, lesson: Lesson) -> bool:
    """Whether a formula is the one wanted; with typed figures in it, every coefficient of s within 1 %."""
    if value == wanted:
        return True
    return lesson.is_in_s and wanted is not None and not only_names(reading.expression) and alike(value, wanted, SHARE)


def _moves(value: Any, head: Quantity, reading: Reading, lesson: Lesson) -> list[Any]:
    """Wrong moves, one of each cause, that give this formula."""
    moves = reversed(lesson.wrong_moves(head))
    found = {move.key: move for move in moves if _same(value, move.exact, reading, lesson)}
    return list(reversed(found.values()))


def _opening(head: Quantity, lesson: Lesson) -> tuple[Sentence, Sentence]:
    return Sentence("verdict.not-yet"), replies.goal(head, lesson)


def _shown(reading: Reading, head: Quantity, lesson: Lesson) -> str:
    right = text(reading.expression, lambda key: label(key, lesson.netlist))
    return f"{label(head, lesson.netlist)} = {right}"


def _right(reading: Reading, head: Quantity, lesson: Lesson, is_known: bool) -> Verdict:
    if is_known:
        return Verdict("known", (Sentence("verdict.known", {"statement": _shown(reading, head, lesson)}),), head)
    law = lesson.own_law(head)
    start = Sentence("verdict.right", {"statement": _shown(reading, head, lesson), "flow": ""})
    return Verdict("right", (start, *replies.why(law)), head, law=law.key if law else None)


def _moved(moves: list[Any], reading: Reading, value: Any, head: Quantity, lesson: Lesson) -> Verdict | None:
    if not moves:
        return None
    if len(moves) == 1:
        told = Sentence("verdict.move", {"means": moves[0].why, "ask": moves[0].ask})
        return Verdict("wrong-move", (*_opening(head, lesson), told), head, value, wrong_move=moves[0].key)
    shown = text(reading.expression, lambda key: label(key, lesson.netlist))
    fields = {"first": moves[0].name, "second": moves[1].name, "value": shown}
    return Verdict("unclear", (*_opening(head, lesson), Sentence("verdict.unclear", fields)), head, value)
