"""A source gives what it says: a voltage between its ends, or a current through it."""

from __future__ import annotations

from collections.abc import Iterator

from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.voltage_source import VoltageSource
from problems.derivation.law import LAWS, NODES, Law, Place
from problems.derivation.view import View, minus, plus, potential
from problems.formulas.expression import Name, Negative
from problems.quantities import GROUND, current, drop, voltage

KEY = "source"
METHODS = (LAWS, NODES)


def instances(view: View) -> Iterator[Law]:
    for part in view.netlist.parts:
        place = Place(parts=(part.name,))
        if isinstance(part, CurrentSource):
            fields = {"part": part.name, "variant": part.kind}
            yield Law(KEY, current(part.name), Name(part.symbol), 0.2, place, fields=fields, given=True)
        elif isinstance(part, VoltageSource) and part.first != part.second:
            yield from _of_voltage_source(part, place)


def _of_voltage_source(part: VoltageSource, place: Place) -> Iterator[Law]:
    value, fields = Name(part.symbol), {"part": part.name, "variant": part.kind}
    yield Law(KEY, drop(part.name), value, 0.2, place, fields=fields, given=True)
    if part.second == GROUND:
        yield Law(KEY, voltage(part.first), value, 0.2, place, fields=fields, given=True)
    elif part.first == GROUND:
        yield Law(KEY, voltage(part.second), Negative(value), 0.2, place, fields=fields)
    else:
        yield Law(KEY, voltage(part.first), plus(potential(part.second), value), 0.9, place, fields=fields)
        yield Law(KEY, voltage(part.second), minus(potential(part.first), value), 0.9, place, fields=fields)
