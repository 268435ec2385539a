"""The values of a circuit as text: beside the parts, or listed under the drawing."""

from __future__ import annotations

from dataclasses import replace

from problems.circuits.drawing.canvas import Canvas, Thing
from problems.circuits.drawing.drawing import Drawing
from problems.circuits.netlist import Netlist
from problems.formulas.printers import engineering
from problems.formulas.values import read_value


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


def up_to_date(canvas: Canvas, drawing: Drawing, netlist: Netlist) -> Canvas:
    """The canvas with the values of the circuit in its boxes, where those are not the ones drawn."""
    stale = {
        part.name: part.box.value
        for part in drawing.boxed
        if part.box.value and _is_stale(part.box.name, part.box.value, netlist)
    }
    things = tuple(
        _refilled(thing, netlist) if thing.name in stale and thing.kind == "part" else thing for thing in canvas.things
    )
    return replace(canvas, things=things) if stale else canvas


def _is_stale(name: str, written: str, netlist: Netlist) -> bool:
    unit, value = netlist.units.get(name, ""), netlist.values.get(name)
    return value is not None and read_value(written, unit) != value


def _refilled(thing: Thing, netlist: Netlist) -> Thing:
    """The box with its value anew; with the name alone where that is too long for it."""
    unit = netlist.units.get(thing.name, "")
    value = engineering(netlist.values[thing.name], unit, ascii=True).removesuffix(unit)
    room = len(thing.glyphs) - 2
    inside = f"{thing.name} {value.replace(' ', '')}"
    text = inside if len(inside) <= room else thing.name
    return thing._replace(glyphs=f"{thing.glyphs[0]}{text:<{room}}{thing.glyphs[-1]}")
