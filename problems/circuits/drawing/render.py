"""Showing a drawing again: box characters or plain ASCII, with pin numbers, arrows, signs, values and lit things."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import groupby

from problems import words
from problems.circuits.drawing.board import Board, Piece, letters_of
from problems.circuits.drawing.canvas import COLUMNS, ROWS, Canvas, canvas_of, stretched
from problems.circuits.drawing.drawing import Drawing
from problems.circuits.drawing.labels import (
    ASCII,
    UNICODE,
    Label,
    Signs,
    current_places,
    drop_places,
    net_places,
    output_places,
    pin_cells,
    terminal_places,
    value_places,
)
from problems.circuits.drawing.legend import part_values
from problems.circuits.drawing.look import shown
from problems.circuits.drawing.marks import Marks, Row, Span, Style, Values
from problems.circuits.drawing.sheet import Cell
from problems.circuits.netlist import PACKAGES, Netlist

_WIDENINGS = tuple(
    (ROWS,) * rows + (COLUMNS,) * columns for columns in range(9) for rows in range(2) if rows + columns
)
"""Ways to make room, least first: a row above the part, columns beside it, or both."""


def render(
    drawing: Drawing,
    netlist: Netlist,
    marks: Marks | None = None,
    unicode: bool = True,
    values: Values = "legend",
    pins: bool = True,
) -> tuple[Row, ...]:
    """The drawing as rows of styled text.

    netlist: the circuit built from the drawing; it gives pin numbers, names and values. marks: what to show beside.
    unicode: box characters, or plain ASCII. values: ``"place"`` writes the parts' values beside them where there is room,
    the others leave them to ``legend``. pins: whether pin numbers stand at the op-amps.

    No character of the circuit is overwritten, except straight wire by pin numbers; where there is no room the wires
    are made longer, and what then has no place follows in lines under the drawing.
    """
    asked = marks or Marks()
    signs = UNICODE if unicode else ASCII
    labels = list(_labels(drawing, netlist, asked, signs, values, unicode))
    canvas = canvas_of(drawing)
    numbers = _pin_numbers(drawing, netlist) if pins else {}
    for amp in numbers:
        canvas = _room_for_pins(canvas, amp, numbers[amp])
    board, left_over = _compose(canvas, labels, drawing, netlist, numbers)
    for node, text in asked.voltages.items():
        left_over += _write_voltage(board, drawing, netlist, node, text, unicode)
    for label in (label for label in labels if not label.must):
        if not board.write_best(label.places(board.canvas), label.style):
            left_over.append(label.otherwise)
    rows = _paint(board, drawing, netlist, asked, unicode)
    return (*rows, *((Span(line, "known"),) for line in left_over))


def _labels(
    drawing: Drawing, netlist: Netlist, marks: Marks, signs: Signs, values: Values, unicode: bool
) -> Iterator[Label]:
    """Everything to write that belongs to a part, most wanted first."""
    for branch, text in marks.currents.items():
        part, _, half = branch.partition(".")
        name = f"I_{branch}"
        otherwise = words.say("drawing.under.current", name=name, text=text).rstrip(" =")
        kind = _kind(drawing, part)
        if kind == "op-amp":
            yield Label("name", output_places(part, name, signs), otherwise, True, (kind, part))
        elif kind == "terminal":
            yield Label("name", terminal_places(part, name, signs), otherwise, True, (kind, part))
        elif kind == "part":
            yield Label("name", current_places(part, name, half, signs), otherwise, True, (kind, part))
        if text and kind:
            yield Label("known", value_places(part, text), f"{name} = {text}", at=(kind, part))
    for part in sorted(marks.drops):
        otherwise = words.say("drawing.under.drop", name=f"V_{part}")
        yield Label("name", drop_places(part, signs), otherwise, True, ("part", part))
    if values == "place":
        for name, text in part_values(netlist, ascii_only=not unicode, drawn=drawing):
            yield Label("known", value_places(name, text), f"{name} {text}", at=("part", name))


def _kind(drawing: Drawing, name: str) -> str:
    if any(part.name == name for part in drawing.boxed):
        return "part"
    if any(amp.name == name for amp in drawing.opamps):
        return "op-amp"
    return "terminal" if name in drawing.terminal_names else ""


def _pin_numbers(drawing: Drawing, netlist: Netlist) -> dict[str, tuple[str, str, str]]:
    """Pin numbers of each op-amp: upper input, lower input, output."""
    package = PACKAGES[netlist.package]
    found: dict[str, tuple[str, str, str]] = {}
    for index, amp in enumerate(drawing.opamps):
        minus, plus, out = package[index % len(package)]
        found[amp.name] = (minus, plus, out) if amp.triangle.minus_on_top else (plus, minus, out)
    return found


def _number_cells(canvas: Canvas, amp: str, numbers: tuple[str, str, str]) -> list[tuple[list[Cell], str]]:
    """For each pin, the cells that its number takes, from left to right."""
    found = []
    for ((row, column), way), number in zip(pin_cells(canvas, amp), numbers, strict=True):
        cells = [(row, column + way * far) for far in range(1, len(number) + 1)]
        found.append((sorted(cells), number))
    return found


def _is_plain_wire(canvas: Canvas, cell: Cell) -> bool:
    wire = canvas.wires.get(cell)
    return wire is not None and wire.glyph == "-" and cell not in _crossings(canvas)


def _crossings(canvas: Canvas) -> set[Cell]:
    """Cells where a wire passes over another."""
    return {
        cell
        for axis, glyph in ((ROWS, "-"), (COLUMNS, "|"))
        for cell in canvas.links[axis]
        if cell in canvas.wires and canvas.wires[cell].glyph == glyph and canvas.wires[cell].net != canvas.links[axis][cell]
    }


def _room_for_pins(canvas: Canvas, amp: str, numbers: tuple[str, str, str]) -> Canvas:
    """The canvas with enough straight wire beside the op-amp's pins for their numbers."""
    limit = max(80, canvas.width)
    for _ in range(8):
        short = [
            index
            for index, (cells, _) in enumerate(_number_cells(canvas, amp, numbers))
            if not all(_is_plain_wire(canvas, cell) for cell in cells)
        ]
        if not short:
            break
        (_, column), way = pin_cells(canvas, amp)[short[0]]
        wider = stretched(canvas, COLUMNS, column if way < 0 else column + 1)
        if wider is None or wider.width > limit:
            break
        canvas = wider
    return canvas


