"""From text to a sheet of cells: line ends, look-alike characters, and characters that would upset the columns."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

from problems.circuits.drawing.faults import Faults
from problems.formulas.spelling import DASHES

MOST_ROWS = 200
MOST_COLUMNS = 400

TAINT = "\ufffd"
"""Stands in a cell whose character could not be used; what lies beside it is not blamed."""

_ALIKE = {
    **dict.fromkeys(DASHES, "-"), "─": "-", "│": "|", "┼": "+", "●": "*", "╲": "\\", "╱": "/",
    "◂": "<", "◀": "<", "▸": ">", "▶": ">", "▴": "^", "▾": "v", "╭": "┌", "╮": "┐", "╰": "└", "╯": "┘",
}  # fmt: skip
"""Characters that mean the same as a plain one."""

Cell = tuple[int, int]


class Sheet:
    """The characters of a drawing by row and column, from 0; beyond the edges it is blank."""

    def __init__(self, rows: Iterable[str]):
        self.rows = tuple(rows)

    def at(self, row: int, column: int) -> str:
        """The character in a cell."""
        if 0 <= row < len(self.rows) and 0 <= column < len(self.rows[row]):
            return self.rows[row][column]
        return " "

    @property
    def cells(self) -> Iterable[tuple[int, int, str]]:
        """Every cell that is not blank, in reading order."""
        for row, line in enumerate(self.rows):
            for column, character in enumerate(line):
                if character != " ":
                    yield row, column, character


def lay_out(text: str, faults: Faults) -> Sheet:
    """The sheet of a text; raises DrawingError at once where the text is too large or empty to go on."""
    lines = re.split(r"\r\n|\r|\n", text)
    while len(lines) > 1 and not lines[-1].strip():
        lines.pop()
    lines = _common_tabs([line.rstrip(" \t\u00a0") for line in lines])
    _check_size(lines, faults)
    if not any(line.strip() for line in lines):
        faults.add(0, 0, "empty")
        faults.stop()
    pending: list[tuple[int, int, str, str]] = []
    rows = [_cells(row, line, pending) for row, line in enumerate(lines)]
    faults.lines = tuple(row.replace(TAINT, "?") for row in rows)
    for row, column, key, name in pending:
        faults.add(row, column, key, name=name)
    if any(key == "tab" for _, _, key, _ in pending):  # the columns are guesswork from here on
        faults.stop()
    return Sheet("".join(_ALIKE.get(character, character) for character in row) for row in rows)


def _check_size(lines: list[str], faults: Faults) -> None:
    faults.lines = tuple(_in_columns(line[: MOST_COLUMNS + 1]) for line in lines[: MOST_ROWS + 1])
    size = {"rows": str(MOST_ROWS), "columns": str(MOST_COLUMNS)}
    if len(lines) > MOST_ROWS:
        faults.add(MOST_ROWS, 0, "too-large", **size)
        faults.stop()
    for row, line in enumerate(lines):
        if len(line) > MOST_COLUMNS:
            faults.add(row, MOST_COLUMNS, "too-large", **size)
    faults.stop()


def _in_columns(line: str) -> str:
    """A line for showing a fault in it: ASCII only, so that each character takes the one column it is counted as."""
    return "".join(character if " " <= character <= "~" else "?" for character in line)


def _common_tabs(lines: list[str]) -> list[str]:
    """Tabs that indent every line alike do no harm: each becomes a blank."""
    indents = [line[: len(line) - len(line.lstrip(" \t"))] for line in lines if line.strip()]
    shortest = min(indents, key=len, default="")
    same = next((i for i in range(len(shortest)) if any(x[i] != shortest[i] for x in indents)), len(shortest))
    common = shortest[:same]
    if "\t" not in common:
        return lines
    return [" " * len(common) + line[len(common) :] if line.strip() else "" for line in lines]


def _cells(row: int, line: str, pending: list[tuple[int, int, str, str]]) -> str:
    """One line as cells; characters that have no place in a drawing are noted in ``pending``."""
    cells = ""
    for character in line:
        category = unicodedata.category(character)
        named = f"U+{ord(character):04X}"
        if character == "\t":
            pending.append((row, len(cells), "tab", named))
            cells += " " * (8 - len(cells) % 8)
        elif category in {"Zs"}:
            cells += "  " if unicodedata.east_asian_width(character) in "WF" else " "
        elif category[0] == "C" or category in {"Zl", "Zp", "Mn", "Me", "Mc"}:
            if pending and pending[-1][:3] == (row, len(cells), "control"):
                named = f"{pending.pop()[3]}, {named}"
            pending.append((row, len(cells), "control", named))
        elif unicodedata.east_asian_width(character) in "WF":
            pending.append((row, len(cells), "wide", f"{character} ({named})"))
            cells += TAINT * 2
        else:
            cells += character
    return cells.rstrip()
