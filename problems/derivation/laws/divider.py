"""The unloaded voltage divider: two or more impedances in one line, nothing drawn from between them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from problems.circuits.parts.base import Branch
from problems.derivation.condition import Question, Ruling, Spot, joined, live_ends, part_labels
from problems.derivation.law import Law, Misuse, Place
from problems.derivation.view import Chain, View, minus, plus, potential
from problems.formulas.expression import ONE, ZERO, Call, Expression, Name, Parallel
from problems.quantities import GROUND, voltage

KEY = "divider"
OF_BRANCHES = True
CALLED = ("divider",)


def instances(view: View) -> Iterator[Law]:
    for chain in view.fresh.chains:
        for index in range(1, len(chain.nodes) - 1):
            spans = {(0, len(chain.nodes) - 1), (index - 1, index + 1)}
            for left, right in sorted(spans):
                law = _law(chain, left, index, right, view)
                if law is not None:
                    yield law


def _law(chain: Chain, left: int, index: int, right: int, view: View) -> Law | None:
    near = tuple(end.branch for end in chain.ends[left:index])
    far = tuple(end.branch for end in chain.ends[index:right])
    top, bottom = chain.nodes[left], chain.nodes[right]
    if view.sums_to_zero(near + far) or top == bottom:
        return None
    if top == GROUND:
        top, bottom, near, far = bottom, top, far, near
    node = chain.nodes[index]
    relation = divided(top, bottom, share(near, far, view))
    parts = tuple(dict.fromkeys(branch.part for branch in near + far))
    fields = {
        "node": view.node_label(node),
        "top": view.node_label(top),
        "bottom": view.node_label(bottom),
        "parts": " and ".join(parts),
        "part": parts[0],
        "id": node,
        "high": top,
        "low": bottom,
        "near": ",".join(branch.name for branch in near),
        "far": ",".join(branch.name for branch in far),
    }
    cost = 3 + 0.5 * (right - left - 2) + (0.7 if bottom != GROUND else 0)
    return Law(KEY, voltage(node), relation, cost, Place(parts, view.inputs.get(node, ()), (node,)), fields=fields)


def share(near: tuple[Branch, ...], far: tuple[Branch, ...], view: View) -> Expression:
    """Part of the whole voltage that lies across ``far``; for a potentiometer its setting."""
    if len(near) == len(far) == 1 and near[0].part == far[0].part:
        setting = Name(view.potentiometer(far[0].part).share)
        return setting if far[0].half == "bottom" else ONE - setting
    return view.series(far) / view.series(near + far)


def divided(top: str, bottom: str, fraction: Expression) -> Expression:
    """Voltage at the tap of a divider from node ``top`` down to node ``bottom``."""
    if bottom == GROUND:
        return fraction * potential(top) if isinstance(fraction, Name) else potential(top) * fraction
    return plus(potential(bottom), minus(potential(top), potential(bottom)) * fraction)


class Legs(NamedTuple):
    """A divider from node ``top`` down to node ``bottom``: the branches on either side of its tap."""

    top: str
    bottom: str
    near: tuple[Branch, ...]
    far: tuple[Branch, ...]

    @property
    def turned(self) -> Legs:
        """The same from its other end."""
        return Legs(self.bottom, self.top, self.far, self.near)


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    by_name = {branch.name: branch for branch in view.branches}
    near = tuple(by_name[name] for name in law.fields["near"].split(","))
    far = tuple(by_name[name] for name in law.fields["far"].split(","))
    legs = Legs(law.fields["high"], law.fields["low"], near, far)
    top, bottom = legs.top, legs.bottom
    fields = {"parts": law.fields["parts"], "part": law.fields["part"], "top": law.fields["top"]}
    is_track = bool(near[0].half) and near[0].part == far[0].part
    swapped = "wiper-from-wrong-end" if is_track else "divider-legs-swapped"
    yield Misuse(swapped, divided(top, bottom, share(far, near, view)), 0.5, fields)
    yield Misuse("divider-skipped", potential(top), 0.7, fields)
    if view.inputs.get(law.head.of):
        yield Misuse("virtual-ground-assumed", ZERO, 0.9)
    if not is_track:
        yield from _ratios(legs, view, fields)
    if bottom != GROUND:
        yield from _two_ended(legs, view, fields)
        # a divider between two voltages has no lower end: what is mistaken from one end is from the other
        skipped = {**fields, "top": view.node_label(bottom)}
        yield Misuse("divider-skipped", potential(bottom), 0.7, skipped)
        if not is_track:
            yield from _ratios(legs.turned, view, fields)
    yield from _loaded(law, near, far, view)


def _ratios(legs: Legs, view: View, fields: Mapping[str, str]) -> Iterator[Misuse]:
    """The ratio of the two parts in place of the share of one in both."""
    top, bottom, near, far = legs
    if not view.sums_to_zero(near):
        yield Misuse("ratio-of-parts", divided(top, bottom, view.series(far) / view.series(near)), 1, fields)
    if not view.sums_to_zero(far):
        yield Misuse("ratio-of-parts", divided(top, bottom, view.series(near) / view.series(far)), 1.3, fields)


def _two_ended(legs: Legs, view: View, fields: Mapping[str, str]) -> Iterator[Misuse]:
    """What is mistaken in a divider between two voltages, neither of them ground."""
    top, bottom, near, far = legs
    fraction, other = share(near, far, view), share(far, near, view)
    ends = {name: {**fields, "part": branches[0].name} for name, branches in (("low", far), ("high", near))}
    yield Misuse("far-end-grounded", potential(top) * fraction, 0.8, ends["low"])
    yield Misuse("far-end-grounded", potential(bottom) * other, 0.9, ends["high"])
    yield Misuse("source-weights-swapped", divided(top, bottom, other), 0.6, fields)
    yield Misuse("start-left-out", minus(potential(top), potential(bottom)) * fraction, 0.9, fields)
    yield Misuse("plain-sum", plus(potential(top), potential(bottom)), 1.1, fields)
    for first, second in (
        (Call("abs", potential(top)), potential(bottom)),
        (potential(top), Call("abs", potential(bottom))),
    ):
        yield Misuse("sign-of-end-dropped", first * fraction + second * other, 0.9, fields)
    half = ONE / (ONE + ONE)
    yield Misuse("plain-average", plus(potential(top), potential(bottom)) * half, 1.1, fields)


def _loaded(law: Law, near: tuple[Branch, ...], far: tuple[Branch, ...], view: View) -> Iterator[Misuse]:
    """A part at the op-amp's output thought to load the divider at its input."""
    top, bottom = law.fields["high"], law.fields["low"]
    for amp in view.netlist.opamps:
        if law.head.of not in (amp.plus, amp.minus):
            continue
        for end in view.impedances_at(amp.out):
            if end.far == GROUND and end.branch.impedance is not None and end.branch.name not in view.zero:
                loaded = Parallel((view.series(far), end.branch.impedance))
                fraction = loaded / (view.series(near) + loaded)
                fields = {"part": end.branch.name, "parts": law.fields["parts"]}
                yield Misuse("load-through-op-amp", divided(top, bottom, fraction), 0.8, fields)


def unloaded(view: View, spot: Spot) -> Ruling:
    """Only where two parts and nothing else that takes current meet."""
    node = spot.nodes[0]
    ends = live_ends(view, node)
    fields = {"node": view.node_label(node), "parts": part_labels(ends), "pins": joined(view.inputs.get(node, ()))}
    if node == GROUND or any(end.branch.impedance is None for end in ends):
        return Ruling(False, "divider-driven", fields)
    if len(ends) < 2:
        return Ruling(False, "divider-too-few", fields)
    if len(ends) == 2:
        return Ruling(True, "divider-pin" if fields["pins"] else "divider", fields)
    loads = tuple(end for end in ends if end.branch.part not in spot.parts)
    if len(ends) - len(loads) == 2:
        return Ruling(False, "divider-loaded", {**fields, "loads": part_labels(loads)})
    return Ruling(False, "divider-several", fields)


QUESTIONS = (Question(("divider", "voltage divider"), "node", "if-divider", unloaded),)
