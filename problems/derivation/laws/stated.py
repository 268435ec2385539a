"""A student's own true equation as a law: it gives whatever in it is still open."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from problems.derivation.law import Law, Place
from problems.derivation.view import View, minus, potential
from problems.formulas.expression import Expression, keys, substitute
from problems.formulas.isolate import isolated
from problems.formulas.printers import text
from problems.quantities import Names, Quantity

KEY = "stated"
COST = 0.5
"""Less than any other law: what a student has stated is used first."""


def instances(view: View) -> Iterator[Law]:
    """None: these laws are the student's."""
    return iter(())


def laws_of(equations: Iterable[tuple[Expression, Expression]], names: Names) -> tuple[Law, ...]:
    """A law for every quantity that an equation is linear in. names: for printing the equations."""
    found: list[Law] = []
    for left, right in equations:
        written = f"{text(left, lambda key: _label(key, names))} = {text(right, lambda key: _label(key, names))}"
        sides = _by_nodes(left), _by_nodes(right)
        heads = sorted(key for key in keys(sides[0]) | keys(sides[1]) if isinstance(key, Quantity))
        freed = ((head, isolated(*sides, head)) for head in heads)
        found += [_law(head, relation, written, heads, names) for head, relation in freed if relation is not None]
    return tuple(found)


def _law(head: Quantity, relation: Expression, written: str, named: list[Quantity], names: Names) -> Law:
    parts = tuple(dict.fromkeys(key.of for key in named if key.kind in "DI"))
    nodes = tuple(dict.fromkeys(key.of for key in named if key.kind == "V"))
    fields = {"equation": written, "label": names.head(head)}
    return Law(KEY, head, relation, COST, Place(parts, (), nodes), fields=fields)


def _by_nodes(expression: Expression) -> Expression:
    """The formula with each voltage between two nodes written as the difference that it is."""
    pairs = [key for key in keys(expression) if isinstance(key, Quantity) and key.kind == "B"]
    return substitute(expression, {pair: minus(potential(pair.of), potential(pair.to)) for pair in pairs})


def _label(key: Any, names: Names) -> str:
    return names.write(key) if isinstance(key, Quantity) else str(key)
