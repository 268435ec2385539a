"""No resistance, no drop: both ends of a 0 Ω part sit at one voltage."""

from __future__ import annotations

from collections.abc import Iterator

from problems.circuits.parts.base import Branch
from problems.derivation.law import LAWS, NODES, Law, Place
from problems.derivation.view import View, potential
from problems.quantities import GROUND, voltage

KEY = "wire"
METHODS = (LAWS, NODES)
CALLED = ("kvl", "ohm")


def instances(view: View) -> Iterator[Law]:
    for branch in view.branches:
        if branch.name not in view.zero or branch.start is None or branch.end is None:
            continue
        # dearer than the divider, so that a wiper at the end of its track is still taught as a setting
        cost = 3.5 if "." in branch.name else 1
        for node, origin in ((branch.end, branch.start), (branch.start, branch.end)):
            if node != GROUND:
                variant = {"F": "capacitor", "H": "inductor"}.get(unit_of(branch, view), "")
                fields = {
                    "variant": variant,
                    "part": branch.name,
                    "from": view.node_label(origin),
                    "to": view.node_label(node),
                }
                yield Law(KEY, voltage(node), potential(origin), cost, Place((branch.part,)), fields=fields)


def unit_of(branch: Branch, view: View) -> str:
    """Unit of the value of the part that a branch belongs to."""
    parameters = view.netlist.part(branch.part).parameters
    return parameters[0].unit if parameters else ""
