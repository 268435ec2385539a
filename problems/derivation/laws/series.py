"""Resistances in line, with nothing drawn from between them, taken as one."""

from __future__ import annotations

from collections.abc import Iterator

from problems.derivation.law import Law, Misuse, Place
from problems.derivation.laws.parallel import of_one_left_out
from problems.derivation.view import View, resistances
from problems.formulas.expression import Parallel, total
from problems.quantities import Quantity

KEY = "series"
OF_BRANCHES = True
DEFINES = 1


def instances(view: View) -> Iterator[Law]:
    composite = view.fresh.composite
    if composite is None or composite.how != KEY:
        return
    branches = tuple(member.branch for member in composite.members)
    name, between = composite.branch.name, tuple(member.far for member in composite.members[:-1])
    fields = {
        "whole": f"R_{name}",
        "parts": " and ".join(branch.name for branch in branches),
        "node": " and ".join(view.node_label(node) for node in between),
    }
    place = Place(tuple(branch.part for branch in branches), (), between)
    yield Law(KEY, Quantity("R", name), view.series(branches), 1, place, fields=fields)


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    composite = view.fresh.composite
    assert composite is not None
    branches = tuple(member.branch for member in composite.members)
    fields = {"parts": law.fields["parts"]}
    if not any(branch.name in view.zero for branch in branches):
        yield Misuse("series-as-parallel", Parallel(resistances(branches)), 0.5, fields)
    yield from of_one_left_out(branches, total, law.fields["parts"])
