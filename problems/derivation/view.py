"""A circuit as the laws see it: what meets at a node, which branches are in series, what is held, what is driven."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any, NamedTuple

from problems.circuits.netlist import Netlist, in_one_package, pin_numbers
from problems.circuits.parts.base import Branch
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.potentiometer import Potentiometer
from problems.formulas.expression import ONE, ZERO, Expression, Name, Negative, Quotient, Sum, nodes, total
from problems.quantities import GROUND, LAPLACE, Quantity, voltage


class End(NamedTuple):
    """A branch as seen from a node: ``sign`` is +1 where its current leaves the node; ``far`` is its other end."""

    branch: Branch
    sign: int
    far: str

    def turned(self, near: str) -> End:
        """The branch seen from its other end; ``near`` is where it was seen from."""
        return End(self.branch, -self.sign, near)


Meeting = Mapping[str, Sequence[End]]
"""Every node with the branches that meet there."""


class Chain(NamedTuple):
    """Impedances in series: ``nodes`` from end to end, and the ends between them, each seen from its left node."""

    nodes: tuple[str, ...]
    ends: tuple[End, ...]


class Composite(NamedTuple):
    """Several branches taken as one.

    how: ``"parallel"``, ``"series"`` or ``"thevenin"``. branch: what stands in their place; a replaced source's runs
    from its own node ``m*`` to ``m``. members: what it stands for, each seen from where the branch starts (in series,
    from where it comes in; of a replaced source, from the node ``m``). parts: the real parts behind them.
    """

    how: str
    branch: Branch
    members: tuple[End, ...]
    parts: tuple[str, ...]


class Fresh(NamedTuple):
    """What a view has that no view before it had: only for this are laws made anew.

    composite: what was last taken as one; None in the circuit as drawn. junctions: nodes with the branches that meet
    there and whose currents add up to 0.
    """

    composite: Composite | None
    branches: tuple[Branch, ...]
    junctions: Mapping[str, tuple[End, ...]]
    chains: tuple[Chain, ...]


class Reduced(NamedTuple):
    """What a reduced circuit has in place of the drawn one's branches.

    meeting: every node with what meets there; nothing at those merged away, which stay usable as voltages. closed:
    nodes whose currents no longer add up, since a replaced source takes some. fresh: see ``Fresh``.
    """

    meeting: Mapping[str, tuple[End, ...]]
    closed: frozenset[str]
    fresh: Fresh


@dataclass(frozen=True)
class View:
    """Structure of a circuit for the making of laws.

    feedback: op-amp to ``"negative"``, ``"positive"`` or ``"none"``. zero: branches whose impedance is 0 at the values
    at hand; laws that would divide by them are not made. reduced: what stands in place of the branches as drawn.
    """

    netlist: Netlist
    feedback: Mapping[str, str]
    zero: frozenset[str]
    reduced: Reduced | None = None

    @cached_property
    def branches(self) -> tuple[Branch, ...]:
        """The branches that can carry current: those between two different nodes, but no capacitor at dc."""
        if self.reduced is not None:
            ends = (end for ends in self.reduced.meeting.values() for end in ends)
            return tuple({end.branch.name: end.branch for end in ends}.values())
        idle = {part.name for part in self.netlist.parts if not part.carries}
        branches = self.netlist.branches
        return tuple(branch for branch in branches if branch.start != branch.end and branch.part not in idle)

    @cached_property
    def fresh(self) -> Fresh:
        """What to make laws for: everything, in the circuit as drawn."""
        if self.reduced is not None:
            return self.reduced.fresh
        junctions = {node: ends for node, ends in self.meeting.items() if node != GROUND}
        return Fresh(None, self.branches, junctions, self.chains)

    @cached_property
    def meeting(self) -> Mapping[str, tuple[End, ...]]:
        """Every node with the branches that meet there."""
        if self.reduced is not None:
            return self.reduced.meeting
        found: dict[str, list[End]] = {node: [] for node in self.netlist.nodes}
        for branch in self.branches:
            for node, far, sign in ((branch.start, branch.end, 1), (branch.end, branch.start, -1)):
                if node is not None:
                    found[node].append(End(branch, sign, far or GROUND))
        return {node: tuple(ends) for node, ends in found.items()}

    @cached_property
    def inputs(self) -> Mapping[str, tuple[str, ...]]:
        """Node to the input pins that sit there, by full name (``U1.2``) or number alone where there is one op-amp."""
        found: dict[str, tuple[str, ...]] = {}
        for amp in self.netlist.opamps:
            for pin, node in zip(self.pin_names(amp), (amp.minus, amp.plus), strict=False):
                found[node] = (*found.get(node, ()), pin)
        return found

    def pin_names(self, amp: OpAmp) -> tuple[str, str, str]:
        """Names of its -, + and output pin, as printed."""
        package, amps = self.netlist.package, self.netlist.opamps
        pins = pin_numbers(package, amps.index(amp))
        if in_one_package(package, len(amps)):
            return pins
        minus, plus, out = (f"{amp.name}.{pin}" for pin in pins)
        return minus, plus, out

    @cached_property
    def outputs(self) -> Mapping[str, OpAmp]:
        """Node to the op-amp that drives it."""
        return {amp.out: amp for amp in self.netlist.opamps}

    def impedances_at(self, node: str) -> tuple[End, ...]:
        """The impedances that meet at a node."""
        return tuple(end for end in self.meeting[node] if end.branch.impedance is not None)

    def is_inner(self, node: str) -> bool:
        """Whether two impedances and nothing else that carries current meet here."""
        ends = self.meeting[node]
        if node == GROUND or len(ends) != 2 or (self.reduced is not None and node in self.reduced.closed):
            return False
        return all(end.branch.impedance is not None for end in ends)

    @cached_property
    def chains(self) -> tuple[Chain, ...]:
        """All longest runs of two or more impedances in series."""
        found: list[Chain] = []
        seen: set[str] = set()
        for node in self.netlist.nodes:
            if not self.is_inner(node) or node in seen:
                continue
            chain = self.chain_through(node)
            seen.update(chain.nodes[1:-1])
            if chain.nodes[0] != chain.nodes[-1]:
                found.append(chain)
        return tuple(found)

    def chain_through(self, node: str) -> Chain:
        """The longest run in series through an inner node."""
        return chain_through(node, self.meeting, self.is_inner)

    def series(self, branches: tuple[Branch, ...]) -> Expression:
        """Sum of impedances; the two halves of one potentiometer are its whole track."""
        names = [branch.name for branch in branches]
        terms: list[Expression] = []
        for branch in branches:
            whole = branch.half and f"{branch.part}.top" in names and f"{branch.part}.bottom" in names
            if whole and branch.half == "top":
                terms.append(Name(self.potentiometer(branch.part).symbol))
            elif not whole and branch.impedance is not None:
                terms.append(branch.impedance)
        return total(tuple(terms))

    def potentiometer(self, name: str) -> Potentiometer:
        """The potentiometer of that name."""
        part = self.netlist.part(name)
        assert isinstance(part, Potentiometer)
        return part

    def sums_to_zero(self, branches: tuple[Branch, ...]) -> bool:
        """Whether all of them are 0 at the values at hand."""
        return all(branch.name in self.zero for branch in branches)

    def write(self, quantity: Quantity) -> str:
        """Printed name of a quantity."""
        return self.netlist.names.write(quantity)

    def node_label(self, node: str) -> str:
        """How a sentence names a node: ``ground``, ``pin 2``, or its name."""
        if node == GROUND:
            return "ground"
        if node in self.netlist.pins:
            own, short = node.rpartition(".")[::2]
            return f"pin {short if own and self.netlist.pins.get(short) == node else node}"
        return self.netlist.held.get(node) or self.netlist.terminals.get(node, f"node {node}")


def resistances(branches: Iterable[Branch]) -> tuple[Expression, ...]:
    """The impedances of branches that obey Ohm's law."""
    return tuple(branch.impedance for branch in branches if branch.impedance is not None)


