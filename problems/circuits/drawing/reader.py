"""Reading a schematic drawn in text: what is a part, what is joined to what, and everything that is wrong with it."""

from __future__ import annotations

from problems.circuits.drawing.checks import check_boxes, check_names, check_nets
from problems.circuits.drawing.drawing import BoxedPart, Drawing, DrawnOpAmp, kind_of
from problems.circuits.drawing.ends import Ends
from problems.circuits.drawing.faults import DrawingError, Faults
from problems.circuits.drawing.shapes import Box, find_boxes, stray_marks
from problems.circuits.drawing.sheet import TAINT, Cell, Sheet, lay_out
from problems.circuits.drawing.shift import shifted_row
from problems.circuits.drawing.standing import Placed, look_around, place
from problems.circuits.drawing.terminals import Texts, find_arrows, find_texts
from problems.circuits.drawing.triangles import find_triangles
from problems.circuits.drawing.wires import GROUND_NET, Field, Joined, Nets, Port
from problems.quantities import GROUND


def read_drawing(text: str) -> Drawing:
    """Read a drawing.

    Raises DrawingError, which carries every fault found, each with row and column from 1, the line and a remedy.
    """
    try:
        return _read(text)
    except DrawingError as error:
        raise shifted_row(text, error, _read) from None


def _read(text: str) -> Drawing:
    faults = Faults()
    reading = _Reading(lay_out(text, faults), faults)
    reading.connect()
    faults.stop()
    return reading.drawing()


class _Reading:
    """One drawing while it is being read."""

    def __init__(self, sheet: Sheet, faults: Faults):
        self.sheet, self.faults = sheet, faults
        self.boxes, self.spoilt = find_boxes(sheet, faults)
        claimed = {cell for box in self.boxes for cell in box.cells} | self.spoilt
        self.triangles, broken = find_triangles(sheet, claimed, faults)
        self.spoilt |= broken | {(row, column) for row, column, character in sheet.cells if character == TAINT}
        claimed |= self.spoilt | {cell for triangle in self.triangles for cell in triangle.cells}
        self.arrows = find_arrows(sheet, self.boxes, claimed)
        self.spoilt |= stray_marks(sheet, claimed | set(self.arrows), faults)
        self.texts: Texts = find_texts(sheet, claimed | set(self.arrows), faults)
        self.owner = self._owners()
        ends = {(t.row, t.column) for t in self.texts.terminals} | self.texts.nameless
        self.field = Field(sheet, set(self.owner) | self.spoilt, ends, self.arrows)
        self.nets = Nets()
        self.placed: dict[int, Placed] = {}

    def _owners(self) -> dict[Cell, tuple[str, int]]:
        """Which thing stands in a cell."""
        owner: dict[Cell, tuple[str, int]] = {}
        for kind, cells in (
            ("box", [box.cells for box in self.boxes]),
            ("opamp", [triangle.cells for triangle in self.triangles]),
            ("ground", [word.cells for word in self.texts.grounds]),
        ):
            owner.update({cell: (kind, index) for index, thing in enumerate(cells) for cell in thing})
        return owner

    def connect(self) -> None:
        """Join everything that is joined, and note what is not."""
        check_boxes(self.boxes, self.faults)
        ends = Ends(self.field, self.nets, self.owner, self.spoilt | self.texts.stray)
        bad = self._place_boxes()
        ends.join_wires()
        ends.join_boxes(self.placed, self.triangles, self.faults)
        ends.join_grounds(self.texts.grounds, self.faults)
        ends.join_pins(self.triangles, self.faults)
        ends.report(self.faults, bad)
        for terminal in self.texts.terminals:
            self.nets.join(Port("node", terminal.node), (terminal.row, terminal.column))
        check_names(self.boxes, self.triangles, self.texts.terminals, self.faults)
        check_nets(self.nets, self.boxes, self.triangles, self.texts, self.faults)
        self.ends = ends

    def _place_boxes(self) -> set[Cell]:
        """Decide which boxes lie and which stand; the cells of those that do neither."""
        bad: set[Cell] = set()
        grounds = frozenset(cell for cell, (kind, _) in self.owner.items() if kind == "ground")
        for index, box in enumerate(self.boxes):
            around = look_around(self.field, box, self.arrows, index, grounds)
            placed = place(box, around)
            if isinstance(placed, str):
                self.faults.add(box.row, box.left, placed, name=box.name, count=str(around.wires))
                bad |= set(box.cells)
            elif len(placed.touches) == 3 and kind_of(box) is not None and not _may_have_wiper(box):
                self.faults.add(box.row, box.left, "part-terminals", name=box.name, count="3")
            else:
                self.placed[index] = placed
        return bad

    def drawing(self) -> Drawing:
        """The drawing as read; call when there are no faults."""
        boxed = [
            (placed, tuple(Port("box", i, n) for n in range(len(placed.touches)))) for i, placed in self.placed.items()
        ]
        boxed.sort(key=lambda item: (item[0].box.row, item[0].box.left))
        amps = sorted(enumerate(self.triangles), key=lambda item: natural_order(item[1].name))
        pins = [[Port("pin", index, n) for n in range(3)] for index, _ in amps]
        number = self._numbers()
        at = {key: number[self.nets.find(key)] for _, ports in boxed for key in ports}
        out = {key: number[self.nets.find(key)] for ports in pins for key in ports}
        cells: list[list[Cell]] = [[] for _ in set(number.values())]
        for cell in self.field.wire:
            cells[number[self.nets.find(cell)]].append(cell)
        names = {number[self.nets.find(Port("node", t.node))]: t.node for t in self.texts.terminals}
        if self.texts.grounds:
            names[number[self.nets.find(GROUND_NET)]] = GROUND
        return Drawing(
            rows=self.sheet.rows,
            boxed=tuple(BoxedPart(placed, tuple(at[key] for key in ports)) for placed, ports in boxed),
            opamps=tuple(
                DrawnOpAmp(amp, (out[keys[0]], out[keys[1]], out[keys[2]]))
                for (_, amp), keys in zip(amps, pins, strict=True)
            ),
            terminals=tuple(sorted(self.texts.terminals, key=lambda t: (t.row, t.column))),
            grounds=tuple(self.texts.grounds),
            net_cells=tuple(map(tuple, cells)),
            names=names,
            joins={cell: frozenset(sides) for cell, sides in self.ends.joins.items()},
            contacts=tuple((cell, side, number[self.nets.find(port)]) for cell, side, port in self.ends.contacts),
        )

    def _numbers(self) -> dict[Joined, int]:
        """Nets numbered in reading order of their first cell; nets without any wire after those."""
        number: dict[Joined, int] = {}
        for cell in self.field.wire:
            number.setdefault(self.nets.find(cell), len(number))
        for group in self.nets.groups():
            number.setdefault(self.nets.find(group[0]), len(number))
        return number


def _may_have_wiper(box: Box) -> bool:
    return box.brackets == "[]" and box.name[0] == "R"


def natural_order(name: str) -> tuple[str, int, str]:
    """Sorts U2 before U10."""
    digits = "".join(c for c in name if c.isdigit())
    return name.rstrip("0123456789"), int(digits or 0), name
