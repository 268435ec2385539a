"""Making room: the canvas stretched until every label that must stand has its place."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from problems.circuits.drawing.board import WIDEST, Board, Piece
from problems.circuits.drawing.canvas import COLUMNS, ROWS, Canvas, stretched
from problems.circuits.drawing.labels import Label, pin_cells
from problems.circuits.drawing.sheet import Cell

PinNumbers = Mapping[str, tuple[str, str, str]]
"""Op-amp to the pin numbers of its upper input, lower input and output."""

_WIDENINGS = tuple(
    sorted(
        (
            rows + (sides * columns)[:columns]
            for columns in range(16)
            for rows in ((), ("above",), ("below",), ("above", "below"))
            for sides in (("right",), ("left",), ("right", "left"))
            if rows or columns
        ),
        key=len,
    )
)
"""Ways to make room, least first: rows above and below the part, columns to its sides, or both."""


def number_cells(canvas: Canvas, amp: str, numbers: tuple[str, str, str]) -> list[tuple[list[Cell], str]]:
    """For each pin, the cells that its number takes, from left to right."""
    found = []
    for ((row, column), way), number in zip(pin_cells(canvas, amp), numbers, strict=True):
        cells = [(row, column + way * far) for far in range(1, len(number) + 1)]
        found.append((sorted(cells), number))
    return found


def room_for_pins(canvas: Canvas, numbers: PinNumbers) -> Canvas:
    """The canvas with enough straight wire beside the op-amps' pins for their numbers, as far as its width allows."""
    for amp in numbers:
        for _ in range(8):  # three pins, two digits at most
            wider = _one_more(canvas, amp, numbers[amp])
            if wider is None:
                break
            canvas = wider
    return canvas


def _one_more(canvas: Canvas, amp: str, numbers: tuple[str, str, str]) -> Canvas | None:
    """One column more beside a pin whose number has no room; None where all have, or none can be had."""
    for index, (cells, _) in enumerate(number_cells(canvas, amp, numbers)):
        if not all(is_plain_wire(canvas, cell) for cell in cells):
            (_, column), way = pin_cells(canvas, amp)[index]
            wider = stretched(canvas, COLUMNS, column if way < 0 else column + 1)
            if wider is not None and wider.width <= max(WIDEST, canvas.width):
                return wider
    return None


def is_plain_wire(canvas: Canvas, cell: Cell) -> bool:
    """Whether a cell is straight lying wire that nothing crosses, so that a digit may stand in it."""
    wire = canvas.wires.get(cell)
    return wire is not None and wire.glyph == "-" and canvas.links[ROWS].get(cell, wire.net) == wire.net


def compose(canvas: Canvas, labels: Iterable[Label], numbers: PinNumbers) -> tuple[Board, list[Label]]:
    """Write the labels, stretching the drawing where there is no room for one; and those that never have any."""
    placed: list[Label] = []
    hopeless: list[Label] = []
    board = place_all(canvas, placed, numbers) or Board(canvas)
    for label in labels:
        if not board.write_best(label.places(board.canvas), label.style, label.key):
            wider = _make_room(board.canvas, [*placed, label], numbers)
            if wider is None:
                hopeless.append(label)
                continue
            board = wider
        placed.append(label)
    return board, hopeless


def place_all(canvas: Canvas, labels: Iterable[Label], numbers: PinNumbers) -> Board | None:
    """A board with the pin numbers and these labels; None where one of them has no room."""
    board = Board(canvas)
    for amp, pins in numbers.items():
        for cells, number in number_cells(canvas, amp, pins):
            if all(is_plain_wire(canvas, cell) for cell in cells):
                board.write((Piece(*cells[0], number),), "name")
    for label in labels:
        if not board.write_best(label.places(canvas), label.style, label.key):
            return None
    return board


def _make_room(canvas: Canvas, labels: list[Label], numbers: PinNumbers) -> Board | None:
    """These labels on the least stretched canvas that has room for all; None where stretching does not help."""
    limit = max(WIDEST, canvas.width)
    tried: dict[tuple[str, ...], Canvas | None] = {(): canvas}
    for widening in _WIDENINGS:
        before = tried.get(widening[:-1])
        wider = _widened(before, widening[-1], labels[-1].at) if before else None
        if wider is None or wider.width > limit:
            continue
        tried[widening] = wider
        board = place_all(wider, labels, numbers)
        if board is not None:
            return board
    return None


def _widened(canvas: Canvas, where: str, at: tuple[str, str]) -> Canvas | None:
    """The canvas with a row or column put in beside a thing."""
    thing = canvas.thing(*at)
    if thing is None:
        return None
    rows, columns = {row for row, _ in thing.cells}, {column for _, column in thing.cells}
    axis, place = {
        "above": (ROWS, min(rows)),
        "below": (ROWS, max(rows) + 1),
        "right": (COLUMNS, max(columns) + 1),
        "left": (COLUMNS, min(columns)),
    }[where]
    return stretched(canvas, axis, place)