def chain_through(node: str, meeting: Meeting, goes_on: Callable[[str], bool]) -> Chain:
    """The longest run in series through a node at which two branches meet, as far as it goes on."""
    left, right = meeting[node]
    before, after = (list(_run(node, first, meeting, goes_on)) for first in (left, right))
    nodes = (*(end.far for end in reversed(before)), node, *(end.far for end in after))
    nears = (node, *(end.far for end in before))
    turned = [end.turned(near) for end, near in zip(before, nears, strict=False)]
    return Chain(nodes, (*reversed(turned), *after))


def _run(node: str, first: End, meeting: Meeting, goes_on: Callable[[str], bool]) -> Iterator[End]:
    """The ends met when walking away from ``node`` through ``first`` until the run in series stops."""
    end, visited = first, {node}
    yield end
    while goes_on(end.far) and end.far not in visited:
        visited.add(end.far)
        end = next(other for other in meeting[end.far] if other.branch != end.branch)
        yield end


def potential(node: str) -> Expression:
    """Voltage of a node in a formula; ground is 0."""
    return ZERO if node == GROUND else Name(voltage(node))


def minus(left: Expression, right: Expression) -> Expression:
    """``left - right`` without the zeros of ground."""
    if right == ZERO:
        return left
    return Negative(right) if left == ZERO else left - right


def plus(left: Expression, right: Expression) -> Expression:
    """``left + right`` without the zeros of ground."""
    if right == ZERO:
        return left
    return right if left == ZERO else left + right


def reactance(branch: Branch) -> str:
    """``capacitor`` or ``inductor`` by the impedance of a branch; empty of a resistance."""
    impedance = branch.impedance
    if impedance is None or Name(LAPLACE) not in nodes(impedance):
        return ""
    return "capacitor" if isinstance(impedance, Quotient) else "inductor"


def through(across: Expression, impedance: Expression) -> Expression:
    """``across`` over an impedance: times its admittance where it is written as 1 over one, ``s·C·V``."""
    if isinstance(impedance, Quotient) and impedance.top == ONE:
        return impedance.bottom * across
    return across / impedance


def times(current: Expression, impedance: Expression) -> Expression:
    """``current`` times an impedance: over its admittance where it is written as 1 over one, ``I/(s·C)``."""
    if isinstance(impedance, Quotient) and impedance.top == ONE:
        return current / impedance.bottom
    return current * impedance


def signed_sum(terms: list[tuple[int, Expression]]) -> Expression:
    """A sum of terms with signs, the positive ones first so that it reads as written by hand."""
    ordered = sorted(terms, key=lambda term: -term[0])
    if not ordered:
        return ZERO
    built = tuple(term if sign > 0 else Negative(term) for sign, term in ordered)
    return built[0] if len(built) == 1 else Sum(built)


def zero_branches(netlist: Netlist) -> frozenset[str]:
    """Branches whose impedance is 0 at the values that are known."""
    return frozenset(
        branch.name
        for branch in netlist.branches
        if branch.impedance is not None and _is_zero(branch.impedance, netlist.values)
    )


def _is_zero(impedance: Any, values: Mapping[str, Fraction]) -> bool:
    try:
        return bool(impedance.at(values) == 0)
    except (KeyError, ZeroDivisionError):
        return False
