"""A divider read backwards: the voltage at its top from that at its tap."""

from __future__ import annotations

from collections.abc import Iterator

from problems.derivation.law import Law, Misuse, Place
from problems.derivation.view import View, potential
from problems.formulas.expression import ONE, ZERO
from problems.quantities import GROUND, voltage

KEY = "reversed-divider"
OF_BRANCHES = True
CALLED = ("divider",)


def instances(view: View) -> Iterator[Law]:
    for chain in view.fresh.chains:
        if len(chain.nodes) != 3 or GROUND not in (chain.nodes[0], chain.nodes[-1]):
            continue
        top = chain.nodes[0] if chain.nodes[-1] == GROUND else chain.nodes[-1]
        near, far = chain.ends if chain.nodes[-1] == GROUND else chain.ends[::-1]
        tap = chain.nodes[1]
        if far.branch.name in view.zero or near.branch.impedance is None or far.branch.impedance is None:
            continue
        relation = potential(tap) * (ONE + near.branch.impedance / far.branch.impedance)
        parts = tuple(dict.fromkeys(end.branch.part for end in chain.ends))
        fields = {"parts": " and ".join(parts), "node": view.node_label(tap), "top": view.node_label(top)}
        # dearer than Ohm, same current and a hop together, so that a walk goes step by step
        yield Law(KEY, voltage(top), relation, 8, Place(parts), fields=fields)


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    tap, *_ = law.tails
    yield Misuse("drop-left-out", potential(tap.of), 1, {"part": law.fields["parts"], "from": law.fields["node"]})
    yield Misuse("output-zero", ZERO, 1.2)
