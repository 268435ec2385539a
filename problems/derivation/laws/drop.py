"""The drop across a part: one end against the other, or its current times its resistance."""

from __future__ import annotations

from collections.abc import Iterator

from problems.circuits.parts.base import Branch
from problems.derivation.law import LAWS, NODES, Law, Misuse, Place
from problems.derivation.laws.kcl import negated, negated_all
from problems.derivation.view import View, minus, plus, potential
from problems.formulas.expression import ZERO, Expression, Name
from problems.quantities import GROUND, current, drop

KEY = "drop"
METHODS = (LAWS, NODES)
CALLED = ("kvl",)


def instances(view: View) -> Iterator[Law]:
    for part in view.netlist.part_names:
        nodes = view.netlist.part(part).nodes
        first, second = nodes[0], nodes[1]
        fields = {"part": part, "first": view.node_label(first), "second": view.node_label(second)}
        place = Place(parts=(part,), nodes=(first, second))
        across = minus(potential(first), potential(second))
        yield Law(KEY, drop(part), ZERO if first == second else across, 2.5, place, fields=fields, only_asked=True)
    for branch in view.branches:
        if branch.impedance is not None and "." not in branch.name:
            fields = {
                "part": branch.name,
                "first": view.node_label(branch.start or GROUND),
                "second": view.node_label(branch.end or GROUND),
            }
            yield from _by_current(branch, Place(parts=(branch.name,)), fields)


def _by_current(branch: Branch, place: Place, fields: dict[str, str]) -> Iterator[Law]:
    assert branch.impedance is not None
    fall = Name(current(branch.name)) * branch.impedance
    yield Law(KEY, drop(branch.name), fall, 2.5, place, fields=fields, only_asked=True)


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    fields = {"part": law.fields["part"]}
    relation: Expression = law.relation
    yield Misuse("drop-reversed", negated_all(relation), 0.3, fields)
    yield Misuse("no-drop-assumed", ZERO, 0.8, fields)
    part = view.netlist.part(law.fields["part"])
    first, second = part.nodes[0], part.nodes[1]
    yield from _at_an_open_end(law.fields["part"], view)
    if GROUND not in (first, second) and first != second:
        yield Misuse("end-taken-as-ground", potential(first), 0.7, {**fields, "node": view.node_label(second)})
        yield Misuse("end-taken-as-ground", negated(potential(second)), 0.9, {**fields, "node": view.node_label(first)})
        yield Misuse("added-not-subtracted", plus(potential(first), potential(second)), 1, fields)


def _at_an_open_end(part: str, view: View) -> Iterator[Misuse]:
    """A part that leads to an open end, and still all of the voltage or a share of it across it."""
    lonely = {end.branch.name: end for ends in view.meeting.values() if len(ends) == 1 for end in ends}
    own = lonely.get(part)
    if own is None or own.branch.impedance is None:
        return
    if own.far != GROUND:
        full = potential(own.far) if own.sign < 0 else negated(potential(own.far))
        yield Misuse("all-across-first", full, 0.5, {"part": part})
    for name, other in lonely.items():
        if name == part or other.branch.impedance is None or view.sums_to_zero((own.branch, other.branch)):
            continue
        across = minus(potential(own.far), potential(other.far))
        across = across if own.sign < 0 else negated_all(across)
        share = own.branch.impedance / view.series((own.branch, other.branch))
        if across != ZERO:
            yield Misuse("divider-without-current", across * share, 0.7, {"parts": f"{part} and {name}"})
