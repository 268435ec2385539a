"""Showing a drawing again: box characters or plain ASCII, with pin numbers, arrows, signs, values and lit things."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby

from problems import words
from problems.circuits.drawing.board import WIDEST, Board, Placing, letters_of
from problems.circuits.drawing.canvas import canvas_of
from problems.circuits.drawing.drawing import Drawing
from problems.circuits.drawing.labels import (
    ASCII,
    UNICODE,
    Label,
    Signs,
    beside_arrow,
    current_places,
    drop_places,
    net_places,
    output_places,
    terminal_places,
    value_places,
)
from problems.circuits.drawing.layout import PinNumbers, compose, number_cells, room_for_pins
from problems.circuits.drawing.legend import part_values, up_to_date
from problems.circuits.drawing.look import shown
from problems.circuits.drawing.marks import Marks, Row, Span, Style, Values, with_sources
from problems.circuits.drawing.sheet import Cell
from problems.circuits.netlist import Netlist, pin_numbers
from problems.circuits.parts.base import part_of
from problems.quantities import GROUND

TOO_STRANGE = 6
"""A node voltage is not written where its surroundings speak so strongly for another net."""

_Letters = dict[Cell, tuple[str, Style]]


def render(  # noqa: PLR0913  a drawing, its circuit, and four choices of look
    drawing: Drawing,
    netlist: Netlist,
    marks: Marks | None = None,
    unicode: bool = True,
    values: Values = "legend",
    *,
    pins: bool = True,
) -> tuple[Row, ...]:
    """The drawing as rows of styled text.

    netlist: the circuit built from the drawing; it gives pin numbers, names and values. marks: what to show beside.
    unicode: box characters, or plain ASCII. values: ``"place"`` writes the parts' values beside them where there is
    room, the others leave them to ``legend``. pins: whether pin numbers stand at the op-amps.

    No character of the circuit is overwritten, except straight wire by pin numbers; where there is no room the wires
    are made longer, and what then has no place follows in lines under the drawing.
    """
    boxed = {part.name for part in drawing.boxed}
    sources = {part.name: part.kind for part in netlist.parts if part.name in boxed and part.independent}
    shown_marks = with_sources(marks or Marks(), sources) if pins else marks or Marks()
    return _Picture(drawing, netlist, shown_marks, unicode, values, pins).rows()


@dataclass(frozen=True)
class _Picture:
    """One drawing on its way to the screen."""

    drawing: Drawing
    netlist: Netlist
    marks: Marks
    unicode: bool
    values: Values
    with_pins: bool

    def rows(self) -> tuple[Row, ...]:
        drawn = up_to_date(canvas_of(self.drawing), self.drawing, self.netlist)
        canvas = room_for_pins(drawn, self.numbers if self.with_pins else {})
        board, hopeless = compose(canvas, self._must(), self.numbers if self.with_pins else {})
        under = [label.otherwise for label in hopeless]
        under += [text for node in self.marks.voltages if (text := self._write_voltage(board, node))]
        values = [(label, self._value_places(board, label)) for label in self._may()]
        for label, places in sorted(values, key=lambda value: sum(map(board.fits, value[1]))):  # the scarcest first
            if not board.write_best(places, label.style, arrow=board.written.get(label.key)):
                under.append(label.otherwise)
        return (*self._paint(board), *_listed(under))

    @property
    def signs(self) -> Signs:
        return UNICODE if self.unicode else ASCII

    @cached_property
    def numbers(self) -> PinNumbers:
        """Pin numbers of each op-amp: upper input, lower input, output."""
        found: dict[str, tuple[str, str, str]] = {}
        for index, amp in enumerate(self.drawing.opamps):
            minus, plus, out = pin_numbers(self.netlist.package, index)
            found[amp.name] = (minus, plus, out) if amp.triangle.minus_on_top else (plus, minus, out)
        return found

    def _kind(self, name: str) -> str:
        if any(part.name == name for part in self.drawing.boxed):
            return "part"
        if any(amp.name == name for amp in self.drawing.opamps):
            return "op-amp"
        return "terminal" if name in self.drawing.terminal_names else ""

    def _must(self) -> Iterator[Label]:
        """Arrows and signs, for which the drawing may be stretched."""
        for branch in self.marks.currents:
            part, _, half = branch.partition(".")
            name, kind = f"I_{branch}", self._kind(part)
            places = {
                "op-amp": output_places(part, name, self.signs),
                "terminal": terminal_places(part, name, self.signs),
            }.get(kind, current_places(part, name, half, self.signs))
            otherwise = words.say("drawing.under.current", name=name, direction=self._direction(branch))
            yield Label("name", name, places, otherwise, (kind, part), key=name)
        for part in sorted(self.marks.drops):
            otherwise = words.say("drawing.under.drop", name=f"V_{part}", direction=self._direction(part))
            yield Label("name", part, drop_places(part, self.signs), otherwise, ("part", part))

    def _direction(self, branch: str) -> str:
        """From where to where a current or drop is counted."""
        found = next((item for item in self.netlist.branches if item.part == part_of(branch)), None)
        if found is None or found.start is None or found.end is None:
            return words.say("drawing.under.out")
        nodes = [words.say("drawing.under.ground") if n == GROUND else n for n in (found.start, found.end)]
        return words.say("drawing.under.way", start=nodes[0], end=nodes[1])

    def _may(self) -> Iterator[Label]:
        """Values, which stand at their place where there is room."""
        for branch, text in self.marks.currents.items():
            if text:
                part = part_of(branch)
                yield Label("known", text, value_places(part, text), f"I_{branch} = {text}", key=f"I_{branch}")
        if self.values == "place":
            shown_already = {self.netlist.held.get(node) for node in self.marks.voltages}
            for name, text in part_values(self.netlist, ascii_only=not self.unicode, drawn=self.drawing):
                if name not in shown_already:
                    yield Label("known", text, value_places(name, text), f"{name} {text}")

    @staticmethod
    def _value_places(board: Board, label: Label) -> list[Placing]:
        """Where a value may stand: at its part, then around its arrow."""
        return [*label.places(board.canvas), *beside_arrow(board.written.get(label.key), label.text)]

    def _write_voltage(self, board: Board, node: str) -> str:
        """Write a node's voltage at its wire; a line for under the drawing where no place is plain."""
        text = self.marks.voltages[node]
        net = self.drawing.net_of(node, self.netlist.package)
        places = net_places(board, net, text) if net is not None else []
        if places and places[0][0] < TOO_STRANGE:
            board.write(places[0][1], "known")
            return ""
        return f"V_{node} = {text}"

    def _paint(self, board: Board) -> list[Row]:
        """The rows of a board, from the first to the last that is not blank."""
        canvas = board.canvas
        letters: _Letters = {
            cell: (shown(canvas, cell, letter, self.unicode), _style(board, cell))
            for cell, letter in letters_of(canvas).items()
        }
        letters.update(board.letters)
        for cell in self._lit(board):
            if cell in letters:
                letters[cell] = (letters[cell][0], "lit")
        used = {row for row, _ in letters}
        lines: dict[int, dict[int, tuple[str, Style]]] = {row: {} for row in range(min(used), max(used) + 1)}
        for (row, column), letter in letters.items():
            lines[row][column] = letter
        return [_row(line) for line in lines.values()]

    def _lit(self, board: Board) -> Iterator[Cell]:
        """Cells to light up."""
        canvas, marks = board.canvas, self.marks
        nets = {self.drawing.net_of(node, self.netlist.package) for node in marks.nets}
        yield from (cell for cell, wire in canvas.wires.items() if wire.net in nets)
        for thing in canvas.things:
            on_net = thing.kind == "terminal" and canvas.wires[thing.cells[0]].net in nets
            grounded = thing.kind == "ground" and GROUND in marks.nets
            if on_net or grounded or (thing.kind != "ground" and thing.name in marks.parts):
                yield from thing.cells
        for amp, numbers in self.numbers.items():
            for cells, number in number_cells(canvas, amp, numbers):
                if f"{amp}.{number}" in marks.pins or (number in marks.pins and len(self.drawing.opamps) == 1):
                    yield from cells


def _style(board: Board, cell: Cell) -> Style:
    if cell in board.canvas.wires:
        return "wire"
    kind = next((thing.kind for thing in board.canvas.things if cell in thing.cells), "part")
    return "name" if kind == "terminal" else "wire" if kind == "ground" else "part"


def _row(letters: Mapping[int, tuple[str, Style]]) -> Row:
    width = max(letters, default=-1) + 1
    cells: list[tuple[str, Style]] = [letters.get(column, (" ", "wire")) for column in range(width)]
    runs = groupby(cells, key=lambda cell: cell[1])
    return tuple(Span("".join(letter for letter, _ in run), style) for style, run in runs)


def _listed(texts: list[str]) -> Iterator[Row]:
    """What found no place, as lines under the drawing."""
    line = ""
    for text in texts:
        if line and len(line) + len(text) + 3 > WIDEST:
            yield (Span(line, "known"),)
            line = ""
        line = f"{line}   {text}" if line else text
    if line:
        yield (Span(line, "known"),)
