"""One hop of Kirchhoff's voltage law: the next node is the last one less the drop between them."""

from __future__ import annotations

from collections.abc import Iterator

from problems.circuits.parts.base import Branch
from problems.derivation.condition import Question, Ruling, Spot
from problems.derivation.law import Law, Misuse, Place
from problems.derivation.view import View, minus, plus, potential, times
from problems.formulas.expression import ZERO, Expression, Name, Parallel
from problems.quantities import GROUND, current, voltage

KEY = "hop"
OF_BRANCHES = True
CALLED = ("kvl",)


def instances(view: View) -> Iterator[Law]:
    for branch in view.fresh.branches:
        if branch.impedance is None or branch.name in view.zero:
            continue
        fall = times(Name(current(branch.name)), branch.impedance)
        for node, origin, sign in ((branch.end, branch.start, 1), (branch.start, branch.end, -1)):
            if node is None or origin is None or node == GROUND:
                continue
            relation = minus(potential(origin), fall) if sign > 0 else plus(potential(origin), fall)
            place = Place((branch.part,), (), (node, origin))
            fields = {
                "part": branch.name,
                "from": view.node_label(origin),
                "to": view.node_label(node),
                "origin": origin,
                "current": view.write(current(branch.name)),
                "variant": "along" if sign > 0 else "against",
            }
            yield Law(KEY, voltage(node), relation, 2, place, fields=fields)


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    branch = next(b for b in view.branches if b.name == law.fields["part"])
    origin, falls = law.fields["origin"], branch.end == law.head.of
    assert branch.impedance is not None
    flow = Name(current(branch.name))
    fall = flow * branch.impedance
    fields = {"part": branch.name, "from": law.fields["from"]}
    yield Misuse("drop-sign", _hop(origin, fall, not falls), 0.5, fields)
    if origin != GROUND:
        yield Misuse("start-left-out", _hop(GROUND, fall, falls), 0.7, fields)
        yield Misuse("drop-left-out", potential(origin), 0.7, fields)
    if law.head.of in view.outputs:
        yield Misuse("output-zero", ZERO, 1, fields)
    yield from _wrong_starts(branch, origin, fall, falls, view)
    yield from _wrong_flows(branch, origin, falls, view)


def _hop(origin: str, fall: Expression, falls: bool) -> Expression:
    return minus(potential(origin), fall) if falls else plus(potential(origin), fall)


def _wrong_starts(branch: Branch, origin: str, fall: Expression, falls: bool, view: View) -> Iterator[Misuse]:
    """The path begun one part too early."""
    if origin == GROUND:
        return
    for end in view.impedances_at(origin):
        if end.branch != branch and end.far not in (GROUND, branch.start, branch.end):
            fields = {"part": branch.name, "other_part": end.branch.name, "from": view.node_label(end.far)}
            yield Misuse("path-from-wrong-node", _hop(end.far, fall, falls), 1, fields)


def _wrong_flows(branch: Branch, origin: str, falls: bool, view: View) -> Iterator[Misuse]:
    """Another branch's current taken through this part, or the next part's resistance counted in."""
    if origin == GROUND or branch.impedance is None:
        return
    for end in view.meeting[origin]:
        if end.branch == branch or end.branch.impedance is None:
            continue
        fields = {"part": branch.name, "other_part": end.branch.name, "from": view.node_label(origin)}
        if len(view.meeting[origin]) > 2:
            flow: Expression = Name(current(end.branch.name))
            same_way = (end.sign < 0) == (branch.start == origin)
            flow = flow if same_way else minus(ZERO, flow)
            yield Misuse("current-of-other-branch", _hop(origin, flow * branch.impedance, falls), 0.8, fields)
            for third in view.impedances_at(origin):
                if third.branch not in (branch, end.branch) and third.branch.impedance is not None:
                    beside = Parallel((branch.impedance, third.branch.impedance))
                    more = {**fields, "other_part": third.branch.name}
                    yield Misuse("taken-as-parallel", _hop(origin, flow * beside, falls), 1.1, more)
    node = branch.end if falls else branch.start
    for end in view.impedances_at(node or GROUND):
        if end.branch != branch and node != GROUND:
            flow = Name(current(branch.name))
            if end.branch.impedance is not None:
                crossed = _hop(origin, flow * end.branch.impedance, falls)
                other = {"part": branch.name, "other_part": end.branch.name}
                yield Misuse("other-resistor-crossed", crossed, 1.2, other)
            total = view.series((branch, end.branch))
            fields = {"part": branch.name, "other_part": end.branch.name, "from": view.node_label(origin)}
            yield Misuse("next-part-counted", _hop(origin, flow * total, falls), 1.2, fields)


def everywhere(view: View, spot: Spot) -> Ruling:
    """Along any path."""
    return Ruling(True, "kvl")


QUESTIONS = (Question(("kvl", "voltage law", "kirchhoff's voltage law"), "", "kvl", everywhere),)
