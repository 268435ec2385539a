"""How a boxed part is connected: lying between left and right, standing between above and below, and its wiper."""

from __future__ import annotations

from dataclasses import dataclass, field

from problems.circuits.drawing.glyphs import ARROWS, STEP, Side
from problems.circuits.drawing.shapes import Box
from problems.circuits.drawing.sheet import Cell
from problems.circuits.drawing.wires import STRONG, WEAK, Field


@dataclass(frozen=True)
class Touch:
    """One wire that meets a side of a box. at: cell of the box. cell: the wire's cell (or another thing's)."""

    side: Side
    at: Cell
    cell: Cell
    strength: int
    crossed: tuple[Cell, ...] = ()


@dataclass(frozen=True)
class Placed:
    """A box with the wires of its terminals: first, second, and a potentiometer's wiper."""

    box: Box
    lying: bool
    touches: tuple[Touch, ...]


@dataclass
class Around:
    """Everything that meets a box."""

    touches: dict[Side, list[Touch]] = field(default_factory=dict)
    wipers: list[Touch] = field(default_factory=list)

    def best(self, side: Side) -> list[Touch]:
        """The wires that run into a side; joints that merely stand there count only where there is no such wire."""
        found = self.touches.get(side, [])
        return [touch for touch in found if touch.strength == STRONG] or found

    @property
    def wires(self) -> int:
        """How many wires run into the box or, by an arrow, to it."""
        return len(self.wipers) + sum(t.strength == STRONG for found in self.touches.values() for t in found)

    @property
    def loosely(self) -> int:
        """How many things stand at the box at all."""
        return len(self.wipers) + sum(map(len, self.touches.values()))


def look_around(field_: Field, box: Box, arrows: dict[Cell, int], index: int, grounds: frozenset[Cell]) -> Around:
    """What meets each side of a box. grounds: cells of ground symbols, which may touch it without any wire."""
    around = Around()
    for side in STEP:
        found = around.touches.setdefault(side, [])
        for at in _edge(box, side):
            met = field_.meets(at, side)
            if met.cell in arrows:
                # an arrowhead stands right at the box and points to it
                if arrows[met.cell] == index and not met.crossed and _points_at(field_, met.cell, side):
                    around.wipers.append(Touch(side, at, met.cell, STRONG))
            elif met.strength:
                found.append(Touch(side, at, met.cell, met.strength, met.crossed))
            elif met.cell in field_.things and (side in {"left", "right"} or (met.cell in grounds and not found)):
                found.append(Touch(side, at, met.cell, WEAK))
    return around


def _points_at(field_: Field, arrow: Cell, side: Side) -> bool:
    """Whether an arrowhead met on leaving a box points back at it."""
    down, right = STEP[ARROWS[field_.sheet.at(*arrow)]]
    back = STEP[side]
    return (down, right) == (-back[0], -back[1])


def _edge(box: Box, side: Side) -> list[Cell]:
    return {"left": [box.cells[0]], "right": [box.cells[-1]]}.get(side, list(box.cells))


def place(box: Box, around: Around) -> Placed | str:
    """How the box stands, or the key of the fault that keeps it from standing."""
    ends: dict[bool, list[Touch]] = {}
    for lying, sides in ((True, ("left", "right")), (False, ("up", "down"))):
        found = [around.best(side) for side in sides]  # type: ignore[arg-type]
        if all(len(touches) == 1 for touches in found):
            ends[lying] = [touches[0] for touches in found]
    if len(around.wipers) > 1:
        return "part-terminals"
    if not ends:
        return _misfit(around)
    lying = max(ends, key=lambda way: (sum(t.strength for t in ends[way]), way))
    chosen = ends[lying]
    used = sum(touch.strength == STRONG for touch in chosen)
    if around.wires - len(around.wipers) > used:
        return "part-terminals"
    if around.wipers and (around.wipers[0].side in {"left", "right"}) == lying:
        return "wiper-side"
    return Placed(box, lying, (*chosen, *around.wipers))


def _misfit(around: Around) -> str:
    wires = around.wires or around.loosely
    if wires == 0:
        return "part-alone"
    if wires == 1:
        return "part-one-terminal"
    return "part-angle" if wires == 2 else "part-terminals"
