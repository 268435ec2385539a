"""Where nothing drives: parts that lead to ground and to inputs alone carry nothing, and all of it sits at 0 V."""

from __future__ import annotations

from collections.abc import Iterator

from problems.derivation.law import Law, Misuse, Place
from problems.derivation.view import View
from problems.formulas.expression import ZERO
from problems.quantities import GROUND, current, voltage

KEY = "no-source"
_COST = 0.9
"""Less than what says only that nothing leads there from the source that is on."""


def instances(view: View) -> Iterator[Law]:
    done: set[str] = {GROUND}
    for node in view.netlist.nodes:
        if node not in done:
            group = _joined(view, node)
            done |= group
            yield from _laws(view, group) if _is_dead(view, group) else ()


def _joined(view: View, node: str) -> set[str]:
    """The nodes that impedances join to one, not through ground."""
    found, waiting = {node}, [node]
    while waiting:
        for end in view.impedances_at(waiting.pop()):
            if end.far != GROUND and end.far not in found:
                found.add(end.far)
                waiting.append(end.far)
    return found


def _is_dead(view: View, group: set[str]) -> bool:
    """Whether impedances alone meet there, some of them lead to ground, and at no node just one of them does."""
    ends = [end for node in group for end in view.meeting[node]]
    lone = len(group) == 1 and len(ends) < 2  # one part into an input has a law of its own
    return not lone and all(end.branch.impedance is not None for end in ends) and any(e.far == GROUND for e in ends)


def _laws(view: View, group: set[str]) -> Iterator[Law]:
    for node in sorted(group, key=view.netlist.nodes.index):
        parts = tuple(dict.fromkeys(end.branch.part for end in view.meeting[node]))
        fields = {"node": view.node_label(node), "parts": ", ".join(parts)}
        yield Law(KEY, voltage(node), ZERO, _COST, Place(parts, nodes=(node,)), fields=fields)
        for end in view.meeting[node]:
            if end.sign > 0 or end.far == GROUND:
                yield Law(KEY, current(end.branch.name), ZERO, _COST, Place(parts, nodes=(node,)), fields=fields)


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    return iter(())
