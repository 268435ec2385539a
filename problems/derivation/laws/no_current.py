"""A branch that ends at an input pin, or nowhere, carries no current and has no drop."""

from __future__ import annotations

from collections.abc import Iterator

from problems.derivation.condition import Question, Ruling, Spot, amp_at_input
from problems.derivation.law import LAWS, NODES, Law, Misuse, Place
from problems.derivation.view import View, potential
from problems.formulas.expression import ZERO
from problems.quantities import GROUND, current, voltage

KEY = "no-current"
METHODS = (LAWS, NODES)
OF_BRANCHES = True
CALLED = ("kcl", "no-input-current")


def instances(view: View) -> Iterator[Law]:
    for node, ends in view.fresh.junctions.items():
        if len(ends) != 1:
            continue
        (end,) = ends
        place = Place((end.branch.part,), view.inputs.get(node, ()), (node,))
        fields = {"node": view.node_label(node), "part": end.branch.name, "from": view.node_label(end.far), "id": node}
        if end.branch.impedance is None:
            fields["variant"] = "source"
        yield Law(KEY, current(end.branch.name), ZERO, 1, place, fields=fields)
        if end.branch.impedance is not None:
            yield Law(KEY, voltage(node), potential(end.far), 1, place, fields=fields)
            if end.far != GROUND:
                yield Law(KEY, voltage(end.far), potential(node), 1, place, fields=fields)
    for branch in view.netlist.branches if view.reduced is None else ():
        if branch.start == branch.end:
            node = branch.start or GROUND
            fields = {"node": view.node_label(node), "part": branch.name, "from": "", "id": node, "variant": "loop"}
            yield Law(KEY, current(branch.name), ZERO, 1, Place((branch.part,)), fields=fields)


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    (end, *_) = view.meeting.get(law.fields["id"]) or (None,)
    if law.head.kind == "I" and end and end.branch.impedance is not None and end.branch.name not in view.zero:
        if end.far != GROUND:
            yield Misuse("far-end-grounded", potential(end.far) / end.branch.impedance, 1, {"part": end.branch.name})
    elif law.head.kind == "V" and law.relation != ZERO and law.place.pins:
        yield Misuse("virtual-ground-assumed", ZERO, 1)


def no_input_current(view: View, spot: Spot) -> Ruling:
    """At input pins, and nowhere else."""
    node = spot.nodes[0]
    fields = {"node": view.node_label(node)}
    if amp_at_input(view, node) is not None:
        return Ruling(True, "no-input-current", fields)
    return Ruling(False, "output-current" if node in view.outputs else "no-input", fields)


QUESTIONS = (
    Question(("no current", "no input current", "rule one", "rule 1"), "node", "if-no-input-current", no_input_current),
)
