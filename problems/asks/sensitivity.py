"""How fast every quantity of a circuit moves with one value: exact derivatives, all from one elimination.

The circuit's equations are A·x = b with A and b made of the values. Their derivative in one value is A·x' = b' - A'·x,
which is solved for x'. It holds for every circuit, whatever way its walk goes.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from problems.circuits.elimination import Row, eliminate
from problems.circuits.equations import equations
from problems.derivation.lesson import Lesson
from problems.formulas.dual import Dual
from problems.quantities import GROUND, Quantity, current, drop, voltage

Slopes = Mapping[Quantity, Fraction]


def slopes(lesson: Lesson, symbol: str) -> Slopes:
    """Derivative of every voltage, current and drop in the value of a symbol, at the values at hand.

    All values are numbers. A quantity that the circuit does not determine is left out.
    """
    values = lesson.netlist.values
    system = equations(lesson.netlist, {**values, symbol: Dual.of(symbol, values[symbol])})
    width = len(system.unknowns)
    at = {column: lesson.values[quantity] for quantity, column in system.unknowns.items()}
    rows: list[Row] = []
    for row, right in zip(system.rows, system.right, strict=True):
        moved = _slope(right, symbol) - sum(_slope(entry, symbol) * at[column] for column, entry in row.items())
        plain = {column: _value(entry) for column, entry in row.items() if _value(entry)}
        rows.append({**plain, width: moved} if moved else plain)
    solved = eliminate(rows, width).solved
    free = {column for row in solved.values() for column in row if column < width}
    found = {
        quantity: solved[column].get(width, Fraction(0))
        for quantity, column in system.unknowns.items()
        if column in solved and not free & solved[column].keys()
    }
    return _with_drops(lesson, {voltage(GROUND): Fraction(0), **found})


def _with_drops(lesson: Lesson, found: dict[Quantity, Fraction]) -> Slopes:
    """The same with the drops of parts, and the current of a whole potentiometer whose wiper carries none."""
    for part in lesson.netlist.parts:
        first, second = (voltage(node) for node in part.nodes[:2])
        if part.name in lesson.netlist.part_names and first in found and second in found:
            found[drop(part.name)] = found[first] - found[second]
        for branch in part.branches[:1]:
            if part.name in lesson.netlist.current_names and current(branch.name) in found:
                found.setdefault(current(part.name), found[current(branch.name)])
    return found


def _value(entry: Any) -> Fraction:
    return Fraction(entry.value if isinstance(entry, Dual) else entry)


def _slope(entry: Any, symbol: str) -> Fraction:
    return Fraction(entry.slopes.get(symbol, 0)) if isinstance(entry, Dual) else Fraction(0)
