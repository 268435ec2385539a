"""A drawing as a canvas that can be stretched: wires grow longer, things stay whole, nothing else changes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from problems.circuits.drawing.drawing import Drawing
from problems.circuits.drawing.glyphs import OPPOSITE, RUNS, STEP, Side
from problems.circuits.drawing.sheet import Cell

ROWS, COLUMNS = 0, 1
_STRAIGHT = {ROWS: "|", COLUMNS: "-"}
_ALONG: Mapping[int, frozenset[Side]] = {ROWS: frozenset({"up", "down"}), COLUMNS: frozenset({"left", "right"})}


class Wire(NamedTuple):
    """A cell of wire: its plain character, its net, and the sides at which it is joined."""

    glyph: str
    net: int
    joins: frozenset[Side]


class Thing(NamedTuple):
    """Something that must stay in one piece. kind: ``part``, ``op-amp``, ``terminal`` or ``ground``. cells in order."""

    kind: str
    name: str
    cells: tuple[Cell, ...]
    glyphs: str


@dataclass(frozen=True)
class Canvas:
    """Where everything stands.

    links: for each direction, the cells from which a wire goes on to the next cell (down, or right), and its net.
    """

    wires: Mapping[Cell, Wire]
    things: tuple[Thing, ...]
    links: tuple[Mapping[Cell, int], Mapping[Cell, int]]
    taken: frozenset[Cell] = field(default=frozenset(), repr=False)

    @property
    def width(self) -> int:
        return 1 + max((cell[1] for cell in self.taken), default=0)

    def thing(self, kind: str, name: str) -> Thing | None:
        """The thing of that kind and name."""
        return next((thing for thing in self.things if (thing.kind, thing.name) == (kind, name)), None)


def canvas_of(drawing: Drawing) -> Canvas:
    """The drawing as it stands."""
    net = {cell: number for number, cells in enumerate(drawing.net_cells) for cell in cells}
    wires = {cell: Wire(_at(drawing, cell), net[cell], sides) for cell, sides in drawing.joins.items()}
    things = [Thing("part", part.name, part.box.cells, _text(drawing, part.box.cells)) for part in drawing.boxed]
    things += [
        Thing("op-amp", amp.name, amp.triangle.cells, _text(drawing, amp.triangle.cells)) for amp in drawing.opamps
    ]
    for terminal in drawing.terminals:
        cells = ((terminal.row, terminal.column), *terminal.word.cells)
        things.append(Thing("terminal", terminal.name, cells, "o" + terminal.word.text))
    things += [Thing("ground", "", word.cells, word.text) for word in drawing.grounds]
    links = _links(wires, drawing.contacts)
    taken = frozenset(wires) | {cell for thing in things for cell in thing.cells}
    return Canvas(wires, tuple(things), links, taken)


def _at(drawing: Drawing, cell: Cell) -> str:
    return drawing.rows[cell[0]][cell[1]]


def _text(drawing: Drawing, cells: Iterable[Cell]) -> str:
    return "".join(_at(drawing, cell) for cell in cells)


def _links(
    wires: Mapping[Cell, Wire], contacts: tuple[tuple[Cell, Side, int], ...]
) -> tuple[dict[Cell, int], dict[Cell, int]]:
    """Every step of every wire, through crossings too."""
    links: tuple[dict[Cell, int], dict[Cell, int]] = ({}, {})
    steps = [(cell, side, wire.net) for cell, wire in wires.items() for side in wire.joins]
    for cell, side, net in [*steps, *contacts]:
        axis = ROWS if side in {"up", "down"} else COLUMNS
        here = cell
        while True:
            there = (here[0] + STEP[side][0], here[1] + STEP[side][1])
            links[axis][min(here, there)] = net
            wire = wires.get(there)
            if (
                wire is None
                or OPPOSITE[side] in wire.joins
                or wire.glyph not in RUNS
                or OPPOSITE[side] in RUNS[wire.glyph]
            ):
                break
            here = there
    return links


def stretched(canvas: Canvas, axis: int, at: int) -> Canvas | None:
    """The canvas with a row (or column) put in before row (column) ``at``; None where nothing can give way there.

    The cut may bend round things, as long as no wire is torn sideways.
    """
    moving: dict[int, bool] = {}
    for _ in range(2 * len(canvas.things) + 1):
        cuts = _cuts(canvas, axis, at, moving)
        torn = _torn(canvas, axis, at, cuts)
        if torn is None:
            return _apply(canvas, axis, at, cuts)
        index = _giving_way(canvas, axis, torn, moving)
        if index is None:
            return None
        moving[index] = not moving.get(index, False)
    return None


def _spans(thing: Thing, axis: int) -> dict[int, tuple[int, int]]:
    """First and last position of a thing in each line that runs along the axis."""
    spans: dict[int, tuple[int, int]] = {}
    for cell in thing.cells:
        low, high = spans.get(cell[1 - axis], (cell[axis], cell[axis]))
        spans[cell[1 - axis]] = (min(low, cell[axis]), max(high, cell[axis]))
    return spans


def _cuts(canvas: Canvas, axis: int, at: int, moving: Mapping[int, bool]) -> dict[int, int]:
    """Where each line is cut, if not at ``at``: before or behind the things that stand across the cut."""
    cuts: dict[int, int] = {}
    for index, thing in enumerate(canvas.things):
        spans = _spans(thing, axis)
        low, high = min(span[0] for span in spans.values()), max(span[1] for span in spans.values())
        if index in moving or low < at <= high:
            for line, (first, last) in spans.items():
                cuts[line] = min(cuts.get(line, at), first) if moving.get(index) else max(cuts.get(line, at), last + 1)
    return cuts


def _torn(canvas: Canvas, axis: int, at: int, cuts: Mapping[int, int]) -> tuple[Cell, ...] | None:
    """Cells that belong together but would come apart."""

    def moves(cell: Cell) -> bool:
        return cell[axis] >= cuts.get(cell[1 - axis], at)

    for cell in canvas.links[1 - axis]:
        other = (cell[0] + axis, cell[1] + 1 - axis)
        if moves(cell) != moves(other):
            return cell, other
    for thing in canvas.things:
        if len({moves(cell) for cell in thing.cells}) > 1:
            return thing.cells
    return None


def _giving_way(canvas: Canvas, axis: int, torn: tuple[Cell, ...], moving: Mapping[int, bool]) -> int | None:
    """A thing in the lines of a tear that could be passed on its other side."""
    lines = {cell[1 - axis] for cell in torn}
    for index, thing in enumerate(canvas.things):
        if not moving.get(index) and any(cell[1 - axis] in lines for cell in thing.cells):
            near = any(abs(cell[axis] - other[axis]) <= len(thing.cells) for cell in thing.cells for other in torn)
            if near:
                return index
    return None


def _apply(canvas: Canvas, axis: int, at: int, cuts: Mapping[int, int]) -> Canvas:
    def moved(cell: Cell) -> Cell:
        if cell[axis] < cuts.get(cell[1 - axis], at):
            return cell
        return (cell[0] + 1, cell[1]) if axis == ROWS else (cell[0], cell[1] + 1)

    wires = {moved(cell): wire for cell, wire in canvas.wires.items()}
    links: tuple[dict[Cell, int], dict[Cell, int]] = ({}, {})
    for way in (ROWS, COLUMNS):
        for cell, net in canvas.links[way].items():
            links[way][moved(cell)] = net
            if way == axis and cell[axis] + 1 == cuts.get(cell[1 - axis], at):
                new = (cell[0] + 1, cell[1]) if axis == ROWS else (cell[0], cell[1] + 1)
                links[way][new] = net
                wires[new] = Wire(_STRAIGHT[axis], net, _ALONG[axis])
    things = tuple(thing._replace(cells=tuple(map(moved, thing.cells))) for thing in canvas.things)
    taken = frozenset(wires) | {cell for thing in things for cell in thing.cells}
    return replace(canvas, wires=wires, things=things, links=links, taken=taken)
