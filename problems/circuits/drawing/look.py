"""How each character of a circuit looks, in box characters or plain."""

from __future__ import annotations

from problems.circuits.drawing.canvas import Canvas
from problems.circuits.drawing.glyphs import JOINTS, RUNS, Side
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
    if letter in {"o", "○"}:
        return "o"
    if letter in _ARROWS:
        return _ARROWS[letter] if unicode else letter
    joint = letter in JOINTS or letter not in {"-", "|"} or not wire.joins <= frozenset(RUNS[letter])
    if not unicode:
        return ("*" if letter == "*" else "+") if joint else letter
    if not joint:
        return _BOX[letter]
    if letter == "*" and len(wire.joins) > 2:
        return "●"
    glyph = _BY_JOINS.get(wire.joins, "●" if len(wire.joins) > 2 else letter)
    return _BOX.get(glyph, glyph)
