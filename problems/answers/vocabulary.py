"""The names of one circuit, as its learners may write them."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from functools import lru_cache

from problems.circuits.netlist import Netlist
from problems.formulas.tokens import Unreadable
from problems.formulas.units import DIMENSIONS, Dimension
from problems.formulas.vocabulary import Vocabulary
from problems.quantities import GROUND, LAPLACE, Names, Quantity, UnknownQuantity, current, loosened, voltage


@lru_cache(maxsize=128)
def vocabulary(netlist: Netlist) -> Vocabulary:
    """Values of parts, settings, voltages and currents; ``s`` where the circuit has a capacitor or an inductor."""
    exact: dict[str, Hashable] = {**{symbol: symbol for symbol in netlist.units}, **netlist.names.readings}
    for part in netlist.parts:
        if len(part.branches) > 1:
            exact.setdefault(f"I_{part.name}", current(part.name))
    if any(unit in {"F", "H"} for unit in netlist.units.values()):
        exact.setdefault(LAPLACE, LAPLACE)
    shown = dict.fromkeys(label(key, netlist) for key in exact.values() if key != voltage(GROUND))
    return Vocabulary(
        exact,
        _loose(exact, netlist),
        _dims(exact, netlist),
        loosened,
        lambda text: _between(text, netlist.names),
        tuple(shown),
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


def _dims(exact: dict[str, Hashable], netlist: Netlist) -> dict[Hashable, Dimension]:
    found: dict[Hashable, Dimension] = {symbol: DIMENSIONS[unit] for symbol, unit in netlist.units.items()}
    found.setdefault(LAPLACE, DIMENSIONS["Hz"])
    for key in exact.values():
        if isinstance(key, Quantity):
            found[key] = DIMENSIONS[key.unit]
            if key.kind == "V":
                pairs = (Quantity("B", key.of, node) for node in netlist.nodes)
                found.update(dict.fromkeys(pairs, DIMENSIONS["V"]))
    return found


def _loose(exact: dict[str, Hashable], netlist: Netlist) -> dict[str, Hashable]:
    """Spellings without underscores and case that mean one thing; a source and the node it holds are one."""
    held = {voltage(node): symbol for node, symbol in netlist.held.items()}
    found: dict[str, set[Hashable]] = {}
    for spelling, key in exact.items():
        same = held.get(key, key) if isinstance(key, Quantity) else key
        found.setdefault(loosened(spelling), set()).add(same)
    return {spelling: next(iter(keys)) for spelling, keys in found.items() if len(keys) == 1}


def _between(text: str, names: Names) -> Quantity | None:
    try:
        found = names.read("V_" + text[2:])
    except UnknownQuantity:
        return None
    return found if found.kind == "B" else None
