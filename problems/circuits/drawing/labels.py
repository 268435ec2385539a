"""Where labels may stand: arrows of currents, + and - of drops, values, node voltages."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from problems.circuits.drawing.board import Board, Piece, Placing
from problems.circuits.drawing.canvas import Canvas, Thing
from problems.circuits.drawing.marks import Style
from problems.circuits.drawing.sheet import Cell
from problems.circuits.drawing.triangles import corners

SLIDE = (0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5, 6, -6)
"""How far a text may slide along its part, nearest first."""

TOUCHING, BEHIND_ARROW = 4, 12
"""What it costs the voltage of a node to touch a wire, and to stand where it would be read as a current."""

Places = Callable[[Canvas], Iterator[Placing]]


@dataclass(frozen=True)
class Label:
    """Something to write.

    places: where, best first. otherwise: the line under the drawing, where there is no room. at: kind and name of the
    thing beside which room can be made. key: shared by an arrow and the value that goes with it.
    """

    style: Style
    text: str
    places: Places
    otherwise: str
    at: tuple[str, str] = ("", "")
    key: str = ""


@dataclass(frozen=True)
class Signs:
    """The characters of labels, plain or not."""

    right: str
    left: str
    down: str
    up: str
    plus: str
    minus: str


UNICODE = Signs("→", "←", "↓", "↑", "+", "−")
ASCII = Signs("->", "<-", "v", "^", "(+)", "(-)")


def is_lying(canvas: Canvas, thing: Thing) -> bool:
    """Whether wires touch both brackets (an arrow to one of them is no end)."""
    (row, left), (_, right) = thing.cells[0], thing.cells[-1]
    across = canvas.links[1]
    arrows = {canvas.wires[cell].glyph for cell in ((row, left - 1), (row, right + 1)) if cell in canvas.wires}
    return (row, left - 1) in across and (row, right) in across and not arrows & {"<", ">"}


def ends(canvas: Canvas, thing: Thing) -> tuple[int, int]:
    """Columns of the wires above and below a standing part."""
    down = canvas.links[0]
    row = thing.cells[0][0]
    columns = [column for _, column in thing.cells]
    top = next((c for c in columns if (row - 1, c) in down), columns[0])
    bottom = next((c for c in columns if (row, c) in down), columns[0])
    return top, bottom


def along(thing: Thing, text: str, rows: tuple[int, ...]) -> Iterator[Placing]:
    """Text above or below a lying part, centred on it or nearly."""
    (row, left), (_, right) = thing.cells[0], thing.cells[-1]
    start = left + (right - left + 1 - len(text)) // 2
    for away in rows:
        for slide in SLIDE:
            yield (Piece(row + away, start + slide, text),)


def beside(thing: Thing, text: str, columns: tuple[int, int], rows: tuple[int, ...]) -> Iterator[Placing]:
    """Text to the left or right of a standing part, or of the wires at its ends."""
    (row, left), (_, right) = thing.cells[0], thing.cells[-1]
    for away in rows:
        low, high = (left, right) if away == 0 else (min(columns), max(columns))
        for gap in (1, 0) if away else (1,):
            yield (Piece(row + away, low - gap - len(text), text),)
            yield (Piece(row + away, high + 1 + gap, text),)


def current_places(part: str, name: str, half: str, signs: Signs, text: str = "") -> Places:
    """The arrow of a part's current with its name; of the upper or lower half of a potentiometer."""

    def places(canvas: Canvas) -> Iterator[Placing]:
        thing = canvas.thing("part", part)
        if thing is None:
            return
        if is_lying(canvas, thing):
            shown = f"{name} {signs.right}{text}"
            shift = {"": 0, "top": -4, "bottom": 4}[half]
            for (piece,) in along(thing, shown, (-1, 1)):
                yield (piece._replace(column=piece.column + shift),)
        else:
            rows = {"": (0, -1, 1), "top": (-1, -2), "bottom": (1, 2)}[half]
            yield from beside(thing, f"{name} {signs.down}{text}", ends(canvas, thing), rows)

    return places


def output_places(amp: str, name: str, signs: Signs) -> Places:
    """The arrow of the current out of an op-amp's output pin."""

    def places(canvas: Canvas) -> Iterator[Placing]:
        thing = canvas.thing("op-amp", amp)
        if thing is None:
            return
        shape = corners(thing.cells)
        row, tip = shape.tip
        shown = f"{name} {signs.right}" if shape.way > 0 else f"{signs.left} {name}"
        for away in (-1, 1):
            for far in range(1, 8):
                column = tip + far if shape.way > 0 else tip - far - len(shown) + 1
                yield (Piece(row + away, column, shown),)

    return places


def terminal_places(terminal: str, name: str, signs: Signs) -> Places:
    """The arrow of the current into the source that a terminal stands for."""

    def places(canvas: Canvas) -> Iterator[Placing]:
        thing = canvas.thing("terminal", terminal)
        if thing is None:
            return
        joins = canvas.wires[thing.cells[0]].joins
        if joins & {"left", "right"}:
            yield from _along_end(thing.cells[0], "right" in joins, name, signs)
        if joins & {"up", "down"}:
            yield from _beside_end(thing.cells[0], "down" in joins, name, signs)

    return places


