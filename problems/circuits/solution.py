"""The exact solution of a circuit, in numbers or in formulas."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from problems.circuits.conditions import SLOPE, reactive
from problems.circuits.equations import Unvalued, unvalued
from problems.circuits.faults import (
    ManySolutions,
    NoSolution,
    NotEvenly,
    UnknownNode,
    UnknownPart,
    UnknownSymbol,
    WiperCarries,
)
from problems.circuits.feedback import feedback
from problems.circuits.first_order import completed
from problems.circuits.netlist import Netlist
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.situations import probed, ramped
from problems.circuits.solver import Exact, NumbersSolved, Solved, Terms, solved
from problems.formulas.phasor import PI, Phasor
from problems.formulas.ratio import Ratio, to_sympy
from problems.formulas.values import BadValue, read_value
from problems.quantities import GROUND, LAPLACE, Quantity, current, drop, voltage

__all__ = ["ManySolutions", "NoSolution", "Solution", "exact_values", "feedback", "solve"]


class ExactValues(dict[Any, Any]):
    """Quantities and symbols to their values; asking for one that is not determined raises ManySolutions.

    The voltage between two nodes is not listed, since there are too many pairs, but has its value when asked for.
    """

    def __init__(self, solution: Solved | None, netlist: Netlist):
        super().__init__(netlist.values)
        if netlist.regime:
            self["pi"] = PI
        self._solution = solution
        self._open: set[Quantity] = set()

    def __missing__(self, key: Any) -> Any:
        if key in self._open and self._solution is not None:
            self._solution.value(self._solution.terms(key))
        if isinstance(key, Quantity) and key.kind == "B" and not key.source:
            return self[voltage(key.of)] - self[voltage(key.to)]
        raise KeyError(key)

    def enter(self, quantity: Quantity) -> None:
        """Puts a quantity's value in, or notes that it has none."""
        assert self._solution is not None, "only what is solved at once is entered"
        try:
            value = self._solution.value(self._solution.terms(quantity))
        except (ManySolutions, NoSolution):
            self._open.add(quantity)
        else:
            assert not isinstance(value, Ratio), "a circuit of numbers gives numbers"
            self[quantity] = value


def exact_values(netlist: Netlist) -> ExactValues:
    """Every node voltage (ground 0), drop (op-amps have none) and branch current, and every symbol's value.

    A potentiometer has ``I_<name>`` where its halves carry the same current. What is not determined is left out, and
    asking for it with ``[…]`` raises ManySolutions. Raises Unvalued where a value is only a name, and NoSolution.
    """
    if missing := unvalued(netlist):
        raise Unvalued(missing)
    if netlist.regime == "ramp":
        return exact_values(ramp_of(netlist))
    values = ExactValues(None, netlist) if netlist.regime == "t" else _values_now(netlist)
    if netlist.regime in ("t", "s", "f"):
        completed(netlist, values, _without_states)
    return values


def _values_now(netlist: Netlist) -> ExactValues:
    """The values of the circuit as it stands, its other states left alone."""
    solution = solved(netlist)
    values = ExactValues(solution, netlist)
    values[voltage(GROUND)] = Fraction(0)
    if isinstance(solution, NumbersSolved):
        values.update(solution.unknowns())
    else:
        for unknown in solution.system.unknowns:
            values.enter(unknown)
    for part in netlist.parts:
        if not isinstance(part, OpAmp):
            _enter_drop(values, drop(part.name), part.nodes[0], part.nodes[1])
        if len(part.branches) > 1:
            carried = {values.get(current(branch.name)) for branch in part.branches}
            if len(carried) == 1 and None not in carried:
                values[current(part.name)] = values[current(part.branches[0].name)]
    return values


def _without_states(netlist: Netlist) -> Mapping[Any, Any]:
    """The quantities of one state. At the corner frequency the states are not worked out again."""
    return _values_now(netlist) if netlist.regime == "f" else exact_values(netlist)


def ramp_of(netlist: Netlist) -> Netlist:
    """The circuit under a source that rises evenly, with a source of current in place of its capacitor.

    Raises NotEvenly where the capacitor is not one alone across the source, since its current then changes.
    """
    parts = reactive(netlist.parts)
    rate = next(name for name in netlist.units if name.startswith(SLOPE))
    source = next(p.name for p in netlist.parts if p.independent and SLOPE + p.parameters[0].symbol == rate)
    try:
        found = solve(probed(netlist))
        part = parts[0].name
        across = found._solved.terms(drop(part))
        loaded, share = found._solved.gain(across, part), found._solved.gain(across, source)
    except (NoSolution, ManySolutions):
        loaded = Fraction(1)
    if len(parts) != 1 or parts[0].parameters[0].unit != "F" or loaded:
        raise NotEvenly(tuple(part.name for part in parts))
    assert isinstance(share, Fraction)
    return ramped(netlist, share)


def _enter_drop(values: ExactValues, quantity: Quantity, first: str, second: str) -> None:
    start, end = values.get(voltage(first)), values.get(voltage(second))
    if start is None or end is None:
        values.enter(quantity)
    else:
        values[quantity] = start - end if end else start


def solve(netlist: Netlist) -> Solution:
    """The exact solution. Raises NoSolution, naming the nodes and parts that contradict each other.

    A circuit with many solutions is refused only when something is asked that they do not agree on.
    """
    return Solution(netlist, solved(netlist))


