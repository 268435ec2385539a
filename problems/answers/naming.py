"""Which law a true equation states: the one that says the same as it, given what is given.

What the laws of a circuit say is worked out once for its values, and then only looked up.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from problems.answers.rows import Row, definitions, row_of, unit_row
from problems.answers.values import Values
from problems.answers.vocabulary import vocabulary
from problems.circuits.netlist import Netlist
from problems.circuits.span import Span
from problems.derivation.law import Law
from problems.derivation.laws.registry import law_kinds, laws_of
from problems.derivation.lawset import LawSet
from problems.derivation.lesson import Lesson
from problems.formulas.expression import Expression, Name, Number, Quotient, nodes
from problems.formulas.units import DIMENSIONS, dimension_of
from problems.quantities import Quantity

NODE = "node"
MEETINGS = ("same-current", "kcl")
"""Laws that say how currents meet at a node."""

Saying = frozenset[tuple[Quantity, Fraction]]
"""What a row says beyond a base, scaled so that equal sayings are equal."""


class _Book(NamedTuple):
    """base: what needs no law. laws: saying to the laws that say it. ohms: the base and every Ohm's law. meetings: what
    the laws of currents say beyond that.
    """

    base: Span[Quantity]
    laws: Mapping[Saying, tuple[Law, ...]]
    ohms: Span[Quantity]
    meetings: Mapping[Saying, tuple[Law, ...]]


def named_law(row: Row, equation: tuple[Expression, Expression], lesson: Lesson, method: str) -> Law | None:
    """The law that an equation states, in a lesson of numbers. method: the one by which the learner works.

    Ohm's law, a hop and a drop are one row: an equation with a current in it by name is told by how it is written. So
    is a node equation, all that leaves adding up to 0, from what comes in on one side and goes out on the other.
    """
    residual = equation[0] - equation[1]
    book = _book(lesson)
    divides = any(isinstance(node, Quotient) for node in nodes(residual))
    if divides and dimension_of(residual, vocabulary(lesson.netlist).dims) == DIMENSIONS["A"]:
        # currents written by Ohm's law: what is stated is how they meet
        if any(map(_is_zero, equation)) or laws_of(method) in law_kinds()[NODE].methods:
            written = [law for law in book.laws.get(_saying(row, book.base), ()) if law.key == NODE]
            if written:
                return written[0]
        meeting = book.meetings.get(_saying(row, book.ohms), ())
        if meeting:
            return meeting[0]
    found = (law for law in book.laws.get(_saying(row, book.base), ()) if law.head in row or {*law.tails} & {*row})
    return min(found, key=lambda law: _unlikely(law, divides, method), default=None)


def _is_zero(side: Expression) -> bool:
    return isinstance(side, Number) and not side.value


def _unlikely(law: Law, divides: bool, method: str) -> tuple[bool, bool, bool, float]:
    """Of laws that say the same, one of the method at hand is meant, and of these the one that looks like it."""
    elsewhere = laws_of(method) not in law_kinds()[law.key].methods
    return law.never_walked, elsewhere, (law.key == "hop") == divides, law.cost


def base_of(lesson: Lesson) -> list[Row]:
    """Rows of what is known before anything is stated, in a lesson of numbers."""
    # a resistance is known from the parts: what an equation says of it is no news
    resistances = [unit_row(law.head) for law in lesson.laws.defining if law.head.kind == "R"]
    return [*definitions(lesson.netlist, lesson.givens), *resistances]


def _saying(row: Row, span: Span[Quantity]) -> Saying:
    """Empty where the span says it already."""
    left = span.rest(row)
    first = left[min(left)] if left else Fraction(1)
    return frozenset((key, value / first) for key, value in left.items())


def _book(lesson: Lesson) -> _Book:
    return _kept(lesson.netlist, lesson.laws)


@lru_cache(maxsize=64)
def _kept(netlist: Netlist, laws: LawSet) -> _Book:
    lesson = Lesson(netlist, laws, {})
    values = Values(lesson.values)
    rows = [(law, row_of(Name(law.head) - law.relation, values)) for law in laws.laws if not law.given]
    stating = [(law, row) for law, row in rows if row is not None]
    base = Span(base_of(lesson), min)
    ohms = Span([*base_of(lesson), *(row for law, row in stating if law.key == "ohm")], min)
    meeting = [(law, row) for law, row in stating if law.key in MEETINGS]
    return _Book(base, _grouped(stating, base), ohms, _grouped(meeting, ohms))


def _grouped(stating: list[tuple[Law, Row]], span: Span[Quantity]) -> dict[Saying, tuple[Law, ...]]:
    """Laws by what they say; those that say nothing beyond the span are left out."""
    found: dict[Saying, list[Law]] = {}
    for law, row in stating:
        saying = _saying(row, span)
        if saying:
            found.setdefault(saying, []).append(law)
    return {saying: tuple(laws) for saying, laws in found.items()}
