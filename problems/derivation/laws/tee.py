"""A stage whose feedback runs through a tee: two parts in a row, and a leg to ground between them.

Like the closed relation of a plain stage, it is there for what people do to it, not for walks.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from problems.circuits.parts.opamp import OpAmp
from problems.derivation.law import Law, Misuse, Place
from problems.derivation.laws.tap import resistance
from problems.derivation.view import End, View, minus, plus, potential
from problems.formulas.expression import ZERO, Expression, Parallel, total
from problems.quantities import GROUND, voltage

KEY = "tee"


@dataclass(frozen=True)
class Tee:
    """near: from the − pin to the middle; far: from there to the output; leg: to ground; arms: to the pin."""

    amp: OpAmp
    near: Expression
    far: Expression
    leg: Expression
    arms: tuple[End, ...]
    parts: tuple[str, ...]

    @property
    def reference(self) -> Expression:
        return potential(self.amp.plus)

    @property
    def flow(self) -> Expression:
        """Current through the arms to the pin, and so on through ``near``."""
        return total(tuple(minus(potential(arm.far), self.reference) / resistance(arm) for arm in self.arms))

    def output(self, feedback: Expression) -> Expression:
        """The output if ``feedback`` were one resistor between pin and output."""
        return minus(self.reference, self.flow * feedback)


def tees(view: View) -> Iterator[Tee]:
    """Every op-amp of the circuit that is such a stage."""
    for amp in view.netlist.opamps:
        ends = view.meeting[amp.minus]
        if len(view.impedances_at(amp.minus)) != len(ends) or view.feedback.get(amp.name) != "negative":
            continue
        for end in ends:
            middle = {other.far: other for other in view.impedances_at(end.far) if other.branch != end.branch}
            legs = set(middle) == {amp.out, GROUND} and len(view.meeting[end.far]) == 3 and amp.out != GROUND
            arms = tuple(arm for arm in ends if arm is not end)
            names = [e.branch.name for e in (*ends, *middle.values())]
            if legs and arms and not view.zero & set(names) and any(arm.far != GROUND for arm in arms):
                far, leg = middle[amp.out], middle[GROUND]
                parts = (end.branch.name, far.branch.name, leg.branch.name)
                yield Tee(amp, resistance(end), resistance(far), resistance(leg), arms, parts)


def instances(view: View) -> Iterator[Law]:
    for tee in tees(view):
        whole = tee.near + tee.far + tee.near * tee.far / tee.leg
        relation = tee.output(whole)
        if tee.reference != ZERO:
            relation = plus(relation, tee.reference * (tee.far / tee.leg))
        yield Law(
            KEY, voltage(tee.amp.out), relation, 40, Place(tee.parts), fields={"part": tee.amp.name}, never_walked=True
        )


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    tee = next(tee for tee in tees(view) if voltage(tee.amp.out) == law.head)
    near, far, leg = tee.near, tee.far, tee.leg
    fields = {"parts": " and ".join(tee.parts), "part": tee.parts[2]}
    yield Misuse("minus-sign-lost", minus(ZERO, law.relation), 0.7)
    yield Misuse("network-as-parallel", tee.output(Parallel((near, far, leg))), 0.8, fields)
    yield Misuse("network-as-parallel", tee.output(Parallel((near + far, leg))), 1, fields)
    yield Misuse("network-as-series", tee.output(near + far + leg), 0.9, fields)
    yield Misuse("leg-left-out", tee.output(near + far), 0.7, fields)
