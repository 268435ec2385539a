"""Two arms to fixed voltages replaced by one source and one resistance (Thevenin's theorem).

Read ``m*`` as the free end of the replacement: its voltage is what the node would have with nothing else on it.
"""

from __future__ import annotations

from collections.abc import Iterator

from problems.circuits.parts.base import Branch
from problems.derivation.law import Law, Misuse, Place
from problems.derivation.laws.divider import divided, share
from problems.derivation.laws.parallel import of_side_by_side
from problems.derivation.view import Composite, View, potential, resistances
from problems.formulas.expression import Parallel, total
from problems.quantities import GROUND, Quantity, voltage

KEY = "thevenin"
OF_BRANCHES = True
DEFINES = 1


def instances(view: View) -> Iterator[Law]:
    composite = view.fresh.composite
    if composite is None or composite.how != KEY:
        return
    top, bottom, near, far = _arms(composite)
    name, node = composite.branch.name, composite.branch.end or GROUND
    parts = tuple(dict.fromkeys((near.part, far.part)))
    fields = {
        "node": view.node_label(node),
        "parts": " and ".join(parts),
        "top": view.node_label(top),
        "bottom": view.node_label(bottom),
        "source": f"V_{name}",
        "whole": f"R_{name}",
    }
    place = Place(parts, (), (node,))
    relation = divided(top, bottom, share((near,), (far,), view))
    cost = 3 + (0.7 if bottom != GROUND else 0)
    yield Law(KEY, voltage(name), relation, cost, place, fields={**fields, "variant": "voltage"})
    beside = Parallel(resistances((near, far)))
    yield Law(KEY, Quantity("R", name), beside, 1.5, place, fields={**fields, "variant": "resistance"})


def _arms(composite: Composite) -> tuple[str, str, Branch, Branch]:
    """Fixed node at the top, at the bottom (ground, where it is one of them), and the arms to each."""
    first, second = composite.members
    if first.far == GROUND:
        first, second = second, first
    return first.far, second.far, first.branch, second.branch


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    composite = view.fresh.composite
    assert composite is not None
    top, bottom, near, far = _arms(composite)
    fields = {name: law.fields[name] for name in ("node", "parts", "top")} | {"part": near.name}
    if law.head.kind == "R":
        yield Misuse("source-not-a-wire", total(resistances((near, far))), 0.5, fields)
        yield from of_side_by_side((near, far), law.fields["parts"])
        return
    yield Misuse("divider-legs-swapped", divided(top, bottom, share((far,), (near,), view)), 0.5, fields)
    yield Misuse("loaded-voltage", potential(composite.branch.end or GROUND), 0.6, fields)
    yield Misuse("divider-skipped", potential(top), 0.9, fields)
    if bottom != GROUND:
        yield Misuse("far-end-grounded", potential(top) * share((near,), (far,), view), 0.8, {"part": far.name})
        yield Misuse("far-end-grounded", potential(bottom) * share((far,), (near,), view), 0.9, {"part": near.name})
