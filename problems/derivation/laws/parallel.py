"""Resistances side by side between the same two nodes, taken as one."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from problems.circuits.parts.base import Branch
from problems.derivation.law import Law, Misuse, Place
from problems.derivation.view import View, resistances
from problems.formulas.expression import ONE, Expression, Parallel, total
from problems.quantities import GROUND, Quantity

KEY = "parallel"
OF_BRANCHES = True
DEFINES = 1


def instances(view: View) -> Iterator[Law]:
    composite = view.fresh.composite
    if composite is None or composite.how != KEY:
        return
    name, start, end, _ = composite.branch
    branches = tuple(member.branch for member in composite.members)
    fields = {
        "whole": f"R_{name}",
        "parts": " and ".join(branch.name for branch in branches),
        "first": view.node_label(start or GROUND),
        "second": view.node_label(end or GROUND),
    }
    place = Place(tuple(branch.part for branch in branches))
    yield Law(KEY, Quantity("R", name), Parallel(resistances(branches)), 1.5, place, fields=fields)


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    composite = view.fresh.composite
    assert composite is not None
    branches = tuple(member.branch for member in composite.members)
    yield Misuse("parallel-as-series", total(resistances(branches)), 0.5, {"parts": law.fields["parts"]})
    yield from of_side_by_side(branches, law.fields["parts"])


def of_side_by_side(branches: tuple[Branch, ...], parts: str) -> Iterator[Misuse]:
    """What goes wrong with resistances side by side but for taking them in line."""
    over = tuple(ONE / resistance for resistance in resistances(branches))
    yield Misuse("conductance-not-inverted", total(over), 0.7, {"parts": parts})
    yield from of_one_left_out(branches, Parallel, parts)


def of_one_left_out(
    branches: tuple[Branch, ...], together: Callable[[tuple[Expression, ...]], Expression], parts: str
) -> Iterator[Misuse]:
    """Each of several resistances forgotten. together: how the rest of them are taken as one."""
    for branch in branches:
        rest = resistances(tuple(other for other in branches if other is not branch))
        relation = rest[0] if len(rest) == 1 else together(rest)
        yield Misuse("resistance-left-out", relation, 0.8, {"part": branch.name, "parts": parts})
