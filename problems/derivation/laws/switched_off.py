"""What switching sources off leaves behind: a wire where a voltage source stood, and 0 where nothing drives."""

from __future__ import annotations

from collections.abc import Iterator

from problems.derivation.law import Law, Place
from problems.derivation.view import View, potential
from problems.formulas.expression import ZERO
from problems.quantities import GROUND, Quantity, voltage

KEY = "switched-off"
_COST = 0.5


def instances(view: View) -> Iterator[Law]:
    return iter(())


def wire(node: str, other: str, source: str) -> Law:
    """A node that the wire of a source switched off joins to another. source: the one that is on."""
    fields = {"variant": "wire", "node": node, "other": "ground" if other == GROUND else other, "on": source}
    return Law(KEY, voltage(node), potential(other), _COST, Place(nodes=(node, other)), fields=fields)


def silent(quantity: Quantity, name: str, source: str) -> Law:
    """A quantity to which nothing leads from the source that is on. name: as printed."""
    fields = {"variant": "silent", "name": name, "on": source}
    return Law(KEY, quantity, ZERO, _COST, fields=fields)
