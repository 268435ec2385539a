"""The current of a capacitor whose voltage rises evenly: C times the rate."""

from __future__ import annotations

from collections.abc import Iterator

from problems.circuits.conditions import SLOPE
from problems.circuits.stand_ins import RampedCapacitor
from problems.derivation.law import Law, Misuse, Place
from problems.derivation.view import View
from problems.formulas.expression import ZERO, Expression, Name, Negative, Number
from problems.quantities import current

KEY = "capacitor"


def instances(view: View) -> Iterator[Law]:
    for part in view.netlist.parts:
        if isinstance(part, RampedCapacitor):
            fields = {"part": part.name, "rate": part.rate}
            yield Law(KEY, current(part.name), _through(part, Name(part.rate)), 2, Place((part.name,)), fields=fields)


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    part = view.netlist.part(law.head.of)
    assert isinstance(part, RampedCapacitor)
    fields, rate = {"part": part.name, "rate": part.rate}, Name(part.rate)
    value = Name(part.rate.removeprefix(SLOPE))
    yield Misuse("arrow-reversed", Negative(law.relation), 0.3, fields)
    yield Misuse("value-for-slope", _through(part, value), 0.6, fields)
    yield Misuse("slope-over-capacitance", _times(part.share, rate / Name(part.symbol)), 0.8, fields)
    yield Misuse("no-current-assumed", ZERO, 0.9, fields)
    for branch in view.branches:
        if branch.impedance is not None and branch.name not in view.zero:
            more = {**fields, "other_part": branch.name}
            ohms = branch.impedance
            yield Misuse("integrator-constant", _times(part.share, rate / (ohms * ohms * Name(part.symbol))), 0.9, more)


def _through(part: RampedCapacitor, rate: Expression) -> Expression:
    return _times(part.share, Name(part.symbol) * rate)


def _times(share: object, size: Expression) -> Expression:
    if share == 1:
        return size
    return Negative(size) if share == -1 else Number(share) * size  # type: ignore[arg-type]
