"""Verdicts on a circuit whose values are names: formulas are compared exactly, as fractions of polynomials."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from problems.answers import replies
from problems.answers.read import Statement, fitting
from problems.answers.verdict import Sentence, Verdict
from problems.answers.vocabulary import label
from problems.derivation.lesson import Lesson
from problems.formulas.expression import Expression, keys
from problems.formulas.parser import Reading, Unreadable
from problems.formulas.printers import text
from problems.quantities import Quantity


def judge_formula(lesson: Lesson, statement: Statement, stated: Collection[Quantity]) -> Verdict:
    """Right, known, a wrong move, or wrong; there is no follow-through, and no slip of figures, without figures.

    stated: what was stated rightly before in an attempt.
    """
    head = statement.head
    if head is None:
        return replies.unreadable(Unreadable("equation-in-names"))
    meant = tuple(reading for reading in statement.sides[-1] if head not in keys(reading.expression))
    found = fitting(meant, head, lesson.netlist)
    values = [(reading, _value(reading.expression, lesson)) for reading in found]
    known = [(reading, value) for reading, value in values if value is not None]
    if not known:
        return replies.unreadable(Unreadable("formula-wanted", 0, {"label": label(head, lesson.netlist)}))
    for reading, value in known:
        if value == lesson.values.get(head):
            return _right(reading, head, lesson, head in stated)
    for reading, value in known:
        moves = _moves(value, head, lesson)
        if moves:
            return _moved(moves, reading, head, lesson)
    shown = _shown(known[0][0], head, lesson)
    fields = {"statement": shown, "label": label(head, lesson.netlist)}
    return Verdict("wrong", (*_opening(head, lesson), Sentence("verdict.wrong", fields)), head)


def _value(expression: Expression, lesson: Lesson) -> Any:
    """The formula in part names alone; None where it has none."""
    try:
        value = expression.at(lesson.values)
    except (ArithmeticError, KeyError, TypeError, ValueError):
        return None
    return None if isinstance(value, float | complex) else value


def _moves(value: Any, head: Quantity, lesson: Lesson) -> list[Any]:
    """Wrong moves, one of each cause, that give exactly this formula."""
    found = {move.key: move for move in reversed(lesson.wrong_moves(head)) if move.exact == value}
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


def _moved(moves: list[Any], reading: Reading, head: Quantity, lesson: Lesson) -> Verdict:
    if len(moves) == 1:
        told = Sentence("verdict.move", {"means": moves[0].why, "ask": moves[0].ask})
        return Verdict("wrong-move", (*_opening(head, lesson), told), head, wrong_move=moves[0].key)
    value = text(reading.expression, lambda key: label(key, lesson.netlist))
    fields = {"first": moves[0].name, "second": moves[1].name, "value": value}
    return Verdict("unclear", (*_opening(head, lesson), Sentence("verdict.unclear", fields)), head)
