"""Free space around a canvas, and the labels already written there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from problems.circuits.drawing.canvas import Canvas
from problems.circuits.drawing.marks import Style
from problems.circuits.drawing.sheet import Cell

WIDEST = 80
"""Columns of the narrowest terminal that must show a drawing whole."""

FAR = 9
"""Blanks over which a text is still read with the arrow that stands before it."""


class Piece(NamedTuple):
    """Text at a place; the column of its first letter."""

    row: int
    column: int
    text: str

    @property
    def cells(self) -> list[Cell]:
        return [(self.row, column) for column in range(self.column, self.column + len(self.text))]


Placing = tuple[Piece, ...]
"""One way to write a label: all of its pieces, or none."""


class Board:
    """A canvas with labels on it."""

    def __init__(self, canvas: Canvas):
        self.canvas = canvas
        self.letters: dict[Cell, tuple[str, Style]] = {}
        self.written: dict[str, Placing] = {}
        """Where each label that has a key was written."""
        self._currents: set[Cell] = set()
        self.limit = max(WIDEST, canvas.width)
        self._triangles = {cell for thing in canvas.things if thing.kind == "op-amp" for cell in thing.cells}

    def fits(self, placing: Placing) -> bool:
        """Whether there is room for every piece, one blank apart from other text."""
        return all(self._piece_fits(piece) for piece in placing)

    def _piece_fits(self, piece: Piece) -> bool:
        if piece.column < 0 or piece.column + len(piece.text) > self.limit:
            return False
        for cell in piece.cells:
            if cell in self.canvas.taken or cell in self.letters:
                return False
        sides = ((piece.row, piece.column - 1), (piece.row, piece.column + len(piece.text)))
        return not any(cell in self.letters or self._is_thing(cell) for cell in sides)

    def _is_thing(self, cell: Cell) -> bool:
        return cell in self.canvas.taken and cell not in self.canvas.wires

    def crowding(self, placing: Placing) -> int:
        """How much wire stands right before or behind the pieces."""
        count = 0
        for piece in placing:
            count += (piece.row, piece.column - 1) in self.canvas.wires
            count += (piece.row, piece.column + len(piece.text)) in self.canvas.wires
        return count

    def write(self, placing: Placing, style: Style) -> None:
        """Write a label."""
        for piece in placing:
            for cell, letter in zip(piece.cells, piece.text, strict=True):
                self.letters[cell] = (letter, style)

    def write_best(
        self, placings: Iterable[Placing], style: Style, key: str = "", arrow: Placing | None = None
    ) -> bool:
        """Write the first placing that fits with nothing right beside it, else the first that fits at all.

        arrow: that of the current whose value is written, which must not be read with another label.
        """
        best: Placing | None = None
        least = 0
        for placing in placings:
            if not self.fits(placing):
                continue
            cost = self.crowding(placing) if arrow is None else self._mistakable(placing, arrow)
            if best is None or cost < least:
                best, least = placing, cost
                if not cost:
                    break
        if best is None:
            return False
        self.write(best, style)
        if key:
            self.written[key] = best
        if arrow is not None:
            self._currents.update(cell for piece in best for cell in piece.cells)
        return True

    def _mistakable(self, placing: Placing, arrow: Placing) -> int:
        """How easily a current's value would be taken for that of another arrow, or its sign for a wire."""
        own = {cell for piece in arrow for cell in piece.cells}
        cost = 3 * self.crowding(placing)
        for piece in placing:
            beside = {self._seen(piece, way, 3) for way in (-1, 1)}
            stacked = {(row + away, column) for row, column in piece.cells for away in (-1, 1)}
            cost += 4 * any(cell in self.letters for cell in beside - own)
            cost += 4 * bool(stacked & self._currents)
            cost += 2 * any(cell in self.letters and self.letters[cell][1] == "name" for cell in stacked - own)
        return cost

    def _seen(self, piece: Piece, way: int, reach: int) -> Cell | None:
        """The cell of the next label before (-1) or behind (+1) a piece, with blanks only between; None for none."""
        start = piece.column + len(piece.text) if way > 0 else piece.column - 1
        for far in range(reach):
            cell = (piece.row, start + way * far)
            if cell in self.letters:
                return cell
            if cell in self.canvas.taken:
                return None
        return None

    def behind_arrow(self, piece: Piece) -> bool:
        """Whether a text would be read as the value of the arrow whose name stands before it."""
        cell = self._seen(piece, -1, FAR)
        return cell is not None and self.letters[cell][1] == "name"

    def strangers(self, piece: Piece, net: int) -> int:
        """How strongly the neighbourhood of a text speaks for another net, or another label, than this one."""
        count = 0
        for row, column in piece.cells:
            for cell in ((row - 1, column), (row + 1, column)):
                wire = self.canvas.wires.get(cell)
                count += (wire is not None and wire.net != net) + (cell in self.letters or self._is_thing(cell))
        for far in range(1, 4):
            for cell in ((piece.row, piece.column - far), (piece.row, piece.column + len(piece.text) - 1 + far)):
                wire = self.canvas.wires.get(cell)
                stranger = cell in self.letters or self._is_thing(cell) or (wire is not None and wire.net != net)
                count += (4 - far) * (stranger and cell not in self._triangles)
        return count


def letters_of(canvas: Canvas) -> Mapping[Cell, str]:
    """The plain character of every cell that is taken."""
    found = {cell: wire.glyph for cell, wire in canvas.wires.items()}
    for thing in canvas.things:
        found.update(zip(thing.cells, thing.glyphs, strict=True))
    return found
