"""A node where three or more impedances meet and nothing else: its voltage from those of all its neighbours.

A loaded divider is the plainest. No walk uses the formula: it is there for follow-through and for its misuses, which
are those of every loaded divider, whatever reduces or carries it in the walk at hand.
"""

from __future__ import annotations

from collections.abc import Iterator

from problems.derivation.law import Law, Misuse, Place
from problems.derivation.view import End, View, potential
from problems.formulas.expression import ZERO, Expression, Parallel, total
from problems.quantities import GROUND, voltage

KEY = "tap"


def instances(view: View) -> Iterator[Law]:
    for node, ends in view.meeting.items():
        if node == GROUND or node in view.outputs or len(ends) < 3 or len(view.impedances_at(node)) != len(ends):
            continue
        if any(end.branch.name in view.zero or end.far == node for end in ends):
            continue
        parts = tuple(dict.fromkeys(end.branch.part for end in ends))
        fields = {"node": view.node_label(node), "id": node}
        place = Place(parts, view.inputs.get(node, ()), (node,))
        yield Law(KEY, voltage(node), mean(ends), 40, place, fields=fields, never_walked=True)


def mean(ends: tuple[End, ...]) -> Expression:
    """Voltage at which the currents of these branches cancel: a divider where one of them leads to a voltage."""
    live = tuple(end for end in ends if end.far != GROUND)
    return total(tuple(_share(end, ends) for end in live))


def _share(end: End, ends: tuple[End, ...]) -> Expression:
    """What one branch brings to the node: its far voltage, divided by the others beside each other."""
    others = tuple(resistance(other) for other in ends if other is not end)
    if not others:
        return potential(end.far)
    beside = others[0] if len(others) == 1 else Parallel(others)
    return potential(end.far) * (beside / (resistance(end) + beside))


def resistance(end: End) -> Expression:
    """Impedance of the branch of an end."""
    assert end.branch.impedance is not None
    return end.branch.impedance


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    node = law.fields["id"]
    if node in view.inputs:
        # at an input pin under feedback the habits are those of rule two
        return
    held = _virtual_grounds(view)
    if any(end.far in held for end in view.meeting[node]):
        yield Misuse("virtual-ground-moved", ZERO, 0.6, {"node": law.fields["node"]})
    ends = tuple(end._replace(far=GROUND) if end.far in held else end for end in view.meeting[node])
    yield from _of_the_branches(ends)
    ends = view.meeting[node]
    yield from _of_what_lies_behind(node, ends, view)


def _of_the_branches(ends: tuple[End, ...]) -> Iterator[Misuse]:
    live = [end for end in ends if end.far != GROUND]
    for end in ends:
        rest = tuple(other for other in ends if other is not end)
        if any(other.far != GROUND for other in rest):
            yield Misuse("load-left-out", mean(rest), 0.6, {"part": end.branch.name})
        if end in live:
            yield Misuse("no-drop-assumed", potential(end.far), 1, {"part": end.branch.name})
            others = tuple(resistance(other) for other in rest)
            whole = resistance(end) + Parallel(others)
            yield Misuse("divider-legs-swapped", potential(end.far) * (resistance(end) / whole), 0.9)
            in_line = total(others)
            series = potential(end.far) * (in_line / (resistance(end) + in_line))
            names = " and ".join(other.branch.name for other in rest)
            yield Misuse("parallel-as-series", series, 0.6, {"parts": names})


def _virtual_grounds(view: View) -> set[str]:
    """The − pins that feedback holds at 0 V because the + pin is at ground."""
    return {
        amp.minus for amp in view.netlist.opamps if amp.plus == GROUND and view.feedback.get(amp.name) == "negative"
    }


def _of_what_lies_behind(node: str, ends: tuple[End, ...], view: View) -> Iterator[Misuse]:
    """A branch to a pin thought to go on through the next part to ground."""
    for end in ends:
        if end.far not in view.inputs:
            continue
        for beyond in view.impedances_at(end.far):
            if beyond.branch == end.branch or beyond.branch.name in view.zero:
                continue
            load = resistance(end) + resistance(beyond)
            terms = []
            for other in ends:
                if other is end or other.far == GROUND:
                    continue
                beside = [resistance(third) for third in ends if third not in (other, end)]
                whole = Parallel((*beside, load))
                terms.append(potential(other.far) * (whole / (resistance(other) + whole)))
            fields = {"part": end.branch.name, "other_part": beyond.branch.name}
            yield Misuse("load-reaches-further", total(tuple(terms)), 1, fields)
