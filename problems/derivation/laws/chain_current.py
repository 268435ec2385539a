"""The one current of impedances in line: the voltage across all of them over their sum."""

from __future__ import annotations

from collections.abc import Iterator

from problems.circuits.parts.base import Branch
from problems.derivation.law import Law, Misuse, Place
from problems.derivation.view import Chain, View, minus, plus, potential
from problems.formulas.expression import ZERO, Expression, Negative, Parallel
from problems.quantities import GROUND, Quantity, current

KEY = "chain-current"
OF_BRANCHES = True
CALLED = ("ohm", "kvl")


def instances(view: View) -> Iterator[Law]:
    for chain in view.fresh.chains:
        branches = tuple(end.branch for end in chain.ends)
        if view.sums_to_zero(branches) or _spans_a_loop(chain, view):
            continue
        over = view.series(branches)
        for end in chain.ends:
            yield _law(chain, over, current(end.branch.name), end.sign, view)
        first, *others = branches
        if first.half and [branch.part for branch in others] == [first.part]:
            sign = 1 if first.half == "top" else -1
            yield _law(chain, over, current(first.part), sign * chain.ends[0].sign, view)


def _spans_a_loop(chain: Chain, view: View) -> bool:
    """Whether the run goes past an op-amp's input to its output: there the op-amp, not the run, sets the current."""
    inner = chain.nodes[1:-1]
    ends = (chain.nodes[0], chain.nodes[-1])
    return any(amp.out in ends and amp.minus in inner for amp in view.netlist.opamps)


def _law(chain: Chain, over: Expression, head: Quantity, sign: int, view: View) -> Law:
    branches = tuple(end.branch for end in chain.ends)
    first, last = (chain.nodes[0], chain.nodes[-1]) if sign > 0 else (chain.nodes[-1], chain.nodes[0])
    parts = tuple(dict.fromkeys(branch.part for branch in branches))
    fields = {
        "parts": " and ".join(parts),
        "part": head.of,
        "first": view.node_label(first),
        "second": view.node_label(last),
        "start": first,
        "end": last,
        "branches": ",".join(branch.name for branch in branches),
    }
    relation = minus(potential(first), potential(last)) / over
    return Law(KEY, head, relation, 3, Place(parts), fields=fields, only_asked=True)


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    by_name = {branch.name: branch for branch in view.branches}
    branches = tuple(by_name[name] for name in law.fields["branches"].split(","))
    start, end = law.fields["start"], law.fields["end"]
    across, over = minus(potential(start), potential(end)), view.series(branches)
    fields = {"parts": law.fields["parts"], "part": law.fields["part"]}
    yield Misuse("arrow-reversed", Negative(across / over), 0.3, fields)
    yield Misuse("no-current-assumed", ZERO, 0.8, fields)
    if len({branch.part for branch in branches}) > 1:
        for branch in branches:
            if branch.name not in view.zero and branch.impedance is not None:
                yield Misuse("part-left-out", across / branch.impedance, 0.7, {**fields, "other_part": branch.name})
    if GROUND not in (start, end):
        yield Misuse("end-taken-as-ground", potential(start) / over, 0.9, {**fields, "node": view.node_label(end)})
        yield Misuse(
            "end-taken-as-ground", minus(ZERO, potential(end)) / over, 1, {**fields, "node": view.node_label(start)}
        )
        added = plus(potential(start), potential(end)) / over
        for relation in (added, minus(ZERO, added)):
            yield Misuse("added-not-subtracted", relation, 1, fields)
    yield from _loaded(across, branches, view, fields)


def _loaded(across: Expression, branches: tuple[Branch, ...], view: View, fields: dict[str, str]) -> Iterator[Misuse]:
    """A part at an op-amp's output thought to draw from the divider at its input."""
    inner = {branch.end for branch in branches} | {branch.start for branch in branches}
    for amp in view.netlist.opamps:
        if not inner & {amp.plus, amp.minus}:
            continue
        for end in view.impedances_at(amp.out):
            if end.far == GROUND and end.branch.impedance is not None and end.branch.name not in view.zero:
                for index, branch in enumerate(branches):
                    rest = branches[:index] + branches[index + 1 :]
                    assert branch.impedance is not None
                    total = view.series(rest) + Parallel((branch.impedance, end.branch.impedance))
                    yield Misuse("load-through-op-amp", across / total, 0.9, {**fields, "part": end.branch.name})
