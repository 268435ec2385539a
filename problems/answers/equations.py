"""An equation that is not ``Q = value``: is it true, does it say anything new, which law does it state?"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

from problems.answers.naming import base_of, named_law
from problems.answers.rows import Row, row_of, unit_row
from problems.answers.tolerance import SHARE
from problems.answers.values import (
    NoValue,
    Values,
    further_values,
    holds_generally,
    in_numbers,
    only_names,
    speaks_of_sources,
    value_of,
)
from problems.answers.vocabulary import vocabulary
from problems.circuits.span import Span
from problems.derivation.law import Law
from problems.derivation.lesson import Lesson
from problems.formulas.expression import Expression, Negative, Sum, keys
from problems.formulas.parser import Reading
from problems.formulas.units import UnitClash, dimension_of
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
    sides: tuple[tuple[Reading, ...], ...],
    lesson: Lesson,
    stated: Mapping[Quantity, Fraction],
    earlier: tuple[Row, ...] = (),
) -> tuple[Finding, ...]:
    """The findings on ``a = b = c …``, one for each equals sign up to the first that is not true.

    A side keeps the reading by which it equals the one before. Raises NoValue where no reading has a value.
    """
    found: list[Finding] = []
    left = sides[0]
    for right in sides[1:]:
        best = _best(left, right, lesson)
        if best.kind != "true":
            return (*found, best)
        best = _followed(best, lesson, stated, earlier)
        found.append(best)
        earlier = (*earlier, best.row) if best.row else earlier
        left = (Reading(best.equation.right),)
    return tuple(found)


def _best(lefts: tuple[Reading, ...], rights: tuple[Reading, ...], lesson: Lesson) -> Finding:
    """The finding over all readings of two sides that is kindest."""
    pairs = [Equation(a.expression, b.expression, a.choices + b.choices) for a in lefts for b in rights]
    findings: list[Finding] = []
    without: NoValue | None = None
    for equation in pairs[:MAX_PAIRS]:
        try:
            findings.append(Finding(_kind(equation, lesson), equation))
        except NoValue as failed:
            without = failed
    if not findings:
        raise without or NoValue("no-number")
    return min(findings, key=lambda finding: ("true", "special", "empty", "false", "units").index(finding.kind))


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
    if lesson.is_numeric and not only_names(equation.residual):
        return "true" if abs(difference) <= SHARE * _largest_term(equation, values) else "false"
    if difference:
        return "false"
    numbered = in_numbers(lesson)
    if equation.left == equation.right or _empty(equation.residual, numbered):
        return "empty"
    # where values are only names, what comes out as 0 does so whatever they are
    general = not lesson.is_numeric or holds_generally(equation.residual, lesson.netlist)
    return "true" if general else "special"


def _largest_term(equation: Equation, values: Values) -> Fraction:
    """Size of the largest single term; without a typed number the two sides must agree exactly."""
    terms = [term for side in equation[:2] for term in (side.terms if isinstance(side, Sum) else (side,))]
    return max(Fraction(abs(value_of(term.operand if isinstance(term, Negative) else term, values))) for term in terms)


def _empty(residual: Expression, lesson: Lesson) -> bool:
    """Whether it is 0 whatever the quantities are: at two points that are no solution; not told without such points.

    What a voltage between two nodes is says little, but it says that.
    """
    if any(isinstance(key, Quantity) and key.kind == "B" for key in keys(residual)):
        return False
    witnesses = further_values(lesson.netlist, speaks_of_sources(residual))
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
    """What a true equation says, whether that is new, and which law it is."""
    residual, numbered = finding.equation.residual, in_numbers(lesson)
    row = row_of(residual, Values(numbered.values))
    if row is None or not row:
        return finding._replace(row=None, new=row is None)
    known = Span([*base_of(numbered), *(unit_row(key) for key in stated), *earlier], min)
    # figures beside one quantity are its value, whatever law they come from
    sides = (finding.equation.left, finding.equation.right)
    law = named_law(row, sides, numbered, lesson.method) if len(row) > 1 or only_names(residual) else None
    return finding._replace(row=row, new=bool(known.rest(row)), law=law)
