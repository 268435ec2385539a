"""How the line being typed would be read, said while it is typed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tutor.words import say

if TYPE_CHECKING:
    from problems import Attempt
    from problems.answers.read import Readings
    from problems.circuits.netlist import Netlist
    from problems.formulas.expression import Expression
    from problems.quantities import Quantity

LONGEST = 200
"""Signs of an entry beyond which nothing is read along."""


def reading(text: str, attempt: Attempt) -> str:
    """``read as 29.3 µA``; empty while the line cannot be read, which half-typed lines often cannot."""
    from problems.answers.read import read
    from problems.derivation.step import Step
    from problems.formulas.parser import Unreadable

    if not text.strip() or len(text) > LONGEST:
        return ""
    netlist = attempt.problem.circuit
    step = attempt.next_step
    statement = read(text, netlist, step.target if isinstance(step, Step) else None)
    if isinstance(statement, Unreadable):
        return ""
    sides = (_side(readings, statement.head, netlist) for readings in statement.sides)
    return say("reply.reading", reading=" = ".join(sides))


def _side(readings: Readings, head: Quantity | None, netlist: Netlist) -> str:
    """One side as it would be taken; both ways where two are possible and numbers alone do not settle it."""
    from problems.answers.read import fitting
    from problems.formulas.expression import keys

    possible = fitting(readings, head, netlist) or readings[:1]
    if not keys(possible[0].expression):
        possible = possible[:1]
    ways = dict.fromkeys(_written(each.expression, head, netlist) for each in possible)
    return say("reply.or").join(list(ways)[:2])


def _written(expression: Expression, head: Quantity | None, netlist: Netlist) -> str:
    """A formula with its value where it is all numbers."""
    from problems.answers.values import NoValue, value_of
    from problems.answers.vocabulary import label
    from problems.formulas.expression import Number
    from problems.formulas.printers import engineering, text
    from problems.formulas.units import Measure

    unit = head.unit if head is not None else ""
    try:
        value = value_of(expression, {})
    except NoValue:
        return text(expression, lambda key: label(key, netlist))
    if isinstance(expression, Measure):
        return engineering(value, expression.unit, 4)
    if isinstance(expression, Number):
        return engineering(value, unit if not value else "", 4)
    return f"{text(expression)} = {engineering(value, unit, 4)}"
