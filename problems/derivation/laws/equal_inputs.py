"""Rule two: with negative feedback the inputs of an ideal op-amp sit at the same voltage."""

from __future__ import annotations

from collections.abc import Iterator

from problems.derivation.law import Law, Misuse, Place
from problems.derivation.view import View, potential
from problems.formulas.expression import ZERO, Expression, Name
from problems.quantities import GROUND, voltage

KEY = "equal-inputs"
METHODS = ("laws", "nodes")


def instances(view: View) -> Iterator[Law]:
    for amp in view.netlist.opamps:
        if view.feedback.get(amp.name) != "negative" or amp.plus == amp.minus:
            continue
        minus_pin, plus_pin, _ = view.pin_names(amp)
        sides = ((amp.minus, amp.plus, minus_pin, plus_pin), (amp.plus, amp.minus, plus_pin, minus_pin))
        for node, other, pin, other_pin in sides:
            if node == GROUND:
                continue
            spoken = Name(f"V_{other_pin}") if other == GROUND else None
            fields = {"part": amp.name, "pin": pin, "other": other_pin, "held": view.node_label(other)}
            if node == amp.out:
                fields |= {"variant": "follower", "output": view.node_label(node)}
            place = Place(pins=(pin, other_pin))
            yield Law(KEY, voltage(node), potential(other), 1, place, spoken, fields)


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    node, right = law.head.of, law.relation
    if right != ZERO:
        yield Misuse("virtual-ground-assumed", ZERO, 0.5)
    ends = view.impedances_at(node)
    for end in (end for end in ends if end.far != GROUND):
        yield Misuse("no-drop-assumed", potential(end.far), 1.2, {"part": end.branch.name})
    if len(ends) == 2:
        for end, other in (ends, ends[::-1]):
            share = _share(other.branch.impedance, end.branch.impedance)
            fields = {"part": end.branch.name, "other_part": other.branch.name}
            if end.far != GROUND:
                yield Misuse("passive-divider", potential(end.far) * share, 1, fields)
            if right != ZERO:
                yield Misuse("divider-on-input", right * share, 1.1, fields)


def _share(own: Expression | None, other: Expression | None) -> Expression:
    assert own is not None
    assert other is not None
    return own / (other + own)
