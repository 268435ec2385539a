"""Kirchhoff's current law at a node with two live branches: what arrives in one leaves in the other.

At an op-amp's input pin this is rule one: the pin takes no current.
"""

from __future__ import annotations

from collections.abc import Iterator

from problems.circuits.parts.potentiometer import Potentiometer
from problems.derivation.law import LAWS, NODES, Law, Misuse, Place
from problems.derivation.laws.kcl import balance, input_side, negated
from problems.derivation.view import End, View, minus, potential
from problems.formulas.expression import ZERO, Expression, Name
from problems.quantities import current

KEY = "same-current"
METHODS = (LAWS, NODES)
OF_BRANCHES = True
CALLED = ("kcl", "no-input-current")


def instances(view: View) -> Iterator[Law]:
    for node, ends in view.fresh.junctions.items():
        if len(ends) != 2:
            continue
        parts = tuple(dict.fromkeys(end.branch.part for end in ends if end.branch.start))
        place = Place(parts, view.inputs.get(node, ()), (node,))
        cost = 1.2 if node in view.outputs else 1
        for end, other in (ends, ends[::-1]):
            fields = {"node": view.node_label(node), "branch": end.branch.name, "other": other.branch.name, "id": node}
            yield Law(KEY, current(end.branch.name), balance(end, (other,)), cost, place, fields=fields)
    for part in view.netlist.parts if view.reduced is None else ():
        if isinstance(part, Potentiometer) and view.is_inner(part.wiper) and part.wiper not in (part.top, part.bottom):
            fields = {
                "node": view.node_label(part.wiper),
                "branch": part.name,
                "other": f"{part.name}.top",
                "id": part.wiper,
            }
            half = Name(current(f"{part.name}.top"))
            yield Law(KEY, current(part.name), half, 1, Place((part.name,)), fields=fields)


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    yield Misuse("arrow-reversed", negated(law.relation), 0.3)
    node = law.fields["id"]
    is_output = law.head.of in {amp.name for amp in view.netlist.opamps}
    yield Misuse("output-carries-none" if is_output else "no-current-assumed", ZERO, 0.7, {"part": law.head.of})
    yield from input_side(law, view)
    ends = {end.branch.name: end for end in view.meeting[node]}
    own, other = ends.get(law.head.of), ends.get(law.fields["other"])
    if own and other and own.branch.name not in view.zero:
        yield from _across_both(own, other, node, view)


def _across_both(own: End, other: End, node: str, view: View) -> Iterator[Misuse]:
    """The neighbour's voltage put across this part alone, or across both with the far end at 0 V."""
    if own.branch.impedance is None:
        return
    fields = {"part": own.branch.name, "other_part": other.branch.name}
    across = minus(potential(other.far), potential(node))
    for voltage in (potential(other.far), potential(node), across):
        if voltage != ZERO:
            for sign, rank in ((own.sign, 1.0), (-own.sign, 1.2)):
                yield Misuse("other-voltage-across", _signed(voltage, sign) / own.branch.impedance, rank, fields)
    if other.branch.impedance is None or view.sums_to_zero((own.branch, other.branch)):
        return
    total = view.series((other.branch, own.branch))
    for voltage, sign in ((potential(other.far), own.sign), (potential(own.far), -own.sign)):
        if voltage != ZERO:
            yield Misuse("series-total-grounded", _signed(voltage, sign) / total, 1, fields)


def _signed(voltage: Expression, sign: int) -> Expression:
    """The voltage as it drives the current of a branch that leaves (1) or enters (-1) the node."""
    return voltage if sign > 0 else minus(ZERO, voltage)
