"""Voltage between two nodes: one against the other."""

from __future__ import annotations

from collections.abc import Iterator

from problems.derivation.law import Law, Misuse, Place
from problems.derivation.view import View, minus, plus, potential
from problems.formulas.expression import ZERO, Expression
from problems.quantities import Quantity

KEY = "between"
METHODS = ("laws", "nodes")


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


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    first, second = potential(law.fields["start"]), potential(law.fields["end"])
    yield Misuse("drop-reversed", minus(second, first), 0.3, {"part": ""})
    if ZERO not in (first, second):
        yield Misuse("end-taken-as-ground", first, 0.7, {"part": "", "node": law.fields["second"]})
        yield Misuse("added-not-subtracted", plus(first, second), 1, {"part": ""})
