"""The names of one circuit, as its learners may write them."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from functools import lru_cache
from typing import Any

from problems.circuits.netlist import Netlist
from problems.derivation.lesson import Lesson
from problems.formulas.tokens import Unreadable
from problems.formulas.units import DIMENSIONS, UNITS, Dimension
from problems.formulas.vocabulary import Vocabulary
from problems.quantities import (
    GROUND,
    LAPLACE,
    Names,
    Quantity,
    UnknownQuantity,
    canonical,
    current,
    is_made,
    loosened,
    voltage,
)


@lru_cache(maxsize=128)
def vocabulary(netlist: Netlist) -> Vocabulary:
    """Values of parts, settings, voltages and currents; ``s`` where the circuit has a capacitor or an inductor."""
    exact: dict[str, Hashable] = {**{symbol: symbol for symbol in netlist.units}, **netlist.names.readings}
    for part in netlist.parts:
        if len(part.branches) > 1:
            exact.setdefault(f"I_{part.name}", current(part.name))
    if netlist.regime in ("s", "f"):
        exact.setdefault(LAPLACE, LAPLACE)
    if netlist.regime:
        exact.setdefault("pi", "pi")
    made = tuple(law.head for law in Lesson.of(netlist).laws.defining)
    exact |= {canonical(quantity): quantity for quantity in made}
    shown = dict.fromkeys(label(key, netlist) for key in exact.values() if key != voltage(GROUND))
    for quantity in made:
        # a resistance taken together is also told by its name without the star
        exact.setdefault(canonical(quantity).removesuffix("*"), quantity)
    loose = _loose(exact, netlist)
    spare = {name: key for name, key in _by_part(netlist).items() if not _means(name, exact, netlist)}
    return Vocabulary(
        exact | spare,
        {**{loosened(name): key for name, key in spare.items()}, **loose},
        _dims(netlist),
        loosened,
        lambda text: _of_this_circuit(_composed(text, netlist.names), netlist),
        tuple(shown),
        netlist.contributions,
    )


def _by_part(netlist: Netlist) -> dict[str, Hashable]:
    """The one value of each part by the part's own name, as R5 for what is drawn as ``[R5 R]``."""
    return {part.name: part.parameters[0].symbol for part in netlist.parts if len(part.parameters) == 1}


def _means(name: str, exact: dict[str, Hashable], netlist: Netlist) -> bool:
    """Whether a name stands for something already, however its underscores and case are written; units count."""
    return (
        loosened(name) in {loosened(spelling) for spelling in exact}
        or name in netlist.pins
        or name in netlist.nodes
        or name in UNITS
    )


def suggesting(why: Unreadable, netlist: Netlist, first: Iterable[Quantity]) -> Unreadable:
    """The same, where it lists names, with those of some quantities first: what a problem leads over."""
    if "known" not in why.fields:
        return why
    names = [netlist.names.head(quantity) for quantity in first]
    known = ", ".join(vocabulary(netlist).near(why.fields["written"], names))
    return Unreadable(why.key, why.place, {**why.fields, "known": known})


def label(key: Hashable, netlist: Netlist) -> str:
    """A name as printed."""
    return netlist.names.write(key) if isinstance(key, Quantity) else str(key)


class _Dims(dict[Hashable, Dimension]):
    """Dimension of each name; of a quantity by its unit, so that pairs and contributions need not be listed."""

    def get(self, key: Hashable, default: Any = None) -> Any:
        return DIMENSIONS[key.unit] if isinstance(key, Quantity) else super().get(key, default)


def labels(keys: Iterable[Hashable], netlist: Netlist) -> str:
    """Several names as a reply says them."""
    return " and ".join(label(key, netlist) for key in keys)


def _dims(netlist: Netlist) -> _Dims:
    found = _Dims({symbol: DIMENSIONS[unit] for symbol, unit in netlist.units.items()})
    found["pi"] = DIMENSIONS[""]
    found.setdefault(LAPLACE, DIMENSIONS["Hz"])
    return found


def _loose(exact: dict[str, Hashable], netlist: Netlist) -> dict[str, Hashable]:
    """Spellings without underscores and case that mean one thing; a source and the node it holds are one."""
    held = {voltage(node): symbol for node, symbol in netlist.held.items()}
    found: dict[str, set[Hashable]] = {}
    for spelling, key in exact.items():
        same = held.get(key, key) if isinstance(key, Quantity) else key
        found.setdefault(loosened(spelling), set()).add(same)
    return {spelling: next(iter(keys)) for spelling, keys in found.items() if len(keys) == 1}


def _of_this_circuit(found: Quantity | None, netlist: Netlist) -> Quantity | None:
    """What was read; None for what is made of other circuits but not of this."""
    return found if found is None or not is_made(found) or Lesson.of(netlist).makes(found) else None


def _composed(text: str, names: Names) -> Quantity | None:
    """``V_a,b`` or ``V_out[Vin]``; or one in a state, its size, its phase."""
    if set(text) & set("(| "):
        found = names.in_state(text)
        if found is not None:
            return found
    try:
        found = names.read("V_" + text[2:] if text[1:2] == "_" and "," in text else text)
    except UnknownQuantity:
        return None
    return found if found.kind == "B" or found.source else None