def _along_end(end: Cell, wire_to_right: bool, name: str, signs: Signs) -> Iterator[Placing]:
    row, column = end
    shown = f"{signs.left} {name}" if wire_to_right else f"{name} {signs.right}"
    for away in (-1, 1):
        for far in range(6):
            start = column + far if wire_to_right else column - far - len(shown) + 1
            yield (Piece(row + away, start, shown),)


def _beside_end(end: Cell, wire_down: bool, name: str, signs: Signs) -> Iterator[Placing]:
    row, column = end
    shown, step = (f"{name} {signs.up}", 1) if wire_down else (f"{name} {signs.down}", -1)
    for away in (1, 2):
        for start in (column + 2, column + 1, column - 1 - len(shown), column - len(shown)):
            yield (Piece(row + step * away, start, shown),)


def drop_places(part: str, signs: Signs) -> Places:
    """+ and - at the ends of a part."""

    def places(canvas: Canvas) -> Iterator[Placing]:
        thing = canvas.thing("part", part)
        if thing is None:
            return
        (row, left), (_, right) = thing.cells[0], thing.cells[-1]
        wide = len(signs.plus) - 1
        if is_lying(canvas, thing):
            for away in (1, -1):
                for out in (1, 0, 2):
                    yield (
                        Piece(row + away, left - out - wide, signs.plus),
                        Piece(row + away, right + out, signs.minus),
                    )
            return
        top, bottom = ends(canvas, thing)
        for gap in (1, 2):
            for first in (top - gap - wide, top + gap):
                for second in (bottom - gap - wide, bottom + gap):
                    yield (Piece(row - 1, first, signs.plus), Piece(row + 1, second, signs.minus))

    return places


def value_places(part: str, text: str, below_first: bool = True) -> Places:
    """A value at its part: below or above a lying one, beside a standing one."""

    def places(canvas: Canvas) -> Iterator[Placing]:
        thing = canvas.thing("part", part) or canvas.thing("terminal", part)
        if thing is None:
            return
        if thing.kind == "terminal" or is_lying(canvas, thing):
            shown = thing if thing.kind == "part" else thing._replace(cells=thing.cells[1:])
            yield from along(shown, text, (1, -1) if below_first else (-1, 1))
        else:
            yield from beside(thing, text, ends(canvas, thing), (0, 1, -1))

    return places


def beside_arrow(arrow: Placing | None, text: str) -> Iterator[Placing]:
    """A current's value right behind, above, below or before its arrow."""
    if arrow is None:
        return
    row, column, name = arrow[0]
    yield (Piece(row, column + len(name) + 1, text),)
    for away in (-1, 1):
        for start in (column + (len(name) - len(text)) // 2, column, column + len(name) - len(text)):
            yield (Piece(row + away, start, text),)
    yield (Piece(row, column - len(text) - 1, text),)


def pin_cells(canvas: Canvas, amp: str) -> list[tuple[Cell, int]]:
    """Where an op-amp's upper input, lower input and output leave the triangle, and in which direction (+1 right)."""
    thing = canvas.thing("op-amp", amp)
    if thing is None:
        return []
    shape = corners(thing.cells)
    return [(shape.upper, -shape.way), (shape.lower, -shape.way), (shape.tip, shape.way)]


def net_places(board: Board, net: int, text: str) -> list[tuple[int, Placing]]:
    """Places at the wires of a net, with how ill they would be understood there; at a pin or terminal is best."""
    triangles = {cell for thing in board.canvas.things if thing.kind == "op-amp" for cell in thing.cells}
    found: list[tuple[int, Placing]] = []
    for (row, column), wire in board.canvas.wires.items():
        if wire.net != net:
            continue
        at_pin = (row, column - 1) in triangles or (row, column + 1) in triangles
        worth_here = -10 if at_pin else -5 if wire.glyph == "o" else 0
        for piece in _at_wire(row, column, wire.joins, text):
            if board.fits((piece,)):
                cost = (
                    board.strangers(piece, net)
                    + TOUCHING * board.crowding((piece,))
                    + BEHIND_ARROW * board.behind_arrow(piece)
                )
                found.append((worth_here + cost, (piece,)))
    return sorted(found, key=lambda item: item[0])


def _at_wire(row: int, column: int, joins: frozenset[str], text: str) -> Iterator[Piece]:
    wide = len(text)
    if joins & {"left", "right"}:
        for away in (1, -1):
            for start in (column - wide // 2, column, column - wide + 1, column - wide, column + 1):
                yield Piece(row + away, start, text)
    if joins & {"up", "down"}:
        for start in (column + 2, column - 1 - wide, column + 1, column - wide):
            yield Piece(row, start, text)
