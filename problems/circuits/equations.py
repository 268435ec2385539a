"""A circuit as linear equations: KCL at every node but ground, and what each part says of itself.

The unknowns are the node voltages and *every* branch current (modified nodal analysis in its widest form), so nothing
is ever divided by a part's value: 0 Ω, an open capacitor and a setting of 0 or 1 are ordinary coefficients.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, NamedTuple

from problems.circuits.netlist import Netlist
from problems.quantities import GROUND, Quantity, current, voltage

LAPLACE = "s"
"""The symbol of Laplace's variable; sources are amplitudes where it occurs."""

_ONE, _MINUS_ONE, _ZERO = Fraction(1), Fraction(-1), Fraction(0)


class Unvalued(ValueError):
    """Exact numbers were asked of a circuit some of whose values are only names.

    symbols: those without a value.
    """

    def __init__(self, symbols: tuple[str, ...]):
        self.symbols = symbols
        super().__init__(f"no value is known for {', '.join(symbols)}; give one, or ask for formulas instead")


class Owner(NamedTuple):
    """Where an equation comes from: KCL at a node, or a part."""

    kind: str
    """``"node"`` or ``"part"``."""
    name: str


@dataclass(frozen=True, slots=True)
class System:
    """Equations ``rows · unknowns = right``, in any number type.

    unknowns: quantity to its column. rows: coefficients by column, zeros left out. owners: where each row comes from.
    """

    unknowns: Mapping[Quantity, int]
    rows: list[dict[int, Any]]
    right: list[Any]
    owners: list[Owner]

    def rows_of(self, part: str) -> list[int]:
        """Numbers of the rows that a part contributed."""
        return [row for row, owner in enumerate(self.owners) if owner.name == part and owner.kind == "part"]


def equations(netlist: Netlist, value: Mapping[str, Any]) -> System:
    """The circuit's equations; ``value`` maps symbols to any number type. Raises KeyError for a symbol it lacks."""
    unknowns: dict[Quantity, int] = {voltage(node): index for index, node in enumerate(netlist.nodes[1:])}
    rows, owners = _kirchhoff(netlist, unknowns)
    right: list[Any] = [_ZERO] * len(rows)
    ground = voltage(GROUND)
    for part in netlist.parts:
        owner = Owner("part", part.name)
        for coefficients, known in part.stamp(value):
            rows.append({_column(unknowns, q): c for q, c in coefficients.items() if c and q != ground})
            right.append(known)
            owners.append(owner)
    return System(unknowns, rows, right, owners)


def _kirchhoff(netlist: Netlist, unknowns: dict[Quantity, int]) -> tuple[list[dict[int, Any]], list[Owner]]:
    """KCL at each node but ground: what leaves minus what arrives is 0. Adds the currents to the unknowns."""
    at: dict[str | None, dict[int, Any]] = {node: {} for node in netlist.nodes}
    for branch in netlist.branches:
        column = unknowns.setdefault(current(branch.name), len(unknowns))
        if branch.start != branch.end:
            if branch.start is not None:
                at[branch.start][column] = _ONE
            if branch.end is not None:
                at[branch.end][column] = _MINUS_ONE
    del at[GROUND]
    return list(at.values()), [Owner("node", node) for node in netlist.nodes[1:]]


def _column(unknowns: dict[Quantity, int], quantity: Quantity) -> int:
    """Column of an unknown; a part may bring one of its own."""
    return unknowns.setdefault(quantity, len(unknowns))


def unit_source(netlist: Netlist, name: str, value: Mapping[str, Any], unit: Any) -> list[Any]:
    """Right sides of a source's own rows when its value is ``unit``."""
    part = netlist.part(name)
    return [equation.right for equation in part.stamp({**value, part.parameters[0].symbol: unit})]


def unvalued(netlist: Netlist) -> tuple[str, ...]:
    """Symbols of the circuit that have no value, Laplace's last."""
    missing = tuple(symbol for symbol in netlist.units if symbol not in netlist.values)
    laplace = any(part.laplace for part in netlist.parts) and LAPLACE not in netlist.values
    return (*missing, LAPLACE) if laplace else missing
