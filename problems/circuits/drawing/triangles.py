"""Op-amps: the five-row triangle, output to the right or, mirrored, to the left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from problems.circuits.drawing.faults import Faults
from problems.circuits.drawing.sheet import Cell, Sheet

_SHAPE = (
    (0, 0, "|"), (0, 1, "\\"), (1, 0, "|"), (1, 1, "±"), (1, 2, "\\"),
    (2, 0, "|"), (2, 1, "A"), (2, 2, "a"), (2, 3, ">"), (3, 0, "|"), (3, 1, "±"), (3, 2, "/"), (4, 0, "|"), (4, 1, "/"),
)  # fmt: skip
"""Row and distance from the flat side, and what stands there: ± an input's sign, A a letter, a a letter or digit."""

_FLIPPED = {"\\": "/", "/": "\\", ">": "<"}
_WORTH = {"\\": 2, "/": 2, ">": 2, "<": 2}
"""Slants and tips tell a triangle; flat sides and letters are common elsewhere."""

_ENOUGH = 13
"""Of 19: with so much of a triangle there, it was meant as one."""


@dataclass(frozen=True)
class Triangle:
    """An op-amp. row: its first row. flat: column of the flat side. way: +1 output to the right, -1 to the left."""

    name: str
    row: int
    flat: int
    way: int
    minus_on_top: bool

    def cell(self, row: int, away: int) -> Cell:
        """The cell in a row of the triangle, so many columns from the flat side towards the tip."""
        return self.row + row, self.flat + self.way * away

    @property
    def cells(self) -> tuple[Cell, ...]:
        return tuple(self.cell(row, away) for row, away, _ in _SHAPE)

    @property
    def pins(self) -> tuple[Cell, Cell, Cell]:
        """Cells of the triangle at which the wires of -, + and the output begin."""
        top, bottom = self.cell(1, 0), self.cell(3, 0)
        return (top, bottom, self.cell(2, 3)) if self.minus_on_top else (bottom, top, self.cell(2, 3))


class Corners(NamedTuple):
    """Cells of a triangle at which wires begin: of its upper input, its lower input and, at its tip, its output."""

    upper: Cell
    lower: Cell
    tip: Cell

    @property
    def way(self) -> int:
        """+1 where the output is to the right, -1 where it is to the left."""
        return 1 if self.tip[1] > self.upper[1] else -1


def corners(cells: Sequence[Cell]) -> Corners:
    """The corners of a triangle that may have been moved, from its cells in the order of ``Triangle.cells``."""
    at = {(row, away): cell for (row, away, _), cell in zip(_SHAPE, cells, strict=True)}
    return Corners(at[1, 0], at[3, 0], at[2, 3])


def find_triangles(sheet: Sheet, claimed: set[Cell], faults: Faults) -> tuple[list[Triangle], set[Cell]]:
    """The whole triangles of a sheet, and the cells of those that are not whole."""
    whole: list[Triangle] = []
    spoilt: set[Cell] = set()
    taken = set(claimed)
    partial: list[tuple[int, Triangle]] = []
    for guess in _guesses(sheet):
        wrong, worth = _compare(sheet, guess, taken)
        if not wrong and guess.name:
            whole.append(guess)
            taken |= set(guess.cells)
        elif worth >= _ENOUGH:
            partial.append((worth, guess))
    for _, guess in sorted(partial, key=lambda found: -found[0]):
        wrong, worth = _compare(sheet, guess, taken)
        if worth >= _ENOUGH and wrong:
            row, column, key = wrong[0]
            faults.add(row, column, key, shape=_shown(guess.way))
            spoilt |= set(guess.cells)
            taken |= set(guess.cells)
    return whole, spoilt


def _guesses(sheet: Sheet) -> list[Triangle]:
    """Every place where a triangle might stand: its corners are slants, tips or flat sides."""
    found: dict[tuple[int, int, int], Triangle] = {}
    for row, column, character in sheet.cells:
        if character not in "\\/<>":
            continue
        for way in (1, -1):
            for at, away, shape in _SHAPE:
                if (_FLIPPED.get(shape, shape) if way < 0 else shape) == character:
                    place = (row - at, column - way * away, way)
                    found[place] = _guess(sheet, *place)
    return [found[place] for place in sorted(found)]


def _guess(sheet: Sheet, row: int, flat: int, way: int) -> Triangle:
    letters = sheet.at(row + 2, flat + way), sheet.at(row + 2, flat + 2 * way)
    name = "".join(letters if way > 0 else letters[::-1])
    good = name[0].isascii() and name[0].isalpha() and name[1].isascii() and name[1].isalnum()
    return Triangle(name if good else "", row, flat, way, sheet.at(row + 1, flat + way) == "-")


def _compare(sheet: Sheet, guess: Triangle, taken: set[Cell]) -> tuple[list[tuple[int, int, str]], int]:
    """What is wrong with a guessed triangle, and how much of it is right, of 19."""
    wrong: list[tuple[int, int, str]] = []
    worth, signs = 0, ""
    for at, away, shape in _SHAPE:
        row, column = guess.cell(at, away)
        here = sheet.at(row, column)
        wanted = _FLIPPED.get(shape, shape) if guess.way < 0 else shape
        if (row, column) in taken:
            return [(row, column, "triangle")], 0
        if shape in "Aa":
            right, key = bool(guess.name), "triangle-name"
        elif shape == "±":
            right, key = here in "+-", "triangle-sign"
            signs += here
        else:
            right, key = here == wanted, "triangle"
        if right:
            worth += _WORTH.get(wanted, 1)
        elif not any(key == "triangle-name" for *_, key in wrong):
            wrong.append((row, column, key))
    if not wrong and signs in {"++", "--"}:
        wrong.append((*guess.cell(3, 1), "triangle-sign"))
    return wrong, worth


def _shown(way: int) -> str:
    """The whole triangle, as an example for a remedy."""
    return r"|\  |-\  |U1>  |+/  |/" if way > 0 else r"/|  /-|  <U1|  \+|  \|"
