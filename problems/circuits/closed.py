"""A quantity as one formula in part names and s: what a whole derivation comes to. Made once for a circuit's parts."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from typing import Any

from problems.circuits.faults import ManySolutions, NoSolution
from problems.circuits.netlist import Netlist
from problems.circuits.parts.base import Part
from problems.circuits.solver import solved
from problems.formulas.expression import ONE, Expression, Name, Number, Power, Product, total
from problems.formulas.ratio import Ratio
from problems.quantities import LAPLACE, Quantity

MOST_TERMS = 80
"""Terms above and below; a longer formula is nobody's."""


def without(netlist: Netlist, name: str) -> Netlist:
    """The circuit with one part taken out."""
    parts = tuple(part for part in netlist.parts if part.name != name)
    return Netlist(parts, {}, package=netlist.package)


def closed(netlist: Netlist, quantity: Quantity) -> Expression | None:
    """The formula; None where the circuit does not settle it, or it is long."""
    return _closed(netlist.parts, quantity)


def denominator(netlist: Netlist, quantity: Quantity) -> dict[int, Expression] | None:
    """The denominator by power of s, each coefficient a formula in part names; None as above."""
    return _denominator(netlist.parts, quantity)


@lru_cache(maxsize=128)
def _ratio(parts: tuple[Part, ...], quantity: Quantity) -> Ratio | None:
    netlist = Netlist(parts)
    names = {name: name for name in (*netlist.units, LAPLACE)}
    try:
        found = solved(netlist, names)
        value = found.value(found.terms(quantity))
    except (NoSolution, ManySolutions, KeyError):
        return None
    short = isinstance(value, Ratio) and len(value.top) + len(value.bottom) <= MOST_TERMS
    return value if isinstance(value, Ratio) and short else None


@lru_cache(maxsize=256)
def _closed(parts: tuple[Part, ...], quantity: Quantity) -> Expression | None:
    value = _ratio(parts, quantity)
    if value is None:
        return None
    return _sum(value, value.top) / _sum(value, value.bottom)


@lru_cache(maxsize=64)
def _denominator(parts: tuple[Part, ...], quantity: Quantity) -> dict[int, Expression] | None:
    value = _ratio(parts, quantity)
    if value is None or LAPLACE not in value.field.names:
        return None
    place = value.field.names.index(LAPLACE)
    found: dict[int, list[Expression]] = {}
    for powers, coefficient in value.bottom.to_dict().items():
        others = [0 if index == place else power for index, power in enumerate(powers)]
        found.setdefault(int(powers[place]), []).append(_term(value, others, coefficient))
    return {power: total(tuple(terms)) for power, terms in found.items()}


def _sum(value: Ratio, polynomial: Any) -> Expression:
    return total(tuple(_term(value, powers, entry) for powers, entry in polynomial.to_dict().items()))


def _term(value: Ratio, powers: Any, coefficient: Any) -> Expression:
    factors: list[Expression] = [] if int(coefficient) == 1 else [Number(Fraction(int(coefficient)))]
    for name, power in zip(value.field.names, powers, strict=False):
        if power == 1:
            factors.append(Name(name))
        elif power:
            factors.append(Power(Name(name), Number(Fraction(int(power)))))
    return ONE if not factors else factors[0] if len(factors) == 1 else Product(tuple(factors))
