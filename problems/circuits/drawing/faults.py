"""What can be wrong with a drawing: every fault with its place, the line it stands in, and a remedy."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from problems import words

MOST_SHOWN = 20
"""Faults written out in the text of a DrawingError: a drawing with more has a line out of step."""
WINDOW = 100
"""Columns of a line shown around a fault."""


@dataclass(frozen=True)
class Fault:
    """One thing wrong in a drawing.

    row, column: from 1. key: which kind, also the key of its sentences (``drawing.<key>``). line: the row as drawn,
    made harmless to print. fields: what the sentences need.
    """

    row: int
    column: int
    key: str
    line: str
    fields: Mapping[str, str] = field(default_factory=dict)

    @property
    def problem(self) -> str:
        """What is wrong, without the place."""
        return words.say(f"drawing.{self.key}.says", **self.fields)

    @property
    def remedy(self) -> str:
        """What to do about it."""
        return words.say(f"drawing.{self.key}.remedy", **self.fields)

    @property
    def picture(self) -> str:
        """The line, and a caret beneath the place."""
        start = max(0, self.column - WINDOW // 2) if len(self.line) > WINDOW else 0
        shown = self.line[start : start + WINDOW]
        return f"  {shown}\n  {' ' * (self.column - 1 - start)}^"

    def __str__(self) -> str:
        return f"row {self.row}, column {self.column}: {self.problem} {self.remedy}\n{self.picture}"


class DrawingError(ValueError):
    """A drawing that cannot be read. faults: everything that is wrong with it, in reading order."""

    def __init__(self, faults: Iterable[Fault]):
        self.faults = tuple(sorted(faults, key=lambda fault: (fault.row, fault.column, fault.key)))
        shown = [str(fault) for fault in self.faults[:MOST_SHOWN]]
        if len(self.faults) > MOST_SHOWN:
            shown.append(words.say("drawing.more", count=len(self.faults) - MOST_SHOWN))
        super().__init__("\n".join(shown))

    def __reduce__(self) -> tuple[type[DrawingError], tuple[tuple[Fault, ...]]]:
        return type(self), (self.faults,)


class Faults:
    """Collects the faults of one drawing, at most one of a kind at a place."""

    def __init__(self) -> None:
        self.lines: tuple[str, ...] = ()
        self._found: dict[tuple[int, int, str], Fault] = {}

    def add(self, row: int, column: int, key: str, **fields: str) -> None:
        """Note a fault; row and column count from 0 here."""
        row, column = max(row, 0), max(column, 0)
        line = self.lines[row] if row < len(self.lines) else ""
        self._found.setdefault((row, column, key), Fault(row + 1, column + 1, key, line, fields))

    def stop(self) -> None:
        """Raise DrawingError if anything was found."""
        if self._found:
            raise DrawingError(self._found.values())

    def __len__(self) -> int:
        return len(self._found)
