"""Where an attempt stands, for the next step: what is found, and what the student's own equations say."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import Any

from problems.answers.naming import base_of
from problems.answers.rows import Row, row_of, unit_row
from problems.answers.tolerance import close
from problems.answers.values import NoValue, Values, in_numbers, value_of
from problems.answers.verdict import Verdict
from problems.circuits.span import Span
from problems.derivation.guide import Standing
from problems.derivation.law import Law
from problems.derivation.laws.stated import laws_of
from problems.derivation.lesson import Lesson
from problems.formulas.expression import Name
from problems.quantities import Quantity


def standing(lesson: Lesson, settled: Collection[Quantity], verdicts: Iterable[Verdict]) -> Standing:
    """What is known after some verdicts. settled: the quantities found."""
    said = tuple(verdicts)
    equations = tuple(pair for verdict in said for pair in verdict.equations)
    if not equations:
        return Standing(settled)
    values = Values(lesson.values)
    own = tuple(law for law in laws_of(equations, lesson.netlist.names) if _gives(law, values))
    return Standing(settled, own, _Said(lesson, settled, [row for verdict in said for row in verdict.rows]))


def _gives(law: Law, values: Values) -> bool:
    """Whether a law comes out at the right value: an equation that divides by a 0 gives none."""
    try:
        return close(value_of(law.relation, values), values[law.head])
    except (NoValue, KeyError):
        return False


class _Said:
    """Whether a law follows from what was stated as values and equations."""

    def __init__(self, lesson: Lesson, settled: Collection[Quantity], rows: list[Row]):
        self._lesson = lesson
        self._settled, self._rows = settled, rows
        self._span: Span[Any] | None = None

    def __call__(self, law: Law) -> bool:
        numbered = in_numbers(self._lesson)
        if self._span is None:
            known = (unit_row(quantity) for quantity in self._settled)
            self._span = Span([*base_of(numbered), *known, *self._rows], min)
        row = row_of(Name(law.head) - law.relation, Values(numbered.values))
        return row is not None and not self._span.rest(row)
