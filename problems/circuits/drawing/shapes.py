"""The things in a drawing that are not wire: boxes, triangles, words."""

from __future__ import annotations

import re
from dataclasses import dataclass

from problems.circuits.drawing.faults import Faults
from problems.circuits.drawing.glyphs import MARKS
from problems.circuits.drawing.sheet import TAINT, Cell, Sheet

CLOSING = {"[": "]", "(": ")"}
NAME = re.compile(r"[A-Za-z][A-Za-z0-9_]*\Z")
_INSIDE = re.compile(r"\s*([^\s=]+)\s*(?:=|\s|$)\s*(.*?)\s*\Z", re.DOTALL)
_BRACKET = re.compile(r"[\[\]()]")
_TAIL = re.compile(r"[\w.=%]*")


@dataclass(frozen=True)
class Box:
    """A part in brackets. left, right: columns of the brackets. value: the text after the name, or None."""

    name: str
    value: str | None
    brackets: str
    row: int
    left: int
    right: int

    @property
    def cells(self) -> tuple[Cell, ...]:
        return tuple((self.row, column) for column in range(self.left, self.right + 1))


@dataclass(frozen=True)
class Word:
    """A run of letters, digits and the like outside any part."""

    text: str
    row: int
    left: int

    @property
    def right(self) -> int:
        return self.left + len(self.text) - 1

    @property
    def cells(self) -> tuple[Cell, ...]:
        return tuple((self.row, column) for column in range(self.left, self.right + 1))


def find_boxes(sheet: Sheet, faults: Faults) -> tuple[list[Box], set[Cell]]:
    """The boxes of a sheet, and the cells of brackets that do not make one."""
    boxes: list[Box] = []
    spoilt: set[Cell] = set()
    for row, line in enumerate(sheet.rows):
        column = 0
        while column < len(line):
            if line[column] in CLOSING:
                found = _box(row, column, line, faults)
                if isinstance(found, Box):
                    boxes.append(found)
                else:
                    spoilt |= {(row, cell) for cell in found}
                column = found.right if isinstance(found, Box) else found[-1]
            elif line[column] in "])":
                faults.add(row, column, "bracket-unopened", bracket=line[column])
                spoilt |= _word_before(row, column, line)
            column += 1
    return boxes, spoilt


def _box(row: int, left: int, line: str, faults: Faults) -> Box | range:
    """The box that opens at ``left``, or the columns of what should have been one."""
    close = _BRACKET.search(line, left + 1)
    if close is None or close.group() != CLOSING[line[left]]:
        faults.add(row, left, "bracket-unclosed", bracket=line[left], closing=CLOSING[line[left]])
        tail = _TAIL.match(line, left + 1)
        end = tail.end() if tail else left + 1
        wrong_kind = close is not None and close.group() in "])" and close.start() == end
        return range(left, end + wrong_kind)
    right = close.start()
    read = _INSIDE.match(line, left + 1, right)
    name = read.group(1) if read else ""
    if NAME.match(name) and TAINT not in line[left:right]:
        return Box(name, (read and read.group(2)) or None, line[left] + line[right], row, left, right)
    if TAINT not in line[left:right]:
        faults.add(row, left + 1, "part-name", name=name or line[left + 1 : right])
    return range(left, right + 1)


def _word_before(row: int, column: int, line: str) -> set[Cell]:
    start = column
    while start > 0 and (line[start - 1].isalnum() or line[start - 1] in "_.="):
        start -= 1
    return {(row, cell) for cell in range(start, column + 1)}


def find_words(sheet: Sheet, claimed: set[Cell]) -> list[Word]:
    """The words outside everything already claimed."""
    words: list[Word] = []
    for row, line in enumerate(sheet.rows):
        start: int | None = None
        for column in range(len(line) + 1):
            character = sheet.at(row, column)
            inside = character not in MARKS and character not in {" ", TAINT} and (row, column) not in claimed
            if inside and start is None:
                start = column
            elif not inside and start is not None:
                words.append(Word(line[start:column], row, start))
                start = None
    return words


def stray_marks(sheet: Sheet, claimed: set[Cell], faults: Faults) -> set[Cell]:
    """Slants and arrowheads that belong to nothing; marks close together are one fault."""
    stray: set[Cell] = set()
    for row, column, character in sheet.cells:
        if character in "<>^\\/" and (row, column) not in claimed:
            around = ((row - up, column + right) for up in range(3) for right in range(-2, 3))
            if not any(cell in stray for cell in around):
                key = "stray-slant" if character in "\\/" else "stray-arrow"
                faults.add(row, column, key, name=character)
            stray.add((row, column))
    return stray
