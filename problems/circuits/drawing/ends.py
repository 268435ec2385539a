"""Joining: wires to each other, to parts, pins and ground; and what is left over."""

from __future__ import annotations

from collections.abc import Mapping

from problems.circuits.drawing.faults import Faults
from problems.circuits.drawing.glyphs import ACROSS, OPPOSITE, STEP, Side
from problems.circuits.drawing.shapes import Word
from problems.circuits.drawing.sheet import Cell
from problems.circuits.drawing.standing import Placed, Touch
from problems.circuits.drawing.triangles import Triangle
from problems.circuits.drawing.wires import GROUND_NET, STRONG, Field, Meeting, Nets, Port

REACH = 3
"""How far a wire end may be from what it was meant for and still be taken as the same mistake."""


class Ends:
    """Every end of every wire. joins: the sides at which each cell of wire meets something."""

    def __init__(self, field: Field, nets: Nets, owner: Mapping[Cell, tuple[str, int]], spoilt: set[Cell]):
        self.field, self.nets, self.owner, self.spoilt = field, nets, owner, spoilt
        self.joins: dict[Cell, set[Side]] = {cell: set() for cell in field.wire}
        self.contacts: list[tuple[Cell, Side, Port]] = []
        """Cells of things that touch another thing with no wire between, the side, and the port."""
        self._open: dict[tuple[Cell, Side], Meeting] = {}
        self._continued: set[Cell] = set()
        self._bad_pins: set[Cell] = set()
        self._met: set[tuple[str, int | Cell]] = set()
        """Grounds by number and pins by cell that a box touches without a wire."""

    def join_wires(self) -> None:
        """Join wire to wire; remember the wires that always run to a side and meet nothing there."""
        weak: list[tuple[Cell, Side, Cell]] = []
        for cell in self.joins:
            self.nets.find(cell)
            for side in STEP:
                strength = self.field.strength(cell, side)
                if not strength:
                    continue
                met = self.field.meets(cell, side)
                if met.cell in self.joins and met.strength:
                    if STRONG in (strength, met.strength):
                        self._join_cells(cell, side, met.cell)
                    else:
                        weak.append((cell, side, met.cell))
                elif strength == STRONG:
                    self._open[cell, side] = met
        for cell, side, other in weak:
            ends = [end for end in (cell, other) if end in self.field.ends]
            if not ends or any(not self.joins[end] for end in ends) or min(map(self._degree, (cell, other))) < 2:
                self._join_cells(cell, side, other)

    def _degree(self, cell: Cell) -> int:
        return len(self.joins[cell]) + (cell in self.field.ends)

    def _join_cells(self, cell: Cell, side: Side, other: Cell) -> None:
        self.nets.join(cell, other)
        self.joins[cell].add(side)
        self.joins[other].add(OPPOSITE[side])

    def _join_thing(self, cell: Cell, side: Side, port: Port) -> None:
        """Join wire, which lies to that side of a thing, to one of the thing's ports."""
        self.nets.join(cell, port)
        self.joins[cell].add(OPPOSITE[side])
        self._open.pop((cell, OPPOSITE[side]), None)

    def join_boxes(self, placed: Mapping[int, Placed], triangles: list[Triangle], faults: Faults) -> None:
        """Join the terminals of the boxes to what they touch."""
        pins = {cell: Port("pin", i, n) for i, triangle in enumerate(triangles) for n, cell in enumerate(triangle.pins)}
        ports = {
            (touch.at, touch.side): Port("box", index, n)
            for index, part in placed.items()
            for n, touch in enumerate(part.touches)
        }
        for index, part in placed.items():
            for n, touch in enumerate(part.touches):
                port = Port("box", index, n)
                if touch.cell in self.joins:
                    self._join_thing(touch.cell, touch.side, port)
                elif (other := self._contact(touch, pins, ports)) is not None:
                    self.nets.join(other, port)
                    self.contacts.append((touch.at, touch.side, port))
                elif touch.cell not in self.spoilt:
                    faults.add(part.box.row, part.box.left, "part-one-terminal", name=part.box.name)

    def _contact(self, touch: Touch, pins: Mapping[Cell, Port], ports: Mapping[tuple[Cell, Side], Port]) -> Port | None:
        """The port of another thing that a box touches without any wire between."""
        kind, index = self.owner.get(touch.cell, ("", 0))
        if kind == "ground":
            self._met.add(("ground", index))
            return GROUND_NET
        if kind == "opamp" and touch.cell in pins and touch.side in {"left", "right"}:
            self._met.add(("pin", touch.cell))
            return pins[touch.cell]
        return ports.get((touch.cell, OPPOSITE[touch.side]))

    def join_grounds(self, grounds: list[Word], faults: Faults) -> None:
        """Join the ground symbols to every wire that touches them."""
        for index, word in enumerate(grounds):
            self.nets.join(GROUND_NET, Port("ground", index))
            edges: list[tuple[Cell, Side]] = [(word.cells[0], "left"), (word.cells[-1], "right")]
            edges += [(cell, side) for cell in word.cells for side in ("up", "down")]
            touching = [(met, side) for cell, side in edges if (met := self.field.meets(cell, side)).strength]
            strong = [met for met, _ in touching if met.strength == STRONG]
            for met, side in touching:
                if met.strength == STRONG or not strong or self._degree(met.cell) < 2:
                    self._join_thing(met.cell, side, GROUND_NET)
            if not touching and ("ground", index) not in self._met and not self._beside(word.cells, 1):
                faults.add(word.row, word.left, "ground-alone")
                self._bad_pins |= set(word.cells)

    def _beside(self, cells: tuple[Cell, ...], reach: int) -> bool:
        """Whether a cell that was already blamed lies close to any of these."""
        near = range(-reach, reach + 1)
        return any(
            (row + down, column + right) in self.spoilt for row, column in cells for down in near for right in near
        )

    def join_pins(self, triangles: list[Triangle], faults: Faults) -> None:
        """Join the pins of the op-amps to the wires in the columns beside them."""
        for index, triangle in enumerate(triangles):
            for n, cell in enumerate(triangle.pins):
                outward: Side = "right" if (triangle.way > 0) == (n == 2) else "left"
                met = self.field.meets(cell, outward)
                port = Port("pin", index, n)
                if met.cell in self.joins and met.strength:
                    self._join_thing(met.cell, outward, port)
                elif self.field.glyph(met.cell) == ACROSS[outward]:
                    self.nets.join(met.cell, port)
                    self.joins[met.cell].add(OPPOSITE[outward])
                    self._continued.add(met.cell)
                elif self._pin_contact(cell, met.cell, port, triangles):
                    self.contacts.append((cell, outward, port))
                elif met.cell not in self.spoilt:
                    row, column = cell[0], cell[1] + STEP[outward][1]
                    faults.add(row, max(column, 0), "pin-open", name=triangle.name, pin=("−", "+", "output")[n])
                    self._bad_pins.add(cell)

    def _pin_contact(self, cell: Cell, other: Cell, port: Port, triangles: list[Triangle]) -> bool:
        """Whether a pin touches a ground symbol, a box or another op-amp's pin without a wire; joins it if so."""
        kind, index = self.owner.get(other, ("", 0))
        if kind == "ground":
            self.nets.join(GROUND_NET, port)
        elif kind == "opamp" and other in triangles[index].pins:
            self.nets.join(Port("pin", index, triangles[index].pins.index(other)), port)
        else:
            return ("pin", cell) in self._met
        return True

    def report(self, faults: Faults, bad: set[Cell]) -> None:
        """Note the ends of wires that meet nothing, each mistake once."""
        bad = bad | self._bad_pins | self.spoilt
        loose = {key: met for key, met in self._open.items() if not self._excused(key, met, bad)}
        short = {cell for cell in self.joins if self.field.is_joint(cell) and self._degree(cell) < 2}
        short = {cell for cell in short if not any(self._leads_to(cell, side, bad) for side in STEP)}
        sideways = {met.cell for (_, side), met in loose.items() if self.field.glyph(met.cell) == ACROSS[side]}
        done: set[Cell] = set()
        for (cell, side), met in sorted(loose.items()):
            if cell in done or (cell in sideways and any(c == cell for c, _ in loose)):
                continue
            if met.cell in sideways:
                if met.cell not in done:
                    faults.add(*cell, "wire-side")
                done |= {met.cell, cell}
                continue
            faults.add(*cell, "wire-end")
            done |= {cell, *self._facing(cell, side, loose, short)}
        for cell in sorted(short - done):
            key = "terminal-alone" if cell in self.field.ends else "wire-end" if self.joins[cell] else "stray"
            faults.add(*cell, key, name=self.field.sheet.at(*cell))
            for side in STEP:
                short -= self._facing(cell, side, {}, short)

    def _excused(self, key: tuple[Cell, Side], met: Meeting, bad: set[Cell]) -> bool:
        """Whether a wire end needs no word: it ends at a thing that was already blamed, or at a pin beside it."""
        cell, side = key
        if cell in self._continued and len(self.joins[cell]) > 1:
            return True
        kind, _ = self.owner.get(met.cell, ("", 0))
        return kind in {"box", "ground"} or self._leads_to(cell, side, bad)

    def _leads_to(self, cell: Cell, side: Side, bad: set[Cell]) -> bool:
        """Whether something that was already blamed stands within reach, straight on."""
        down, right = STEP[side]
        for far in range(1, REACH + 1):
            here = (cell[0] + far * down, cell[1] + far * right)
            if here in bad:
                return True
            if self.field.sheet.at(*here) != " ":
                return False
        return False

    def _facing(
        self, cell: Cell, side: Side, loose: Mapping[tuple[Cell, Side], Meeting], short: set[Cell]
    ) -> set[Cell]:
        """The loose end on the other side of a gap, which is the same mistake."""
        down, right = STEP[side]
        for far in range(1, REACH + 1):
            here = (cell[0] + far * down, cell[1] + far * right)
            if (here, OPPOSITE[side]) in loose or here in short:
                return {here}
            if self.field.sheet.at(*here) != " ":
                break
        return set()
