"""Ohm's law between two node voltages: I = (V_a - V_b)/R, as one step."""

from __future__ import annotations

from collections.abc import Iterator

from problems.circuits.parts.base import Branch
from problems.derivation.condition import Question, Ruling, Spot
from problems.derivation.law import LAWS, NODES, Law, Misuse, Place
from problems.derivation.laws.stage import stages
from problems.derivation.view import View, minus, plus, potential, reactance, through
from problems.formulas.expression import ONE, ZERO, Expression, Name, Parallel
from problems.quantities import GROUND, current, drop

KEY = "ohm"
METHODS = (LAWS, NODES)
OF_BRANCHES = True
DEFINES = 2
CALLED = ("ohm",)


def instances(view: View) -> Iterator[Law]:
    for branch in view.fresh.branches:
        if branch.impedance is None or branch.name in view.zero:
            continue
        across = difference(branch)
        place = Place(parts=(branch.part,))
        fields = {
            "variant": reactance(branch),
            "part": branch.name,
            "first": view.node_label(branch.start or ""),
            "second": view.node_label(branch.end or ""),
        }
        yield Law(KEY, current(branch.name), through(across, branch.impedance), 2, place, fields=fields)
        if "." not in branch.name and view.reduced is None:
            # for a drop that is known already; no walk goes by way of one unasked
            given = through(Name(drop(branch.name)), branch.impedance)
            yield Law(KEY, current(branch.name), given, 1.5, place, fields=fields)


def difference(branch: Branch) -> Expression:
    """Voltage across a branch, first end against second."""
    return minus(potential(branch.start or GROUND), potential(branch.end or GROUND))


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    branch = next(b for b in view.branches if b.name == law.head.of)
    start, end, over = branch.start or GROUND, branch.end or GROUND, branch.impedance
    assert over is not None
    fields = {"part": branch.name}
    yield Misuse("arrow-reversed", minus(potential(end), potential(start)) / over, 0.3, fields)
    yield Misuse("no-current-assumed", ZERO, 0.9, fields)
    if GROUND not in (start, end):
        yield Misuse("end-taken-as-ground", potential(start) / over, 0.6, {**fields, "node": view.node_label(end)})
        yield Misuse(
            "end-taken-as-ground", minus(ZERO, potential(end)) / over, 0.9, {**fields, "node": view.node_label(start)}
        )
        added = plus(potential(start), potential(end)) / over
        for relation in (added, minus(ZERO, added)):
            yield Misuse("added-not-subtracted", relation, 1, fields)
    yield from _neighbours(branch, start, end, over, view)
    yield from _side_by_side(branch, view)
    if reactance(branch):
        yield Misuse("impedance-upside-down", difference(branch) * over, 0.7, fields)
    yield from _stage_skipped(start, end, over, view)


def _side_by_side(branch: Branch, view: View) -> Iterator[Misuse]:
    """The current of one of two parallel parts, as a share of a current thought to be fixed."""
    assert branch.impedance is not None
    for other in view.branches:
        beside = {other.start, other.end} == {branch.start, branch.end} and other != branch
        if not beside or other.impedance is None or other.name in view.zero:
            continue
        fields = {"part": branch.name, "other_part": other.name}
        alone = difference(branch) / branch.impedance
        yield Misuse(
            "fixed-current-shared", alone * (other.impedance / (branch.impedance + other.impedance)), 0.7, fields
        )
        whole = difference(branch) / Parallel((branch.impedance, other.impedance))
        yield Misuse("even-split", whole / (ONE + ONE), 0.7, fields)


def _stage_skipped(start: str, end: str, over: Expression, view: View) -> Iterator[Misuse]:
    """What drives the stage before put in place of its output."""
    for stage in stages(view):
        for arm in stage.live_arms:
            fields = {"part": stage.amp.name}
            if stage.amp.out == start and arm.far != end:
                yield Misuse("earlier-stage-skipped", minus(potential(arm.far), potential(end)) / over, 1, fields)
            if stage.amp.out == end and arm.far != start:
                yield Misuse("earlier-stage-skipped", minus(potential(start), potential(arm.far)) / over, 1.1, fields)


def _neighbours(branch: Branch, start: str, end: str, over: Expression, view: View) -> Iterator[Misuse]:
    """The next node's voltage used for one end, or the next part counted in."""
    for node, other_end, first in ((start, end, True), (end, start, False)):
        if node == GROUND:
            continue
        for neighbour in view.impedances_at(node):
            if neighbour.branch == branch or neighbour.far == other_end:
                continue
            far = potential(neighbour.far)
            across = minus(far, potential(other_end)) if first else minus(potential(other_end), far)
            fields = {"part": branch.name, "other_part": neighbour.branch.name, "node": view.node_label(neighbour.far)}
            if across != ZERO:
                yield Misuse("wrong-end", across / over, 1.1, fields)
            if (node in view.inputs or view.is_inner(node)) and neighbour.branch.impedance is not None:
                if neighbour.branch.name not in view.zero:
                    yield Misuse("other-resistor", difference(branch) / neighbour.branch.impedance, 1.2, fields)
                total = view.series((branch, neighbour.branch))
                yield Misuse("series-total", difference(branch) / total, 1, fields)
                if across != ZERO:
                    yield Misuse("series-total-far", across / total, 1.3, fields)


def across(view: View, spot: Spot) -> Ruling:
    """For any resistance, with the voltage between its own two ends."""
    part = spot.parts[0]
    branches = [branch for branch in view.netlist.branches if part in (branch.part, branch.name)]
    if any(branch.impedance is None for branch in branches):
        return Ruling(False, "ohm-source", {"part": part})
    first, second = (view.node_label(node or GROUND) for node in (branches[0].start, branches[-1].end))
    fields = {"part": part, "first": first, "second": second}
    return Ruling(True, "ohm" if len(branches) == 1 else "ohm-track", fields)


QUESTIONS = (Question(("ohm", "ohm's law"), "part", "if-ohm", across),)
