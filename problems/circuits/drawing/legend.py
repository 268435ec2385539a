"""The values of a circuit as text: beside the parts, or listed under the drawing."""

from __future__ import annotations

from problems.circuits.drawing.drawing import Drawing
from problems.circuits.netlist import Netlist
from problems.formulas.printers import engineering


def part_values(netlist: Netlist, ascii_only: bool = False, drawn: Drawing | None = None) -> list[tuple[str, str]]:
    """Name and value of everything that has one, sources first as they stand in the circuit.

    drawn: leave out the values that already stand in a box of this drawing.
    """
    in_box = {part.name for part in drawn.boxed if part.box.value} if drawn else set()
    return [
        (symbol, engineering(value, netlist.units.get(symbol, ""), ascii=ascii_only).strip())
        for symbol, value in netlist.values.items()
        if symbol in netlist.units and symbol not in in_box
    ]


def legend(netlist: Netlist, ascii_only: bool = False) -> tuple[str, ...]:
    """One entry a value: ``Ri 8.2 kΩ``."""
    return tuple(f"{name} {value}" for name, value in part_values(netlist, ascii_only))
