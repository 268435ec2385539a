"""Voltage between two nodes: one against the other."""

from __future__ import annotations

from collections.abc import Iterator

from problems.derivation.law import LAWS, NODES, Law, Misuse, Place
from problems.derivation.view import View, minus, plus, potential
from problems.formulas.expression import ZERO, Expression
from problems.quantities import Quantity

KEY = "between"
METHODS = (LAWS, NODES)
CALLED = ("kvl",)


def law_for(asked: Quantity, view: View) -> Law:
    """The law of one asked pair; pairs are too many to make them all."""
    relation: Expression = minus(potential(asked.of), potential(asked.to)) if asked.of != asked.to else ZERO
    fields = {
        "first": view.node_label(asked.of),
        "second": view.node_label(asked.to),
        "start": asked.of,
        "end": asked.to,
    }
    return Law(KEY, asked, relation, 1, Place(nodes=(asked.of, asked.to)), fields=fields)


def instances(view: View) -> Iterator[Law]:
    return iter(())


def across_a_gap(start: str, end: str, view: View) -> Iterator[Misuse]:
    """Between two open ends: no voltage because no current, or a divider although none runs."""
    if len(view.meeting[start]) != 1 or len(view.meeting[end]) != 1:
        return
    (left,), (right,) = view.meeting[start], view.meeting[end]
    yield Misuse("no-current-no-voltage", ZERO, 0.4)
    if (
        left.branch.impedance is None
        or right.branch.impedance is None
        or view.sums_to_zero((left.branch, right.branch))
    ):
        return
    whole = view.series((left.branch, right.branch))
    across = minus(potential(left.far), potential(right.far))
    for end_branch in (right.branch, left.branch):
        fields = {"parts": f"{left.branch.name} and {right.branch.name}"}
        assert end_branch.impedance is not None
        yield Misuse("divider-without-current", across * (end_branch.impedance / whole), 0.7, fields)


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    first, second = potential(law.fields["start"]), potential(law.fields["end"])
    yield Misuse("drop-reversed", minus(second, first), 0.3, {"part": ""})
    yield from across_a_gap(law.fields["start"], law.fields["end"], view)
    if ZERO not in (first, second):
        yield Misuse("end-taken-as-ground", first, 0.7, {"part": "", "node": law.fields["second"]})
        yield Misuse("added-not-subtracted", plus(first, second), 1, {"part": ""})
