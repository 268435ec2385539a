"""Gauss elimination of sparse rows over any exact field, for systems of any rank.

The plain numeric case goes through flint instead; this is for formulas, and for finding out what is wrong with a
system that has no or many solutions. It sees all rows at once and chooses its pivots; ``span`` takes rows one by one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

Row = dict[int, Any]
"""Coefficients by column. Columns from ``width`` on are right sides (or anything carried along)."""


@dataclass(frozen=True, slots=True)
class Reduced:
    """What elimination leaves.

    solved: column of an unknown to its row, which holds right-side and free columns only:
    unknown = sum of right sides - sum of coefficient · free unknown. free: columns that nothing determines.
    spent: rows whose unknowns have all cancelled; what is left in right-side columns contradicts the rest.
    """

    solved: dict[int, Row]
    free: tuple[int, ...]
    spent: tuple[Row, ...]


def _one_each(value: Any) -> int:
    return 1


def eliminate(rows: list[Row], width: int, weight: Callable[[Any], int] = _one_each) -> Reduced:
    """Reduces the rows (which it changes) by pivots in columns below ``width``.

    weight: how dear it is to divide by a number; the cheapest pivot of the shortest row goes first, which keeps
    formulas small. Ties go to the lower row and column, so that the result is the same every time.
    """
    table = _Table(rows, width, weight)
    order: list[tuple[int, int]] = []
    spent: list[Row] = []
    while table.waiting:
        number, column = table.pivot()
        table.waiting.discard(number)
        if column is None:
            spent.append(rows[number])
        else:
            table.clear(number, column)
            order.append((number, column))
    return Reduced(*_backwards(rows, order, width), tuple(spent))


class _Table:
    """Rows under elimination, and which of those still waiting hold each column."""

    def __init__(self, rows: list[Row], width: int, weight: Callable[[Any], int]):
        self.rows, self.width, self.weight = rows, width, weight
        self.waiting = set(range(len(rows)))
        self.holders: list[set[int]] = [set() for _ in range(width)]
        for number, row in enumerate(rows):
            rows[number] = {column: entry for column, entry in row.items() if entry}
            for column in rows[number]:
                if column < width:
                    self.holders[column].add(number)

    def pivot(self) -> tuple[int, int | None]:
        """Row and column to clear next: of the shortest rows the cheapest number, then the least used column.

        No column means a row whose unknowns have all cancelled.
        """
        lengths = {number: sum(column < self.width for column in self.rows[number]) for number in self.waiting}
        shortest = min(lengths.values())
        candidates = sorted(number for number, length in lengths.items() if length == shortest)
        if not shortest:
            return candidates[0], None
        _, _, number, column = min(
            (self.weight(self.rows[number][column]), len(self.holders[column]), number, column)
            for number in candidates
            for column in self.rows[number]
            if column < self.width
        )
        return number, column

    def clear(self, number: int, column: int) -> None:
        """Scales the pivot to 1, takes its column out of every other waiting row, and its row out of the holders."""
        pivot_row = self.rows[number]
        for other in pivot_row:
            if other < self.width:
                self.holders[other].discard(number)
        pivot = pivot_row.pop(column)
        self.rows[number] = rest = {other: entry / pivot for other, entry in pivot_row.items()}
        for target in self.holders[column]:
            self._subtract(target, rest, self.rows[target].pop(column))
        self.holders[column] = set()

    def _subtract(self, target: int, rest: Row, factor: Any) -> None:
        row = self.rows[target]
        for column, entry in rest.items():
            old = row.pop(column, None)
            new = -factor * entry if old is None else old - factor * entry
            if new:
                row[column] = new
            if column < self.width:
                (self.holders[column].add if new else self.holders[column].discard)(target)


def _backwards(rows: list[Row], order: list[tuple[int, int]], width: int) -> tuple[dict[int, Row], tuple[int, ...]]:
    """Back substitution: each solved unknown in right sides and free unknowns only."""
    solved: dict[int, Row] = {}
    for number, column in reversed(order):
        row: Row = {}
        for other, entry in rows[number].items():
            for target, change in _replacement(solved, other, entry):
                new = row[target] + change if target in row else change
                if new:
                    row[target] = new
                else:
                    del row[target]
        solved[column] = row
    return solved, tuple(column for column in range(width) if column not in solved)


def _replacement(solved: dict[int, Row], column: int, entry: Any) -> list[tuple[int, Any]]:
    """``entry`` times an unknown, written in right sides and free unknowns."""
    if column not in solved:
        return [(column, entry)]
    return [(target, -entry * other) for target, other in solved[column].items()]
