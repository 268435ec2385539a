"""How each character of a circuit looks, in box characters or plain."""

from __future__ import annotations

from problems.circuits.drawing.canvas import Canvas
from problems.circuits.drawing.glyphs import RUNS, Side
from problems.circuits.drawing.sheet import Cell

_BY_JOINS: dict[frozenset[Side], str] = {frozenset(sides): glyph for glyph, sides in RUNS.items()}
_BOX = {"-": "─", "|": "│"}
_ARROWS = {"<": "◂", ">": "▸", "^": "▴", "v": "▾"}
_TRIANGLE = {"\\": "╲", "/": "╱", "|": "│", "-": "−"}


def shown(canvas: Canvas, cell: Cell, letter: str, unicode: bool) -> str:
    """The character to show for a cell whose plain character is ``letter``."""
    wire = canvas.wires.get(cell)
    if wire is None:
        slanted = unicode and any(thing.kind == "op-amp" and cell in thing.cells for thing in canvas.things)
        return _TRIANGLE.get(letter, letter) if slanted else letter
    if letter in "o○":
        return "o"
    if letter in _ARROWS:
        return _ARROWS[letter] if unicode else letter
    return _joined(letter, wire.joins) if unicode else _plain(letter, wire.joins)


def _plain(letter: str, joins: frozenset[Side]) -> str:
    """Straight wire as it is; a + (or the author's *) where it is joined otherwise."""
    straight = letter in {"-", "|"} and joins <= frozenset(RUNS[letter])
    return letter if straight or letter == "*" else "+"


def _joined(letter: str, joins: frozenset[Side]) -> str:
    """The box character that runs to the joined sides; a dot where more than three meet, or the author put one."""
    if letter in {"-", "|"} and joins <= frozenset(RUNS[letter]):
        return _BOX[letter]
    if len(joins) > 3 or (letter == "*" and len(joins) > 2):
        return "●"
    glyph = _BY_JOINS.get(joins, letter)
    return _BOX.get(glyph, glyph)
