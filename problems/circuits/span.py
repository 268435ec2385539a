"""What a growing set of linear rows says: rows are taken in one by one, and kept fully reduced.

For few rows that come one at a time; ``elimination`` solves a whole system, whose order it may choose.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping
from typing import Any, Generic, TypeVar

Key = TypeVar("Key", bound=Hashable)


class Span(Generic[Key]):
    """The span of rows over any exact field. ``rest`` is what a row says beyond it; ``add`` takes it in.

    pivot: which of a row's keys it is solved for, such as ``min``; None where it may be none of them.
    """

    def __init__(self, rows: Iterable[Mapping[Key, Any]], pivot: Callable[[Iterable[Key]], Key | None]):
        self.solved: dict[Key, dict[Key, Any]] = {}
        """Each pivot with its row, in which it stands once and no other pivot stands."""
        self._pivot = pivot
        for row in rows:
            self.add(row)

    def rest(self, row: Mapping[Key, Any]) -> dict[Key, Any]:
        """The row less all that is known; empty where it says nothing new."""
        left = {key: value for key, value in row.items() if value}
        for key, known in self.solved.items():
            if key in left:
                left = _less(left, left[key], known)
        return left

    def add(self, row: Mapping[Key, Any]) -> bool:
        """Takes a row in; whether it was new."""
        left = self.rest(row)
        pivot = self._pivot(left) if left else None
        if pivot is None:
            return False
        scaled = {key: value / left[pivot] for key, value in left.items()}
        for key, known in self.solved.items():
            if pivot in known:
                self.solved[key] = _less(known, known[pivot], scaled)
        self.solved[pivot] = scaled
        return True


def _less(row: dict[Key, Any], share: Any, known: Mapping[Key, Any]) -> dict[Key, Any]:
    """The row less a share of another, without zeros."""
    left = dict(row)
    for key, value in known.items():
        left[key] = left[key] - share * value if key in left else -(share * value)
        if not left[key]:
            del left[key]
    return left