@dataclass(frozen=True)
class Solution:
    """A circuit solved. Values come out as sympy expressions: exact rationals, or formulas in plain Symbols.

    A part's current enters its first node, an op-amp's leaves its output pin.
    """

    netlist: Netlist
    _solved: Solved = field(repr=False)
    _renames: Mapping[str, str] = field(default_factory=dict, repr=False)
    """Symbols read as another, or as themselves where ``_late`` has their number."""
    _late: Mapping[str, Any] = field(default_factory=dict, repr=False)
    """Numbers that no fraction equals, put in when results are handed out."""

    def voltage(self, node: str, reference: str = GROUND) -> Any:
        """Voltage of a node against another. Raises UnknownNode, ManySolutions."""
        return self._sympy(self._solved.value(self._solved.terms(self._between(node, reference))))

    def current(self, name: str) -> Any:
        """Current of a part, or of one half of a potentiometer (``Rp.top``, ``Rp.bottom``, both downward).

        Raises UnknownPart, ManySolutions, and WiperCarries for a potentiometer whose halves carry different currents.
        """
        return self._sympy(self._current(name))

    def power(self, name: str) -> Any:
        """Power that a part absorbs; negative where it supplies. An op-amp's is what it takes from the circuit, so that
        the powers of all parts add up to 0. Raises UnknownPart, ManySolutions."""
        part = next((part for part in self.netlist.parts if part.name == name), None)
        if part is None:
            raise UnknownPart(name, (part.name for part in self.netlist.parts))
        total: Exact = Fraction(0)
        for branch in part.branches:
            across = self._terms_between(branch.start or GROUND, branch.end or GROUND)
            total = total + self._solved.value(across) * self._solved.value(self._solved.terms(current(branch.name)))
        return self._sympy(total)

    def transfer(self, out: str, source: str) -> Any:
        """Gain from a source to a node: its voltage per volt or ampere of that source, all other sources 0.

        Raises UnknownNode, UnknownPart, ManySolutions, NoSolution.
        """
        terms = self._solved.terms(self._between(out, GROUND))
        return self._sympy(self._solved.gain(terms, self._solved.source(source)))

    def exact(self, quantity: Quantity) -> Fraction | Phasor:
        """Value of a quantity of a circuit of numbers, without sympy. Raises Unvalued, KeyError, ManySolutions."""
        value = self._quantity(quantity)
        if isinstance(value, Ratio):
            raise Unvalued(value.field.names)
        return value

    @property
    def feedback(self) -> dict[str, str]:
        """Per op-amp ``"negative"``, ``"positive"`` or ``"none"``; see ``feedback.feedback``."""
        return feedback(self.netlist, self._renames)

    def at(self, /, **values: Any) -> Solution:
        """The solution with some values set: text with units, int, Fraction, a sympy number, or another name.

        ``s=0`` is the dc limit. A name may be given and valued at once: ``at(R1="R", R2="R", R="10k")``. Raises
        UnknownSymbol, BadValue, NoSolution.
        """
        units = self._units()
        renames = {name: other for name, other in self._renames.items() if name not in values}
        late = {name: number for name, number in self._late.items() if name not in values}
        numbers: dict[str, Fraction] = {}
        for name in sorted(values, key=lambda name: name not in units):
            if name not in units:
                raise UnknownSymbol(name, tuple(units))
            read = _read(values[name], units[name])
            if isinstance(read, Fraction):
                numbers[name] = read
            elif isinstance(read, str):
                units.setdefault(read, units[name])
                renames = {old: read if new == name else new for old, new in renames.items()} | {name: read}
            else:
                renames[name], late[name] = name, read
        known = {**self.netlist.values, **numbers}
        open_names = {old: new for old, new in renames.items() if new not in known or new in renames}
        resolved = {old: known[new] for old, new in renames.items() if old not in open_names}
        netlist = self.netlist.with_values(numbers | resolved)
        return Solution(netlist, solved(netlist, open_names), renames, late)

    def _units(self) -> dict[str, str]:
        """Unit of every symbol that may be set."""
        units = {**self.netlist.units, LAPLACE: ""}
        return units | {new: units[old] for old, new in self._renames.items() if new not in units and old in units}

    def _between(self, node: str, reference: str) -> Quantity:
        for name in (node, reference):
            if name not in self.netlist.nodes:
                raise UnknownNode(name, self.netlist.nodes)
        return voltage(node) if reference == GROUND else Quantity("B", node, reference)

    def _terms_between(self, node: str, reference: str) -> Terms:
        return self._solved.terms(self._between(node, reference))

    def _quantity(self, quantity: Quantity) -> Exact:
        if quantity.kind == "I":
            return self._current(quantity.of)
        return self._solved.value(self._solved.terms(quantity))

    def _current(self, name: str) -> Exact:
        if name in self.netlist.branch_names:
            return self._solved.value(self._solved.terms(current(name)))
        part = next((part for part in self.netlist.parts if part.name == name), None)
        if part is None:
            raise UnknownPart(
                name, dict.fromkeys((*(part.name for part in self.netlist.parts), *self.netlist.branch_names))
            )
        first, *others = (self._solved.value(self._solved.terms(current(branch.name))) for branch in part.branches)
        if any(other != first for other in others):
            raise WiperCarries(name)
        return first

    def _sympy(self, value: Exact) -> Any:
        answer = to_sympy(value)
        if not self._late:
            return answer
        import sympy

        return answer.subs({sympy.Symbol(name): number for name, number in self._late.items()})


def _read(value: Any, unit: str) -> Any:
    """A Fraction, a symbol's name, or a finite sympy number that no fraction equals (such as 1000·i for s)."""
    try:
        read = read_value(value, unit)
    except BadValue:
        if getattr(value, "is_number", False) and getattr(value, "is_finite", False):
            return value
        raise
    if read is None:
        raise BadValue("None", "is no value", "give a number, or leave the name out")
    return read
