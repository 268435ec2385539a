"""Rule two: with negative feedback the inputs of an ideal op-amp sit at the same voltage."""

from __future__ import annotations

from collections.abc import Iterator

from problems.derivation.condition import Question, Ruling, Spot, amp_at_input, is_held_at_ground
from problems.derivation.law import LAWS, NODES, Law, Misuse, Place
from problems.derivation.laws.tap import mean
from problems.derivation.view import View, potential
from problems.formulas.expression import ZERO, Expression, Name, Negative
from problems.quantities import GROUND, current, voltage

KEY = "equal-inputs"
METHODS = (LAWS, NODES)
CALLED = ("equal-inputs",)


def instances(view: View) -> Iterator[Law]:
    for amp in view.netlist.opamps:
        if view.feedback.get(amp.name) != "negative" or amp.plus == amp.minus:
            continue
        minus_pin, plus_pin, _ = view.pin_names(amp)
        sides = ((amp.minus, amp.plus, minus_pin, plus_pin), (amp.plus, amp.minus, plus_pin, minus_pin))
        for node, other, pin, other_pin in sides:
            if node == GROUND:
                continue
            # a quantity, not a mere word: where the law speaks of one source or state, so does the name of the pin
            spoken = potential(other_pin) if other == GROUND else None
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
    yield from _without_op_amp(node, view)


def _without_op_amp(node: str, view: View) -> Iterator[Misuse]:
    """The pin as the parts around it would set it, the output at 0 V; or a source's current through one of them."""
    ends = view.meeting[node]
    passive = all(end.branch.impedance is not None and end.branch.name not in view.zero for end in ends)
    if passive and len(ends) > 2:
        still = tuple(end._replace(far=GROUND) if end.far in view.outputs else end for end in ends)
        if any(end.far != GROUND for end in still):
            yield Misuse("op-amp-ignored", mean(still), 1)
    for source in (end for end in ends if end.branch.impedance is None and end.branch.name in view.netlist.driven):
        for end in view.impedances_at(node):
            assert end.branch.impedance is not None
            fall = Name(current(source.branch.name)) * end.branch.impedance
            fields = {"part": end.branch.name}
            yield Misuse("far-end-grounded", fall if source.sign < 0 else Negative(fall), 1, fields)


def _share(own: Expression | None, other: Expression | None) -> Expression:
    assert own is not None
    assert other is not None
    return own / (other + own)


def virtual_ground(view: View, spot: Spot) -> Ruling:
    """Only at an input whose fellow is held at 0 V, and only under negative feedback."""
    node = spot.nodes[0]
    amp = amp_at_input(view, node)
    if node == GROUND or amp is None:
        return Ruling(False, "ground-itself" if node == GROUND else "no-input", {"node": view.node_label(node)})
    if view.feedback.get(amp.name) != "negative":
        return Ruling(False, "no-negative", {"part": amp.name})
    minus_pin, plus_pin, _ = view.pin_names(amp)
    other, pin = (amp.plus, plus_pin) if node == amp.minus else (amp.minus, minus_pin)
    fields = {"node": view.node_label(node), "other": pin, "part": amp.name}
    return (
        Ruling(True, "virtual-ground", fields)
        if is_held_at_ground(view, other)
        else Ruling(False, "virtual-ground-driven", fields)
    )


def two_rules(view: View, spot: Spot) -> Ruling:
    """Only under negative feedback."""
    amp = spot.amps[0]
    sign = view.feedback.get(amp, "none")
    return Ruling(sign == "negative", f"rules-{sign}", {"part": amp})


QUESTIONS = (
    Question(("virtual ground",), "node", "if-virtual-ground", virtual_ground),
    Question(
        ("equal inputs", "virtual short", "rules", "two rules", "rule two", "rule 2"), "amp", "if-rules", two_rules
    ),
)
