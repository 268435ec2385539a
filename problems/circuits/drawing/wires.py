"""Following wires: what each wire end meets, straight on through crossings."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from problems.circuits.drawing.glyphs import ACROSS, ARROWS, JOINTS, OPPOSITE, RUNS, STEP, WIRE, Side
from problems.circuits.drawing.sheet import Cell, Sheet
from problems.quantities import GROUND

STRONG, WEAK = 2, 1
"""A wire that always runs that way; a joint or terminal, which runs there only if it is met."""


_NONE: Mapping[Side, int] = {}
_STRENGTHS: Mapping[str, Mapping[Side, int]] = {
    glyph: dict.fromkeys(RUNS.get(glyph, STEP), STRONG if glyph in RUNS else WEAK) for glyph in WIRE
}


class Meeting(NamedTuple):
    """What is met on leaving a cell towards a side.

    cell: the first cell that is no crossing. crossed: wires passed over.
    strength: how strongly a wire there runs back towards us; 0 where none does.
    """

    cell: Cell
    crossed: tuple[Cell, ...]
    strength: int


class Field:
    """The wire of a drawing among the things it connects."""

    def __init__(self, sheet: Sheet, things: Iterable[Cell], ends: Iterable[Cell], arrows: Iterable[Cell]):
        """things: cells of boxes, triangles and ground symbols. ends: cells of terminals. arrows: wiper arrowheads."""
        self.sheet = sheet
        self.things, self.ends, self.arrows = frozenset(things), frozenset(ends), frozenset(arrows)
        elsewhere = self.things | self.ends | self.arrows
        self._glyphs = {(r, c): glyph for r, c, glyph in sheet.cells if glyph in WIRE and (r, c) not in elsewhere}
        self._strengths: dict[Cell, Mapping[Side, int]] = {cell: _STRENGTHS[g] for cell, g in self._glyphs.items()}
        self._strengths |= dict.fromkeys(self.ends, _STRENGTHS["+"])
        self._strengths |= {cell: {OPPOSITE[ARROWS[sheet.at(*cell)]]: STRONG} for cell in self.arrows}

    def glyph(self, cell: Cell) -> str:
        """The wire character in a cell, or a blank where something else stands."""
        return self._glyphs.get(cell, " ")

    def strength(self, cell: Cell, side: Side) -> int:
        """How strongly the wire in a cell runs towards a side."""
        return self._strengths.get(cell, _NONE).get(side, 0)

    def is_joint(self, cell: Cell) -> bool:
        return cell in self.ends or self.glyph(cell) in JOINTS

    @property
    def wire(self) -> list[Cell]:
        """Every cell of wire, terminals and arrowheads included, in reading order."""
        return sorted(self._strengths)

    def meets(self, cell: Cell, side: Side) -> Meeting:
        """Go straight on from a cell, over wires that truly cross, to the first cell that is something else."""
        crossed: list[Cell] = []
        here = _next(cell, side)
        while self.glyph(here) == ACROSS[side] and self._goes_through(here):
            crossed.append(here)
            here = _next(here, side)
        strength = self.strength(here, OPPOSITE[side])
        if crossed and STRONG not in (strength, self.strength(cell, side)):
            return Meeting(crossed[0], (), 0)  # two joints on either side of a wire do not reach across it
        if crossed and not strength and here not in self.things:
            return Meeting(crossed[0], (), 0)
        return Meeting(here, tuple(crossed), strength)

    def _goes_through(self, cell: Cell) -> bool:
        """Whether a straight wire is met at both of its ends, other crossings passed over."""
        return all(self._is_met(cell, side) for side in RUNS[self.glyph(cell)])

    def _is_met(self, cell: Cell, side: Side) -> bool:
        here = _next(cell, side)
        while self.glyph(here) == ACROSS[side]:
            here = _next(here, side)
        return here in self.things or self.strength(here, OPPOSITE[side]) > 0


def _next(cell: Cell, side: Side) -> Cell:
    down, right = STEP[side]
    return cell[0] + down, cell[1] + right


class Port(NamedTuple):
    """What wire is joined to.

    kind: ``box`` (a terminal of a boxed part), ``pin`` (of an op-amp), ``ground`` (a ground symbol) or ``node`` (a
    name). of: the number of the thing, or the name. number: which terminal or pin of the thing.
    """

    kind: str
    of: int | str
    number: int = 0


GROUND_NET = Port("node", GROUND)

Joined = Cell | Port
"""What a net is made of."""


class Nets:
    """Which cells of wire and ports are joined (union-find)."""

    def __init__(self) -> None:
        self._parent: dict[Joined, Joined] = {}

    def find(self, item: Joined) -> Joined:
        """The representative of an item's net."""
        self._parent.setdefault(item, item)
        root = item
        while self._parent[root] != root:
            root = self._parent[root]
        while self._parent[item] != root:
            self._parent[item], item = root, self._parent[item]
        return root

    def join(self, one: Joined, other: Joined) -> None:
        self._parent[self.find(other)] = self.find(one)

    def groups(self) -> list[list[Joined]]:
        """The nets, each a list of items, in order of first mention."""
        found: dict[Joined, list[Joined]] = {}
        for item in self._parent:
            found.setdefault(self.find(item), []).append(item)
        return list(found.values())
