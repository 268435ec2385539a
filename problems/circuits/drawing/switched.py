"""A drawing redrawn with one source on: what is off stands there as a wire, as a gap, or as ground."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import count

from problems.circuits.drawing.canvas import COLUMNS, ROWS, Canvas, Thing, Wire, canvas_of, stretched
from problems.circuits.drawing.drawing import BoxedPart, Drawing
from problems.circuits.drawing.faults import DrawingError
from problems.circuits.drawing.glyphs import OPPOSITE, RUNS, STEP, Side
from problems.circuits.drawing.reader import read_drawing
from problems.circuits.drawing.sheet import Cell
from problems.circuits.drawing.terminals import GROUND_WORD
from problems.circuits.netlist import Netlist
from problems.circuits.off import Feed, OneOn
from problems.circuits.parts.voltage_source import VoltageSource
from problems.quantities import GROUND

ROOM = {COLUMNS: 7, ROWS: 3}
"""Cells of wire before an end that goes to ground: the ground symbol, a gap, and a piece of wire."""


class _NotDrawn(Exception):
    """This drawing does not show that circuit; never leaves this file."""


def redrawn(whole: Netlist, drawing: Drawing, circuit: OneOn) -> Netlist | None:
    """The circuit read again from the drawing with the other sources off; None where it cannot be drawn so.

    What is drawn is read like any drawing and compared: it is the same circuit, but for the names of nets.
    """
    try:
        sketch = _Sketch(drawing)
        for feed in circuit.fed:
            sketch.ground_end(feed, whole, circuit)
        for name in circuit.off:
            sketch.take_out(name, isinstance(whole.part(name), VoltageSource))
        again = read_drawing("\n".join(sketch.rows()))
        values = {symbol: value for symbol, value in whole.values.items() if symbol in circuit.units}
        driven = {t.name: t.name for t in again.terminals if t.name == circuit.source.name}
        parts = again.parts(driven, whole.package)
        read = Netlist(parts, values, package=whole.package, drawing=again)
    except (_NotDrawn, DrawingError, ValueError):
        return None
    return read if same_circuit(read, circuit) else None


def same_circuit(one: Netlist, other: Netlist) -> bool:
    """Whether two circuits have the same parts between the same nodes, whatever the nodes are called but for ground."""
    mine, theirs = ({part.name: part for part in netlist.parts} for netlist in (one, other))
    if mine.keys() != theirs.keys() or any(type(mine[name]) is not type(theirs[name]) for name in mine):
        return False
    pairs = {pair for name in mine for pair in zip(mine[name].nodes, theirs[name].nodes, strict=True)}
    pairs.add((GROUND, GROUND))
    return len(pairs) == len({node for node, _ in pairs}) == len({node for _, node in pairs})


class _Sketch:
    """A drawing that is being changed. wires: the cells of wire and where each is joined."""

    def __init__(self, drawing: Drawing):
        self.drawing = drawing
        self.canvas = canvas_of(drawing)
        self._load(self.canvas)

    def _load(self, canvas: Canvas) -> None:
        self.wires: dict[Cell, Wire] = dict(canvas.wires)
        self.things: list[Thing] = list(canvas.things)
        self.links = canvas.links

    def _thing(self, kind: str, name: str) -> Thing:
        return next((thing for thing in self.things if (thing.kind, thing.name) == (kind, name)), None) or _fail()

    # What goes

    def take_out(self, name: str, wire: bool) -> None:
        """A source switched off: a driven terminal becomes ground, a boxed source a wire or a gap."""
        terminals = [thing for thing in self.things if (thing.kind, thing.name) == ("terminal", name)]
        if terminals:
            for thing in terminals:
                self._ground_terminal(thing)
            return
        box = self._thing("part", name)
        ends = self._ends_of(box)
        self.things.remove(box)
        if wire:
            self._bridge(box, ends)
        else:
            for cell, side in ends:
                self._let_go(cell, OPPOSITE[side])

    def _ends_of(self, box: Thing) -> list[tuple[Cell, Side]]:
        """The cells of wire that meet the ends of a boxed part, and on which side of it they lie."""
        part = next(part for part in self.drawing.boxed if part.name == box.name)
        found: list[tuple[Cell, Side]] = []
        for touch in part.placed.touches[:2]:
            shift = touch.at[1] - part.box.left
            at = box.cells[shift]
            found.append((_step(at, touch.side), touch.side))
        return found

    def _bridge(self, box: Thing, ends: list[tuple[Cell, Side]]) -> None:
        """Wire from one end of a box to the other, where the box was."""
        net = next((self.wires[cell].net for cell, _ in ends if cell in self.wires), 0)
        row = box.cells[0][0]
        if ends[0][1] in ("left", "right"):
            for cell in box.cells:
                self.wires[cell] = Wire("-", net, frozenset({"left", "right"}))
            return
        (above, below) = (cell[1] for cell, _ in ends)
        for column in range(min(above, below), max(above, below) + 1):
            joins: set[Side] = set()
            if column > min(above, below):
                joins.add("left")
            if column < max(above, below):
                joins.add("right")
            joins |= {side for cell, side in ends if cell[1] == column}
            self.wires[row, column] = Wire(_glyph(frozenset(joins)), net, frozenset(joins))

    def _ground_terminal(self, thing: Thing) -> None:
        """``GND`` in place of a terminal and its name."""
        cell = thing.cells[0]
        joins = self.wires.pop(cell).joins
        self.things.remove(thing)
        if len(joins) != 1:
            raise _NotDrawn
        (side,) = joins
        self._put_ground(_word(cell, OPPOSITE[side]))

    # What an end of a part on ground needs

    def ground_end(self, feed: Feed, whole: Netlist, circuit: OneOn) -> None:
        """The end of a part that a silent copy of the source feeds: cut off from the source, put on ground."""
        node = next(node for node in circuit.source.nodes if node != GROUND)
        cell, side = self._fed_end(feed, whole, node)
        axis = COLUMNS if side in ("left", "right") else ROWS
        for _ in range(ROOM[axis]):
            if self._run(cell, side) >= ROOM[axis]:
                break
            if not self._stretch(axis, cell, side):
                break
            cell, side = self._fed_end(feed, whole, node)
        far = self._run(cell, side)
        if cell not in self.wires:
            raise _NotDrawn
        net = self.wires[cell].net
        self._let_go(cell, OPPOSITE[side])
        keep = 0 if far < ROOM[axis] else (2 if axis == COLUMNS else 1)
        here = cell
        for _ in range(keep):
            self.wires[here] = Wire("-" if axis == COLUMNS else "|", net, frozenset({side, OPPOSITE[side]}))
            here = _step(here, side)
        self._put_ground(_word(here, side))

    def _fed_end(self, feed: Feed, whole: Netlist, node: str) -> tuple[Cell, Side]:
        """The cell of wire at the end of what is fed, and on which side of it that lies."""
        if feed.pin:
            amp = next(amp for amp in self.drawing.opamps if amp.name == feed.part)
            number = 0 if feed.pin == "minus" else 1
            thing = self._thing("op-amp", feed.part)
            at = dict(zip(amp.triangle.cells, thing.cells, strict=True))[amp.triangle.pins[number]]
            side: Side = "left" if amp.triangle.way > 0 else "right"
            return _step(at, side), side
        part: BoxedPart = next(part for part in self.drawing.boxed if part.name == feed.part)
        ends = [index for index, at in enumerate(whole.part(feed.part).nodes) if at == node]
        if len(ends) != 1 or ends[0] > 1:
            raise _NotDrawn
        touch = part.placed.touches[ends[0]]
        box = self._thing("part", feed.part)
        return _step(box.cells[touch.at[1] - part.box.left], touch.side), touch.side

    def _run(self, cell: Cell, side: Side) -> int:
        """How many cells of straight wire lead away from a thing before something else joins."""
        for far in count():
            wire = self.wires.get(cell)
            if wire is None or wire.joins != {side, OPPOSITE[side]} or self._crossed(cell):
                return far
            cell = _step(cell, side)
        raise AssertionError

    def _crossed(self, cell: Cell) -> bool:
        wire = self.wires[cell]
        return any(links.get(cell, wire.net) != wire.net for links in self.links)

    def _stretch(self, axis: int, cell: Cell, side: Side) -> bool:
        """One more cell of wire before a thing; whether there was a way."""
        at = cell[axis]
        place = at + 1 if side in ("left", "up") else at
        canvas = Canvas(self.wires, tuple(self.things), self.links)
        wider = stretched(canvas, axis, place)
        if wider is None:
            return False
        self._load(wider)
        return True

    # Wire that leads nowhere

    def _let_go(self, cell: Cell, side: Side) -> None:
        """A wire no longer joined on one side; what then leads nowhere goes with it."""
        while True:
            wire = self.wires.get(cell)
            if wire is None:
                self._lone_thing(cell)
                return
            joins = wire.joins - {side}
            named = any(thing.kind == "terminal" and thing.cells[0] == cell for thing in self.things)
            if len(joins) >= 2 or (named and joins):
                glyph = "o" if named else _glyph(joins)
                self.wires[cell] = wire._replace(joins=joins, glyph=glyph)
                return
            if named:
                raise _NotDrawn
            self._remove(cell)
            if not joins:
                return
            (onward,) = joins
            cell, side = self._next(cell, onward), OPPOSITE[onward]

    def _remove(self, cell: Cell) -> None:
        """A cell of wire goes; a wire that crosses it there stays."""
        wire = self.wires.pop(cell)
        for axis, glyph, sides in ((COLUMNS, "-", ("left", "right")), (ROWS, "|", ("up", "down"))):
            net = self.links[axis].get(cell)
            if net is not None and net != wire.net:
                self.wires[cell] = Wire(glyph, net, frozenset(sides))  # type: ignore[arg-type]

    def _next(self, cell: Cell, side: Side) -> Cell:
        """The next cell along a wire, over wires that cross it."""
        here = _step(cell, side)
        while here in self.wires and OPPOSITE[side] not in self.wires[here].joins:
            here = _step(here, side)
        return here

    def _lone_thing(self, cell: Cell) -> None:
        """A thing that a vanished wire led to: a ground symbol with nothing else at it goes too."""
        thing = next((thing for thing in self.things if cell in thing.cells), None)
        if thing is None or thing.kind != "ground":
            raise _NotDrawn
        around = {_step(at, side): OPPOSITE[side] for at in thing.cells for side in STEP}
        if not any(at in self.wires and side in self.wires[at].joins for at, side in around.items()):
            self.things.remove(thing)

    # On paper

    def _put_ground(self, cells: tuple[Cell, ...]) -> None:
        taken = set(self.wires) | {cell for thing in self.things for cell in thing.cells}
        if taken & set(cells):
            raise _NotDrawn
        self.things.append(Thing("ground", "", cells, GROUND_WORD))

    def rows(self) -> tuple[str, ...]:
        """The drawing as text."""
        letters = {cell: wire.glyph for cell, wire in self.wires.items()}
        letters |= {cell: glyph for thing in self.things for cell, glyph in zip(thing.cells, thing.glyphs, strict=True)}
        if not letters:
            raise _NotDrawn
        left, top = min(column for _, column in letters), min(row for row, _ in letters)
        left = min(left, 1)
        bottom = max(row for row, _ in letters)
        return tuple(_line(letters, row, left) for row in range(top, bottom + 1))


def _line(letters: Mapping[Cell, str], row: int, left: int) -> str:
    columns = {column: letter for (at, column), letter in letters.items() if at == row}
    return "".join(columns.get(column, " ") for column in range(left, max(columns, default=left - 1) + 1))


def _word(cell: Cell, side: Side) -> tuple[Cell, ...]:
    """The cells of a ground symbol that a wire meets at a cell, the symbol lying to that side of the wire."""
    row, column = cell
    start = {"left": column - 2, "right": column, "up": column - 1, "down": column - 1}[side]
    return tuple((row, start + letter) for letter in range(len(GROUND_WORD)))


def _step(cell: Cell, side: Side) -> Cell:
    down, right = STEP[side]
    return cell[0] + down, cell[1] + right


def _glyph(joins: Iterable[Side]) -> str:
    """Straight wire, or a joint."""
    sides = set(joins)
    return next((glyph for glyph in "-|" if sides <= set(RUNS[glyph])), "+")


def _fail() -> Thing:
    raise _NotDrawn