def _compose(
    canvas: Canvas, labels: list[Label], drawing: Drawing, netlist: Netlist, numbers: Mapping[str, tuple[str, str, str]]
) -> tuple[Board, list[str]]:
    """Place the labels that must stand, stretching the drawing where there is no room for one."""
    must = [label for label in labels if label.must]
    hopeless: list[Label] = []
    for count in range(1, len(must) + 1):
        wanted = [label for label in must[:count] if label not in hopeless]
        if must[count - 1] in hopeless or _place_all(canvas, wanted, numbers) is not None:
            continue
        wider = _make_room(canvas, wanted, numbers)
        if wider is None:
            hopeless.append(must[count - 1])
        else:
            canvas = wider
    board = _place_all(canvas, [label for label in must if label not in hopeless], numbers) or Board(canvas)
    return board, [label.otherwise for label in hopeless]


def _place_all(canvas: Canvas, labels: list[Label], numbers: Mapping[str, tuple[str, str, str]]) -> Board | None:
    board = Board(canvas)
    for amp, pins in numbers.items():
        for cells, number in _number_cells(canvas, amp, pins):
            if all(_is_plain_wire(canvas, cell) for cell in cells):
                board.write((Piece(*cells[0], number),), "name")
    for label in labels:
        if not board.write_best(label.places(canvas), label.style):
            return None
    return board


def _make_room(canvas: Canvas, labels: list[Label], numbers: Mapping[str, tuple[str, str, str]]) -> Canvas | None:
    """The least stretched canvas on which all these labels have room; None where stretching does not help."""
    limit = max(80, canvas.width)
    for widening in _WIDENINGS:
        wider: Canvas | None = canvas
        for axis in widening:
            thing = wider.thing(*labels[-1].at) if wider else None
            if wider is None or thing is None:
                return None
            row, right = thing.cells[0][0], max(column for _, column in thing.cells)
            wider = stretched(wider, axis, row if axis == ROWS else right + 1)
        if wider is not None and wider.width <= limit and _place_all(wider, labels, numbers) is not None:
            return wider
    return None


def _write_voltage(
    board: Board, drawing: Drawing, netlist: Netlist, node: str, text: str, unicode: bool
) -> list[str]:
    """Write a node's voltage at its wire; a line for under the drawing where there is no place that is plain."""
    net = drawing.net_of(node, netlist.package)
    places = net_places(board, net, text) if net is not None else []
    if places and places[0][0] < 6:
        board.write(places[0][1], "known")
        return []
    return [f"V_{node} = {text}"]


def _paint(board: Board, drawing: Drawing, netlist: Netlist, marks: Marks, unicode: bool) -> list[Row]:
    """The rows of a board, from the first to the last that is not blank."""
    canvas = board.canvas
    letters = {
        cell: (shown(canvas, cell, letter, unicode), _style(canvas, cell)) for cell, letter in letters_of(canvas).items()
    }
    letters.update(board.letters)
    for cell in _lit(canvas, drawing, netlist, marks):
        if cell in letters:
            letters[cell] = (letters[cell][0], "lit")
    used = {row for row, _ in letters}
    lines: dict[int, dict[int, tuple[str, Style]]] = {row: {} for row in range(min(used), max(used) + 1)}
    for (row, column), letter in letters.items():
        lines[row][column] = letter
    return [_row(line) for line in lines.values()]


def _row(letters: Mapping[int, tuple[str, Style]]) -> Row:
    cells: list[tuple[str, Style]] = [letters.get(column, (" ", "wire")) for column in range(max(letters, default=-1) + 1)]
    return tuple(
        Span("".join(letter for letter, _ in run), style) for style, run in groupby(cells, key=lambda cell: cell[1])
    )


def _style(canvas: Canvas, cell: Cell) -> Style:
    if cell in canvas.wires:
        return "wire"
    kind = next((thing.kind for thing in canvas.things if cell in thing.cells), "part")
    return "name" if kind == "terminal" else "wire" if kind == "ground" else "part"


def _lit(canvas: Canvas, drawing: Drawing, netlist: Netlist, marks: Marks) -> Iterator[Cell]:
    """Cells to light up."""
    nets = {drawing.net_of(node, netlist.package) for node in marks.nets}
    yield from (cell for cell, wire in canvas.wires.items() if wire.net in nets)
    for thing in canvas.things:
        if thing.name in marks.parts and thing.kind in {"part", "op-amp", "terminal"}:
            yield from thing.cells
        if thing.kind == "ground" and "0" in marks.nets:
            yield from thing.cells
        if thing.kind == "terminal" and canvas.wires[thing.cells[0]].net in nets:
            yield from thing.cells
    for amp, numbers in _pin_numbers(drawing, netlist).items():
        for cells, number in _number_cells(canvas, amp, numbers):
            if f"{amp}.{number}" in marks.pins or (number in marks.pins and len(drawing.opamps) == 1):
                yield from cells
