"""A toy law: nothing drops across an ideal meter."""

from __future__ import annotations

from collections.abc import Iterator

from problems.derivation.law import Law, Place
from problems.derivation.view import View, potential
from problems.quantities import GROUND, voltage

KEY = "toy-meter-drop"
WORDS = {
    "name": "ideal meter",
    "goal": "the voltage behind {part}",
    "look": "look at {part}.",
    "rule": "An ideal meter has no resistance.",
    "why": "Nothing drops across {part}.",
}


def instances(view: View) -> Iterator[Law]:
    for part in view.netlist.parts:
        if part.kind == "toy-meter":
            first, second = part.nodes
            for node, other in ((first, second), (second, first)):
                if node != GROUND:
                    yield Law(KEY, voltage(node), potential(other), 1, Place((part.name,)), fields={"part": part.name})
