"""A capacitor at dc, and an inductor at very high frequencies, carry nothing."""

from __future__ import annotations

from collections.abc import Iterator

from problems.derivation.law import Law, Misuse, Place
from problems.derivation.laws.ohm import difference
from problems.derivation.view import View
from problems.formulas.expression import ZERO
from problems.quantities import current

KEY = "open"


def instances(view: View) -> Iterator[Law]:
    for part in view.netlist.parts:
        if not part.carries:
            variant = "inductor" if part.parameters[0].unit == "H" else ""
            fields = {"part": part.name, "variant": variant}
            yield Law(KEY, current(part.name), ZERO, 1, Place((part.name,)), fields=fields)


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    """The current that a resistor beside it carries, taken to run here too."""
    own = next(branch for branch in view.netlist.branches if branch.name == law.head.of)
    for branch in view.branches:
        if (
            branch.impedance is not None
            and branch.name not in view.zero
            and {branch.start, branch.end} == {own.start, own.end}
        ):
            yield Misuse(
                "open-carries", difference(own) / branch.impedance, 0.8, {"part": own.name, "other_part": branch.name}
            )
