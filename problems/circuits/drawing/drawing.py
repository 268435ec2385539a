"""A drawing that has been read: its parts, nets and where everything stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from problems.circuits.drawing.glyphs import Side
from problems.circuits.drawing.shapes import Box, Word
from problems.circuits.drawing.sheet import Cell
from problems.circuits.drawing.standing import Placed
from problems.circuits.drawing.terminals import Terminal
from problems.circuits.drawing.triangles import Triangle
from problems.circuits.netlist import pin_numbers
from problems.circuits.parts.base import Part
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.potentiometer import Potentiometer
from problems.circuits.parts.registry import by_letter
from problems.circuits.parts.voltage_source import VoltageSource
from problems.quantities import GROUND


@dataclass(frozen=True)
class BoxedPart:
    """A boxed part in its place. nets: numbers of the nets of its terminals: first, second, and a wiper's."""

    placed: Placed
    nets: tuple[int, ...]

    @property
    def box(self) -> Box:
        return self.placed.box

    @property
    def name(self) -> str:
        return self.box.name

    @property
    def lying(self) -> bool:
        return self.placed.lying

    @property
    def is_potentiometer(self) -> bool:
        return len(self.nets) == 3


@dataclass(frozen=True)
class DrawnOpAmp:
    """An op-amp in its place. nets: numbers of the nets of -, + and the output."""

    triangle: Triangle
    nets: tuple[int, int, int]

    @property
    def name(self) -> str:
        return self.triangle.name


@dataclass(frozen=True)
class Drawing:
    """A schematic read from text. Build one with ``read_drawing``.

    rows: the drawing as plain text. boxed, opamps: the parts in their places, op-amps by name. terminals, grounds: the
    named ends and ground symbols. net_cells: the wire of each net. names: the node names of nets that have one.
    joins: the sides at which each cell of wire meets something. contacts: where two things touch without wire between:
    cell of the one, side, net.
    """

    rows: tuple[str, ...]
    boxed: tuple[BoxedPart, ...]
    opamps: tuple[DrawnOpAmp, ...]
    terminals: tuple[Terminal, ...]
    grounds: tuple[Word, ...]
    net_cells: tuple[tuple[Cell, ...], ...]
    names: Mapping[int, str] = field(hash=False)
    joins: Mapping[Cell, frozenset[Side]] = field(hash=False, repr=False)
    contacts: tuple[tuple[Cell, Side, int], ...] = ()

    @property
    def terminal_names(self) -> tuple[str, ...]:
        """Names of the terminals, each once, in reading order."""
        return tuple(dict.fromkeys(terminal.name for terminal in self.terminals if terminal.node != GROUND))

    def nets(self, package: str = "single") -> tuple[str, ...]:
        """The node name of each net: a terminal's, else an op-amp pin's, else n1, n2 … in reading order."""
        named = dict(self.names)
        for net, pin in self._pins(package):
            named.setdefault(net, pin)
        taken, number = set(named.values()), 0
        for net in range(len(self.net_cells)):
            while net not in named:
                number += 1
                if f"n{number}" not in taken:
                    named[net] = f"n{number}"
        return tuple(named[net] for net in range(len(self.net_cells)))

    def _pins(self, package: str) -> list[tuple[int, str]]:
        """Nets and the pins that would name them, inputs before outputs."""
        inputs: list[tuple[int, str]] = []
        outputs: list[tuple[int, str]] = []
        for index, amp in enumerate(self.opamps):
            prefix = f"{amp.name}." if len(self.opamps) > 1 else ""
            minus, plus, out = (prefix + pin for pin in pin_numbers(package, index))
            inputs += [(amp.nets[0], minus), (amp.nets[1], plus)]
            outputs.append((amp.nets[2], out))
        return inputs + outputs

    def net_of(self, node: str, package: str = "single") -> int | None:
        """The number of the net of that node."""
        names = self.nets(package)
        return names.index(node) if node in names else None

    def parts(self, values: Mapping[str, Any] | None = None, package: str = "single") -> tuple[Part, ...]:
        """The parts of the circuit; a terminal that ``values`` names is driven by a source of its name against ground.

        values: by name of part, terminal or setting (``k``, ``k_Rp``); what a box says is used where it is silent.
        Raises ValueError for a value that cannot be read.
        """
        given = values or {}
        nodes = self.nets(package)
        sources = [
            VoltageSource(name, node, GROUND, given[name])
            for name, node in {terminal.name: terminal.node for terminal in self.terminals}.items()
            if name in given and node != GROUND and name not in self._boxed_names
        ]
        several = sum(part.is_potentiometer for part in self.boxed) > 1
        boxes = [_build(part, [nodes[net] for net in part.nets], given, several) for part in self.boxed]
        amps = [OpAmp(a.name, plus=nodes[a.nets[1]], minus=nodes[a.nets[0]], out=nodes[a.nets[2]]) for a in self.opamps]
        return (*sources, *boxes, *amps)

    @cached_property
    def _boxed_names(self) -> frozenset[str]:
        return frozenset(part.name for part in self.boxed)


def _build(part: BoxedPart, nodes: list[str], given: Mapping[str, Any], several: bool) -> Part:
    value = given.get(part.name, part.box.value)
    if part.is_potentiometer:
        setting = given.get(f"k_{part.name}" if several else "k")
        return Potentiometer(part.name, nodes[0], nodes[1], wiper=nodes[2], value=value, setting=setting)
    kind: Any = kind_of(part.box)
    return kind(part.name, *nodes) if value is None else kind(part.name, *nodes, value)  # type: ignore[no-any-return]


def kind_of(box: Box) -> type[Part] | None:
    """The type of part that a box's name and brackets tell; the longest letter that fits."""
    kinds = by_letter(box.brackets)
    letters = [letter for letter in kinds if letter and box.name.startswith(letter)]
    return kinds[max(letters, key=len)] if letters else None
