"""What can be wrong with a circuit as equations, and finding the nodes and parts at fault."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from problems.circuits.elimination import Reduced, Row, eliminate
from problems.circuits.equations import System
from problems.circuits.netlist import Netlist
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.opamp import OpAmp
from problems.quantities import Quantity, canonical
from problems.words import listed, say


class CircuitFault(ValueError):
    """A circuit that does not have one solution.

    nodes, parts: names at fault. key: of its sentence in the catalogue.
    """

    def __init__(self, key: str, nodes: Iterable[str], parts: Iterable[str], **fields: str):
        self.key, self.nodes, self.parts = key, tuple(nodes), tuple(parts)
        self.fields = {"nodes": listed(self.nodes), "parts": listed(self.parts)} | fields
        super().__init__(say(f"solution.{key}", **self.fields))


class NoSolution(CircuitFault):
    """The equations of the circuit contradict each other at these nodes and parts."""


class Unbounded(NoSolution):
    """A quantity has no dc limit: it grows without bound as s goes to 0. quantity: its name."""

    def __init__(self, quantity: Quantity):
        self.quantity = canonical(quantity)
        nodes = tuple(node for node in (quantity.of, quantity.to) if node) if quantity.kind in "VB" else ()
        parts = (quantity.of,) if quantity.kind == "I" else ()
        super().__init__("unbounded", nodes, parts, quantity=self.quantity)


class ManySolutions(CircuitFault):
    """What was asked for is not determined. quantity: its name; nodes, parts: what can move along with it."""

    def __init__(self, key: str, quantity: str, nodes: Iterable[str], parts: Iterable[str]):
        self.quantity = quantity
        super().__init__(key, nodes, parts, quantity=quantity)


class UnknownNode(ValueError):
    """No node of that name. name: as asked. known: the nodes there are."""

    def __init__(self, name: str, known: Iterable[str]):
        self.name, self.known = name, tuple(known)
        super().__init__(say("solution.unknown-node", name=name, known=listed(self.known)))


class UnknownPart(ValueError):
    """No part or branch of that name. name: as asked. known: the names there are."""

    def __init__(self, name: str, known: Iterable[str], key: str = "unknown-part"):
        self.name, self.known = name, tuple(known)
        super().__init__(say(f"solution.{key}", name=name, known=listed(self.known) or "none"))


class UnknownSymbol(ValueError):
    """No value of that name. name: as asked. known: the symbols there are."""

    def __init__(self, name: str, known: Iterable[str]):
        self.name, self.known = name, tuple(known)
        super().__init__(say("solution.unknown-symbol", name=name, known=listed(self.known)))


class NotEvenly(NoSolution):
    """A source rises evenly, but no capacitor follows it alone. parts: the capacitors and inductors."""

    def __init__(self, parts: tuple[str, ...]):
        super().__init__("not-evenly", (), parts)


class WiperCarries(ValueError):
    """A potentiometer has no one current, since its wiper carries some. part: its name."""

    def __init__(self, part: str):
        self.part = part
        super().__init__(say("solution.wiper-carries", part=part))


def contradiction(netlist: Netlist, system: System) -> NoSolution | None:
    """The error that names who contradicts whom, or None where the equations agree. ``system`` in fractions."""
    width = len(system.unknowns)
    rows: list[Row] = [dict(row) | {width + 1 + number: Fraction(1)} for number, row in enumerate(system.rows)]
    for row, known in zip(rows, system.right, strict=True):
        if known:
            row[width] = known
    spent: list[Row] = [row for row in eliminate(rows, width).spent if width in row]
    if not spent:
        return None
    # Each spent row tells which of the equations, added up, make 0 = something: the fewest tell it best.
    fewest: Row = min(spent, key=len)
    involved = [column - width - 1 for column in sorted(fewest) if column > width]
    owners = dict.fromkeys(system.owners[number] for number in involved)
    nodes = tuple(owner.name for owner in owners if owner.kind == "node")
    parts = tuple(owner.name for owner in owners if owner.kind == "part")
    return NoSolution(_conflict(netlist, nodes, parts), nodes, parts)


def _conflict(netlist: Netlist, nodes: tuple[str, ...], parts: tuple[str, ...]) -> str:
    """Which sentence tells this contradiction best."""
    kinds = {type(netlist.part(name)) for name in parts}
    if OpAmp in kinds:
        return "op-amp-conflict"
    if nodes and kinds <= {CurrentSource}:
        return "current-nowhere"
    if nodes:
        return "conflict"
    return "shorted-source" if len(parts) == 1 else "voltage-conflict"


def undetermined(netlist: Netlist, system: System, reduced: Reduced, asked: Quantity, moves: set[int]) -> ManySolutions:
    """The error for a quantity that depends on the free unknowns ``moves``."""
    column = min(moves, key=lambda free: (len(_moving(reduced, free)), free))
    names = {number: quantity for quantity, number in system.unknowns.items()}
    along = [names[number] for number in _moving(reduced, column)]
    nodes = tuple(quantity.of for quantity in along if quantity.kind == "V")
    branches = [quantity.of for quantity in along if quantity.kind == "I"]
    parts = tuple(part.name for part in netlist.parts if any(branch.name in branches for branch in part.branches))
    kinds = {type(netlist.part(name)) for name in parts}
    key = "no-feedback" if OpAmp in kinds else "floating" if nodes and not parts else "shared-current"
    return ManySolutions(key, canonical(asked), nodes, parts)


def _moving(reduced: Reduced, free: int) -> list[int]:
    """Columns of the unknowns that change when a free one does."""
    return sorted([free, *(column for column, row in reduced.solved.items() if free in row)])
