"""A row with one character too few or too many puts everything behind it out of line: one mistake, many faults."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator

from problems.circuits.drawing.faults import DrawingError, Fault

FEWEST, MOST = 3, 40
"""Between so many faults a shifted row is suspected; fewer are clear by themselves, more are something else."""
LARGEST = 8000
"""Characters of a drawing that is worth the search."""
MOST_TRIES = 60
"""Drawings read in the search, so that a refusal stays quick."""
_RUN = re.compile(r" +|-+|─+")


def shifted_row(text: str, error: DrawingError, read: Callable[[str], object]) -> DrawingError:
    """The same error, or one fault in its place where one blank or bit of wire more (or less) in a row mends all.

    read: reads a drawing, raising DrawingError.
    """
    if not FEWEST <= len(error.faults) <= MOST or len(text) > LARGEST:
        return error
    lines = re.split(r"\r\n|\r|\n", text)
    for tries, (row, column, key, character, line) in enumerate(_guesses(lines, error)):
        if tries >= MOST_TRIES:
            break
        try:
            read("\n".join([*lines[:row], line, *lines[row + 1 :]]))
        except DrawingError:
            continue
        shown = next((fault.line for fault in error.faults if fault.row == row + 1), lines[row].expandtabs(1))
        named = "blank" if character == " " else character
        return DrawingError([Fault(row + 1, column + 1, key, shown, {"character": named})])
    return error


def _guesses(lines: list[str], error: DrawingError) -> Iterator[tuple[int, int, str, str, str]]:
    """Rows near many faults, with a character put in or taken out at each run of blanks or wire."""
    near = Counter(row for fault in error.faults for row in (fault.row - 2, fault.row - 1, fault.row))
    near.update(fault.row - 1 for fault in error.faults)
    for row, _ in near.most_common(3):
        if not 0 <= row < len(lines):
            continue
        line = lines[row]
        for run in _RUN.finditer(line):
            at = run.start()
            yield row, at, "row-short", line[at], line[:at] + line[at] + line[at:]
            yield row, at, "row-long", line[at], line[:at] + line[at + 1 :]
