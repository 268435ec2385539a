"""An equation that is not ``Q = value``: is it true, does it say anything new, which law does it state?"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import NamedTuple

from problems.answers.rows import Row, definitions, row_of, unit_row
from problems.answers.tolerance import SHARE
from problems.answers.values import NoValue, Values, further_values, holds_generally, only_names, value_of
from problems.answers.vocabulary import vocabulary
from problems.circuits.span import Span
from problems.derivation.law import Law
from problems.derivation.lesson import Lesson
from problems.formulas.expression import Expression, Name, Negative, Quotient, Sum, nodes
from problems.formulas.parser import Reading
from problems.formulas.units import DIMENSIONS, UnitClash, dimension_of
from problems.quantities import Quantity


class Equation(NamedTuple):
    """left, right: its sides. choices: how its pieces were read."""

    left: Expression
    right: Expression
    choices: tuple[tuple[str, str], ...] = ()

    @property
    def residual(self) -> Expression:
        return self.left - self.right


class Finding(NamedTuple):
    """kind: ``true``, ``false``, ``units`` (its sides have different ones), ``empty`` (true of any values), ``special``
    (true for these values, not in general). row: what it says, where it is true. new: whether that is new. law: the law
    that it states.
    """

    kind: str
    equation: Equation
    row: Row | None = None
    new: bool = False
    law: Law | None = None


MAX_PAIRS = 16


def examined(
    sides: tuple[tuple[Reading, ...], tuple[Reading, ...]],
    lesson: Lesson,
    stated: Mapping[Quantity, Fraction],
    earlier: tuple[Row, ...] = (),
) -> Finding:
    """The best finding over all readings of the two sides. Raises NoValue where no reading has a value."""
    pairs = [Equation(a.expression, b.expression, a.choices + b.choices) for a in sides[0] for b in sides[1]]
    findings: list[Finding] = []
    without: NoValue | None = None
    for equation in pairs[:MAX_PAIRS]:
        try:
            findings.append(Finding(_kind(equation, lesson), equation))
        except NoValue as failed:
            without = failed
    if not findings:
        raise without or NoValue("no-number")
    best = min(findings, key=lambda finding: ("true", "special", "empty", "false", "units").index(finding.kind))
    return _followed(best, lesson, stated, earlier) if best.kind == "true" else best


def _kind(equation: Equation, lesson: Lesson) -> str:
    dims = vocabulary(lesson.netlist).dims
    try:
        left, right = dimension_of(equation.left, dims), dimension_of(equation.right, dims)
    except UnitClash:
        return "units"
    if left is not None and right is not None and left != right:
        return "units"
    values = Values(lesson.values)
    difference = value_of(equation.residual, values)
    if not only_names(equation.residual):
        return "true" if abs(difference) <= SHARE * _largest_term(equation, values) else "false"
    if difference:
        return "false"
    if _empty(equation.residual, lesson):
        return "empty"
    return "true" if holds_generally(equation.residual, lesson.netlist) else "special"


def _largest_term(equation: Equation, values: Values) -> Fraction:
    """Size of the largest single term; without a typed number the two sides must agree exactly."""
    terms = [term for side in equation[:2] for term in (side.terms if isinstance(side, Sum) else (side,))]
    return max(abs(value_of(term.operand if isinstance(term, Negative) else term, values)) for term in terms)


def _empty(residual: Expression, lesson: Lesson) -> bool:
    """Whether it is 0 whatever the quantities are: at two points that are no solution; not told without such points."""
    witnesses = further_values(lesson.netlist)
    for number, others in enumerate(witnesses):
        shaken = {
            key: value + Fraction(7 + 3 * place + number, 11 + place) if isinstance(key, Quantity) else value
            for place, (key, value) in enumerate(others.items())
        }
        if value_of(residual, Values(shaken)):
            return False
    return bool(witnesses)


def _followed(
    finding: Finding, lesson: Lesson, stated: Mapping[Quantity, Fraction], earlier: tuple[Row, ...]
) -> Finding:
    residual = finding.equation.residual
    row = row_of(residual, Values(lesson.values))
    if row is None or not row:
        return finding._replace(row=None, new=row is None)
    known = Span([*definitions(lesson.netlist, lesson.givens), *(unit_row(key) for key in stated), *earlier], min)
    return finding._replace(row=row, new=bool(known.rest(row)), law=named_law(row, residual, lesson))


def named_law(row: Row, residual: Expression, lesson: Lesson) -> Law | None:
    """The law that an equation states: the one that says the same as it, given what is given.

    Ohm's law, a hop and a drop are one row: an equation with a current in it by name is told by how it is written.
    """
    laws = [law for law in lesson.laws.laws if not law.given]
    divides = any(isinstance(node, Quotient) for node in nodes(residual))
    base = definitions(lesson.netlist, lesson.givens)
    if divides and dimension_of(residual, vocabulary(lesson.netlist).dims) == DIMENSIONS["A"]:
        # currents written by Ohm's law: what is stated is how they meet
        ohms = [own for law in laws if law.key == "ohm" and (own := _row(law, lesson)) is not None]
        meeting = _saying(row, [law for law in laws if law.key in MEETINGS], [*base, *ohms], lesson)
        if meeting:
            return meeting[0]
    found = _saying(
        row, [law for law in laws if law.head in row or any(tail in row for tail in law.tails)], base, lesson
    )
    return min(found, key=lambda law: (law.never_walked, (law.key == "hop") == divides, law.cost), default=None)


MEETINGS = ("same-current", "kcl")
"""Laws that say how currents meet at a node."""


def _saying(row: Row, laws: Iterable[Law], base: Iterable[Row], lesson: Lesson) -> list[Law]:
    """The laws that say the same as a row, given what the base says; none where the base says it already."""
    span = Span(base, min)
    wanted = _scaled(span.rest(row))
    if wanted is None:
        return []
    rows = ((law, _row(law, lesson)) for law in laws)
    return [law for law, own in rows if own is not None and _scaled(span.rest(own)) == wanted]


def _row(law: Law, lesson: Lesson) -> Row | None:
    return row_of(Name(law.head) - law.relation, Values(lesson.values))


def _scaled(row: dict[Quantity, Fraction]) -> dict[Quantity, Fraction] | None:
    if not row:
        return None
    first = row[min(row)]
    return {key: value / first for key, value in row.items()}
