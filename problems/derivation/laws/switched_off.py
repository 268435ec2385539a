"""What switching sources off leaves behind: a wire where a voltage source stood, and 0 where nothing drives."""

from __future__ import annotations

from collections.abc import Iterator

from problems.circuits.off import OneOn
from problems.circuits.parts.base import part_of
from problems.derivation.law import Law, Place
from problems.derivation.view import View, potential
from problems.formulas.expression import ZERO
from problems.quantities import GROUND, Quantity, current, voltage

KEY = "switched-off"
_WIRE_COST = 0.5
_SILENT_COST = 1.0


def instances(view: View) -> Iterator[Law]:
    """In a circuit with one source on: everything to which nothing leads from it."""
    netlist = view.netlist
    if not isinstance(netlist, OneOn):
        return
    nodes = [voltage(node) for node in netlist.nodes if node != GROUND]
    for quantity in (*nodes, *(current(branch.name) for branch in view.branches)):
        if not netlist.reaches(quantity):
            yield _silent(quantity, view.write(quantity), netlist.tag)


def wire(node: str, other: str, source: str) -> Law:
    """A node that the wire of a source switched off joins to another. source: the one that is on."""
    fields = {"variant": "wire", "node": node, "other": "ground" if other == GROUND else other, "on": source}
    return Law(KEY, voltage(node), potential(other), _WIRE_COST, Place(nodes=(node, other)), fields=fields)


def _silent(quantity: Quantity, name: str, source: str) -> Law:
    """A quantity to which nothing leads from the source that is on. name: as printed."""
    fields = {"variant": "silent", "name": name, "on": source}
    place = Place(nodes=(quantity.of,)) if quantity.kind == "V" else Place((part_of(quantity.of),))
    return Law(KEY, quantity, ZERO, _SILENT_COST, place, fields=fields)
