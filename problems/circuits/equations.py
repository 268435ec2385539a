"""A circuit as linear equations: KCL at every node but ground, and what each part says of itself.

The unknowns are the node voltages and *every* branch current (modified nodal analysis in its widest form), so nothing
is ever divided by a part's value: 0 Ω, an open capacitor and a setting of 0 or 1 are ordinary coefficients.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from problems.circuits.netlist import Netlist
from problems.circuits.parts.base import MINUS_ONE, NOUGHT, PLUS_ONE
from problems.quantities import GROUND, LAPLACE, Quantity, current, voltage

_GROUND = -1
"""Column of ground while the equations are written; it is known, so it is dropped from them."""


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

    unknowns: quantity to its column. rows: coefficients by column; some may be 0. owners: where each row comes from.
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
    columns: dict[Quantity, int] = {voltage(node): number for number, node in enumerate(netlist.nodes, _GROUND)}
    rows, owners = _kirchhoff(netlist, columns)
    right: list[Any] = [NOUGHT] * len(rows)
    for part in netlist.parts:
        owner = Owner("part", part.name)
        for coefficients, known in part.stamp(value):
            # A part may bring an unknown of its own.
            row = {columns.setdefault(unknown, len(columns) - 1): entry for unknown, entry in coefficients.items()}
            row.pop(_GROUND, None)
            rows.append(row)
            right.append(known)
            owners.append(owner)
    del columns[voltage(GROUND)]
    return System(columns, rows, right, owners)


def _kirchhoff(netlist: Netlist, columns: dict[Quantity, int]) -> tuple[list[dict[int, Any]], list[Owner]]:
    """KCL at each node but ground: what leaves minus what arrives is 0. Adds the currents to the columns."""
    at: dict[str | None, dict[int, Any]] = {node: {} for node in (None, *netlist.nodes)}
    for name, start, end, _ in netlist.branches:
        columns[current(name)] = column = len(columns) - 1
        if start != end:
            at[start][column] = PLUS_ONE
            at[end][column] = MINUS_ONE
    del at[None], at[GROUND]
    return list(at.values()), [Owner("node", node) for node in netlist.nodes[1:]]


def unit_source(netlist: Netlist, name: str, value: Mapping[str, Any], unit: Any) -> list[Any]:
    """Right sides of a source's own rows when its value is ``unit``."""
    part = netlist.part(name)
    return [equation.right for equation in part.stamp({**value, part.parameters[0].symbol: unit})]


def open_values(netlist: Netlist) -> tuple[str, ...]:
    """Symbols of the circuit that have no value; Laplace's s needs none."""
    return tuple(symbol for symbol in unvalued(netlist) if symbol != LAPLACE)


def unvalued(netlist: Netlist) -> tuple[str, ...]:
    """Symbols of the circuit that have no value, Laplace's last."""
    missing = tuple(symbol for symbol in netlist.units if symbol not in netlist.values)
    laplace = netlist.regime == "s" and LAPLACE not in netlist.values
    return (*missing, LAPLACE) if laplace else missing
