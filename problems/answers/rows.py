"""Equations as rows over the quantities of a circuit, and whether one more row says anything new.

A row is the gradient of a true equation at the solution. What a set of rows says is its span.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any

from problems.answers.values import Values
from problems.circuits.netlist import Netlist
from problems.formulas.dual import Dual
from problems.formulas.expression import Expression, keys
from problems.formulas.phasor import Phasor
from problems.quantities import GROUND, Quantity, current, drop, voltage

Row = Mapping[Quantity, Fraction]


def row_of(residual: Expression, env: Mapping[Any, Any]) -> Row | None:
    """The gradient of a formula in the quantities at the solution.

    None where it has none: a root, a division by 0, a current that the circuit leaves open.
    """
    lifted: dict[Any, Any] = {**env}
    try:
        for key in keys(residual):
            if isinstance(key, Quantity) and key.kind != "B" and key != voltage(GROUND):
                lifted[key] = Dual.of(key, env[key])
        found = residual.at(Values(lifted))
    except (ArithmeticError, KeyError, TypeError, ValueError):
        return None
    slopes = found.slopes if isinstance(found, Dual) else {}
    exact: dict[Any, Any] = {
        key: value if isinstance(value, Phasor) else Fraction(value) for key, value in slopes.items()
    }
    return {key: value for key, value in exact.items() if isinstance(key, Quantity)}


def definitions(netlist: Netlist, givens: Iterable[Quantity]) -> list[Row]:
    """Rows that say nothing new: what is given, what a drop is, what the current of a whole potentiometer is."""
    one = Fraction(1)
    given = tuple(givens)
    rows: list[Row] = [{quantity: one} for quantity in given]
    for source in dict.fromkeys(("", *(quantity.source for quantity in given))):
        rows += _what_drops_are(netlist, source)
    return rows


def _what_drops_are(netlist: Netlist, source: str) -> list[Row]:
    """What a drop and the current of a whole potentiometer are; source: with that one alone, or ``""`` with all."""
    one = Fraction(1)
    rows: list[Row] = []
    for part in netlist.parts:
        names = [branch.name for branch in part.branches]
        if part.name not in netlist.part_names:
            continue
        first, second = part.nodes[0], part.nodes[1]
        row = {drop(part.name).by(source): one}
        for node, sign in ((first, -one), (second, one)):
            if node != GROUND:
                at = voltage(node).by(source)
                row[at] = row.get(at, Fraction(0)) + sign
        rows.append(row)
        if part.name not in names:
            whole = current(part.name).by(source)
            rows += [{whole: one, current(name).by(source): -one} for name in names[:1]]
    return rows


def unit_row(quantity: Quantity) -> Row:
    """The row of ``quantity = value``."""
    if quantity.kind != "B":
        return {quantity: Fraction(1)}
    ends = {quantity.of: Fraction(1), quantity.to: Fraction(-1)}
    return {voltage(node).by(quantity.source): sign for node, sign in ends.items() if node != GROUND}
