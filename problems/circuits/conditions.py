"""What a circuit with capacitors or inductors may be given beside its parts' values, and what can then be asked of it.

``f`` looks at it at a frequency (``f = 0`` and ``s = 0`` are dc), ``t`` at an instant after a step, from what each part
starts with (``V_C1(0)``, ``I_L1(0)``; 0 where it is not said); ``slope_Vin`` says that the source Vin rises evenly.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import Any

from problems.circuits.parts.base import Part
from problems.circuits.parts.voltage_source import VoltageSource
from problems.quantities import FREQUENCY, LAPLACE, TIME, Quantity, start_of

SLOPE = "slope_"


class ClashingConditions(ValueError):
    """Two ways to look at a circuit at once. first, second: the names of what was given."""

    def __init__(self, first: str, second: str):
        self.first, self.second = first, second
        super().__init__(f"{first} and {second} look at the circuit in two ways; give one of them")


def reactive(parts: Iterable[Part]) -> tuple[Part, ...]:
    """The capacitors and inductors among the parts."""
    return tuple(part for part in parts if part.laplace)


def starts(parts: Iterable[Part]) -> dict[str, str]:
    """Symbols of what each capacitor and inductor starts from, and their units."""
    found = {}
    for part in reactive(parts):
        unit = part.parameters[0].unit
        found[start_of(part.name, unit)] = "V" if unit == "F" else "A"
    return found


def conditions(parts: Sequence[Part]) -> Mapping[str, str]:
    """All that may be given to a circuit of these parts, with units; nothing without capacitors and inductors."""
    if not reactive(parts):
        return {}
    found = {LAPLACE: "", FREQUENCY: "Hz", TIME: "s", **starts(parts)}
    found |= {SLOPE + p.parameters[0].symbol: "V/s" for p in parts if isinstance(p, VoltageSource)}
    own = {p.symbol for part in parts for p in part.parameters}
    return {name: unit for name, unit in found.items() if name not in own}


def regime_of(known: Collection[str], values: Mapping[str, Any], allowed: Mapping[str, str]) -> str:
    """How the circuit is looked at: ``"s"``, ``"dc"``, ``"f"``, ``"t"``, ``"ramp"``; empty where nothing is reactive.

    known: the conditions given. values: what they are. Raises ClashingConditions.
    """
    if not allowed:
        return ""
    ways: dict[str, str] = {}
    for name in known:
        kind = "t" if name == TIME or name.endswith("(0)") else "ramp" if name.startswith(SLOPE) else "f"
        ways.setdefault(kind, name)
    if len(ways) > 1 and set(ways) != {"t", "ramp"}:
        raise ClashingConditions(*list(ways.values())[:2])
    if "f" in ways:
        return "dc" if 0 in (values.get(FREQUENCY), values.get(LAPLACE)) else "f" if FREQUENCY in known else "s"
    return "ramp" if "ramp" in ways else "t" if ways else "s"


_STATES: Mapping[str, tuple[str, ...]] = {
    "s": ("f=0", "f=inf"),
    "f": ("f=0", "f=inf"),
    "t": ("t=0", "t=inf", "test"),
}


def states_of(parts: Sequence[Part], regime: str) -> tuple[str, ...]:
    """The states in which a quantity may be meant."""
    if regime == "t" and len(reactive(parts)) != 1:
        return ()
    more = ("f=f_c", "test") if regime in ("s", "f") and len(reactive(parts)) == 1 else ()
    return _STATES.get(regime, ()) + more


def further_of(parts: Sequence[Part], nodes: Collection[str], regime: str) -> Mapping[str, Quantity]:
    """Quantities that are no voltage or current, by name."""
    if not regime:
        return {}
    one, two = len(reactive(parts)) == 1, len(reactive(parts)) == 2
    found: dict[str, Quantity] = {}
    if regime in ("s", "f") and "out" in nodes and source_of(parts) is not None:
        found["gain"] = Quantity("G", "out")
    if regime in ("s", "f") and one:
        found["f_c"] = Quantity("F", "c")
    if regime in ("s", "f", "t") and one:
        found |= {"tau": Quantity("T", "c"), "R_seen": Quantity("R", "seen")}
    if regime == "t" and one and "out" in nodes:
        found["slope"] = Quantity("S", "out")
    if regime in ("s", "f") and two and "out" in nodes:
        found |= {"f_0": Quantity("F", "0"), "Q": Quantity("Q", "0")}
    return found


def source_of(parts: Iterable[Part]) -> VoltageSource | None:
    """The one source that the gain is measured against: the only one there is, if it is of voltage."""
    found = [part for part in parts if part.independent]
    only = found[0] if len(found) == 1 else None
    return only if isinstance(only, VoltageSource) else None
