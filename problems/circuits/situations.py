"""One state of a circuit with capacitors or inductors, as a circuit of its own that holds no more of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

from problems.circuits.conditions import SLOPE
from problems.circuits.netlist import Netlist
from problems.circuits.parts.base import Part
from problems.circuits.parts.capacitor import Capacitor
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.two_terminal import TwoTerminal
from problems.circuits.parts.voltage_source import VoltageSource
from problems.circuits.stand_ins import (
    HeldCapacitor,
    HeldInductor,
    OpenCapacitor,
    OpenInductor,
    RampedCapacitor,
    WireCapacitor,
    WireInductor,
)

TEST = "V_test"
"""Symbol of the test source that takes the place of a capacitor or inductor: 1 V."""
_STANDS_IN: dict[str, tuple[type[TwoTerminal], type[TwoTerminal]]] = {
    "f=0": (OpenCapacitor, WireInductor),
    "t=inf": (OpenCapacitor, WireInductor),
    "f=inf": (WireCapacitor, OpenInductor),
    "t=0": (HeldCapacitor, HeldInductor),
}


def situation(netlist: Netlist, state: str) -> Netlist:
    """The circuit in one state: ``f=0``, ``f=inf``, ``t=0``, ``t=inf``, or ``test``.

    In the last, the sources are off and a source of 1 V takes the place of the one capacitor or inductor.
    """
    if state != "test":
        return _with(netlist, lambda part: _in_state(part, state))
    tested = _with(netlist, lambda part: VoltageSource(part.name, part.first, part.second, TEST))
    sources = {p.symbol: Fraction(0) for part in tested.parts if part.independent for p in part.parameters}
    return tested.with_values({**sources, TEST: Fraction(1)})


def probed(netlist: Netlist) -> Netlist:
    """The circuit with a source of no current in place of its one capacitor or inductor."""
    found = _with(netlist, lambda part: CurrentSource(part.name, part.first, part.second, TEST))
    return found.with_values({TEST: Fraction(0)})


def ramped(netlist: Netlist, share: Fraction) -> Netlist:
    """The circuit under a source that rises evenly.

    share: of the rising voltage, what stands across the capacitor.
    """
    rate = next(name for name in netlist.units if name.startswith(SLOPE))
    return _with(netlist, lambda part: RampedCapacitor(part.name, part.first, part.second, part.value, rate, share))


def _in_state(part: TwoTerminal, state: str) -> Part:
    capacitor, inductor = _STANDS_IN[state]
    kind = capacitor if isinstance(part, Capacitor) else inductor
    if issubclass(kind, HeldCapacitor | HeldInductor):
        return kind(part.name, part.first, part.second)
    return kind(part.name, part.first, part.second, part.value)


def _with(netlist: Netlist, stand_in: Callable[[TwoTerminal], Part]) -> Netlist:
    """The circuit with a stand-in for each capacitor and inductor, and the values that it still has a use for."""
    parts = tuple(stand_in(part) if isinstance(part, TwoTerminal) and part.laplace else part for part in netlist.parts)
    own = {p.symbol for part in parts for p in part.parameters}
    values: Mapping[str, Any] = {name: value for name, value in netlist.values.items() if name in own}
    return Netlist(parts, values, package=netlist.package, drawing=netlist.drawing)
