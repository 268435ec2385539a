"""Series and parallel: not laws of their own, but what makes two parts one."""

from __future__ import annotations

from problems.circuits.parts.base import Branch
from problems.derivation.condition import Question, Ruling, Spot, live_ends, part_labels
from problems.derivation.view import View


def branches_of(view: View, part: str) -> tuple[Branch, ...]:
    """The branches of a part, or the one half of a potentiometer that is named."""
    return tuple(branch for branch in view.netlist.branches if part in (branch.part, branch.name))


def ends_of(view: View, part: str) -> set[str]:
    """The nodes that a part's branches touch."""
    return {node for branch in branches_of(view, part) for node in (branch.start, branch.end) if node is not None}


def in_line(view: View, spot: Spot) -> Ruling:
    """Whether one current runs through two parts: they meet where nothing else does, or lie in one run."""
    first, second = spot.parts[:2]
    fields = {"first": first, "second": second}
    for chain in view.chains:
        inside = {name for end in chain.ends for name in (end.branch.part, end.branch.name)}
        if {first, second} <= inside:
            return Ruling(True, "in-line", fields)
    both = sorted(ends_of(view, first) & ends_of(view, second))
    if not both:
        return Ruling(False, "in-line-apart", fields)
    for node in both:
        others = tuple(end for end in live_ends(view, node) if not {end.branch.part, end.branch.name} & {first, second})
        told = {**fields, "node": view.node_label(node), "others": part_labels(others)}
        if not others:
            return Ruling(True, "in-line", fields)
    return Ruling(False, "in-line-branch", told)


def side_by_side(view: View, spot: Spot) -> Ruling:
    """Whether two parts share both of their ends."""
    first, second = spot.parts[:2]
    both = sorted(ends_of(view, first) & ends_of(view, second))
    fields = {"first": first, "second": second, "node": " and ".join(map(view.node_label, both))}
    if len(both) > 1:
        return Ruling(True, "side-by-side", fields)
    return Ruling(False, "side-by-side-one" if both else "side-by-side-none", fields)


QUESTIONS = (
    Question(("same current", "series", "in series", "in line"), "parts", "if-in-line", in_line),
    Question(("parallel", "in parallel"), "parts", "if-side-by-side", side_by_side),
)
