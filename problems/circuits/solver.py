"""Solves a circuit's equations: plain numbers through flint's matrices, formulas and odd cases by own elimination."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any

from problems.circuits.elimination import Reduced, Row, eliminate
from problems.circuits.equations import System, equations, unit_source
from problems.circuits.faults import NoSolution, Unbounded, UnknownPart, contradiction, undetermined
from problems.circuits.netlist import Netlist
from problems.circuits.parts.base import MINUS_ONE, NOUGHT, PLUS_ONE
from problems.circuits.samples import sample
from problems.formulas.phasor import Phasor
from problems.formulas.ratio import Field, Ratio
from problems.quantities import GROUND, LAPLACE, Quantity, voltage

Exact = Fraction | Ratio | Phasor
"""A number, or a formula where some values are only names; a phasor at a frequency."""

Terms = tuple[tuple[int, int], ...]
"""A quantity as a sum of unknowns: column and sign."""


class Solved:
    """A circuit with its unknowns found. Use ``solved(netlist)``."""

    netlist: Netlist
    system: System

    def value(self, terms: Terms) -> Exact:
        """Value of a sum of unknowns. Raises ManySolutions where it is not determined, Unbounded without a limit."""
        raise NotImplementedError

    def gain(self, terms: Terms, source: str) -> Exact:
        """The same per unit of one source's value, all other sources 0. Raises as ``value`` does, and NoSolution."""
        raise NotImplementedError

    def terms(self, quantity: Quantity) -> Terms:
        """A node voltage, drop, voltage between nodes or branch current as a sum of unknowns. Raises KeyError."""
        if quantity.kind == "I":
            return ((self.system.unknowns[quantity], 1),)
        if quantity.kind == "V":
            return self._between(quantity.of, GROUND)
        if quantity.kind == "D":
            return self._between(*self.netlist.part(quantity.of).nodes[:2])
        if quantity.kind == "B":
            return self._between(quantity.of, quantity.to)
        raise KeyError(quantity)

    def _between(self, first: str, second: str) -> Terms:
        if first == second:
            return ()
        ends = ((first, 1), (second, -1))
        return tuple((self.system.unknowns[voltage(node)], sign) for node, sign in ends if node != GROUND)

    def source(self, name: str) -> str:
        """The name, if it is that of an independent source; raises UnknownPart, saying which there are."""
        known = [part.name for part in self.netlist.parts if part.independent]
        if name not in known:
            raise UnknownPart(name, known, "unknown-source")
        return name


@dataclass(frozen=True)
class NumbersSolved(Solved):
    """All values known and exactly one solution: the usual case."""

    netlist: Netlist
    system: System
    solution: Any
    """As ``flint_solve`` gives it."""
    _units: dict[str, Any] = field(default_factory=dict)
    """The same for one unit of one source, once asked for."""

    def unknowns(self) -> dict[Quantity, Fraction]:
        """Every unknown's value."""
        last = self.solution.nrows()
        return {quantity: _fraction(self.solution[row, last]) for quantity, row in self.system.unknowns.items()}

    def value(self, terms: Terms) -> Fraction:
        return _fraction(sum(sign * flint_entry(self.solution, number, 0) for number, sign in terms))

    def gain(self, terms: Terms, source: str) -> Fraction:
        if source not in self._units:
            ones = unit_source(self.netlist, source, self.netlist.values, PLUS_ONE)
            right = dict(zip(self.system.rows_of(source), ones, strict=True))
            self._units[source] = flint_solve(self.system, [right])
        return _fraction(sum(sign * flint_entry(self._units[source], number, 0) for number, sign in terms))


@dataclass(frozen=True)
class PhasorsSolved(Solved):
    """A circuit at a frequency, all values known and exactly one solution."""

    netlist: Netlist
    system: System
    found: tuple[Phasor, ...]
    """Every unknown, in the order of its column."""

    def value(self, terms: Terms) -> Phasor:
        return sum((self.found[number] * sign for number, sign in terms), Phasor(0))

    def gain(self, terms: Terms, source: str) -> Phasor:
        ones = unit_source(self.netlist, source, self.netlist.values, PLUS_ONE)
        right = [NOUGHT] * len(self.system.rows)
        for row, one in zip(self.system.rows_of(source), ones, strict=True):
            right[row] = one
        found = phasors(replace(self.system, right=right))
        assert found is not None, "the same equations have one solution"
        return sum((found[number] * sign for number, sign in terms), Phasor(0))


def phasors(system: System) -> tuple[Phasor, ...] | None:
    """The equations solved in phasors, or None where they have no or many solutions.

    Real and imaginary parts are unknowns of their own: flint's rational matrices are far quicker than elimination here.
    """
    from flint import fmpq, fmpq_mat

    width = len(system.unknowns)
    if width == 0 or len(system.rows) != width:
        return None
    matrix = fmpq_mat(2 * width, 2 * width + 1)
    for number, (row, right) in enumerate(zip(system.rows, system.right, strict=True)):
        for column, entry in (*row.items(), (2 * width, right)):
            real, imag = (entry.real, entry.imag) if isinstance(entry, Phasor) else (entry, NOUGHT)
            for place, part in ((number, real), (number + width, imag)):
                if part:
                    matrix[place, column] = fmpq(part.numerator, part.denominator)
            if column < width:
                for place, part in ((number, -imag), (number + width, real)):
                    if part:
                        matrix[place, column + width] = fmpq(part.numerator, part.denominator)
    reduced, rank = matrix.rref()
    if rank != 2 * width or reduced[2 * width - 1, 2 * width - 1] != 1:
        return None
    last = 2 * width
    return tuple(Phasor(_fraction(reduced[n, last]), _fraction(reduced[n + width, last])) for n in range(width))


@dataclass(frozen=True)
class ReducedSolved(Solved):
    """Formulas, or numbers where not everything is determined.

    reduced: every unknown in right-side columns, one per source, and in free unknowns. weights: right-side column to
    the source's value. columns: source to its column. limit: whether values are limits as s goes to 0.
    """

    netlist: Netlist
    system: System
    reduced: Reduced
    weights: Mapping[int, Exact]
    columns: Mapping[str, int]
    limit: bool = False
    zero: Exact = field(default=Fraction(0))

    def value(self, terms: Terms) -> Exact:
        total = self.zero
        for column, coefficient in self._row(terms).items():
            total = total + coefficient * self.weights[column]
        return self._finished(total, terms)

    def gain(self, terms: Terms, source: str) -> Exact:
        column = self.columns[source]
        if any(column in row for row in self.reduced.spent):
            raise self._fault(source)
        return self._finished(self._row(terms).get(column, self.zero), terms)

    def _row(self, terms: Terms) -> Row:
        """The sum by right-side column. Raises ManySolutions where a free unknown is left in it."""
        total: Row = {}
        for column, sign in terms:
            row = self.reduced.solved.get(column, {column: Fraction(-1)})
            for target, entry in row.items():
                new = total.get(target, self.zero) + sign * entry
                total[target] = new
        width = len(self.system.unknowns)
        moves = {column for column, entry in total.items() if column < width and entry}
        if moves:
            raise undetermined(self.netlist, self.system, self.reduced, self._asked(terms), moves)
        return {column: entry for column, entry in total.items() if column >= width and entry}

    def _finished(self, value: Exact, terms: Terms) -> Exact:
        if not isinstance(value, Ratio):
            return value
        if self.limit:
            limit = value.with_zero(LAPLACE)
            if limit is None:
                raise Unbounded(self._asked(terms))
            value = limit
        constant = value.constant
        return value if constant is None else constant

    def _asked(self, terms: Terms) -> Quantity:
        names = {number: quantity for quantity, number in self.system.unknowns.items()}
        first, *rest = (names[column] for column, _ in terms)
        return Quantity("B", first.of, rest[0].of) if rest else first

    def _fault(self, source: str) -> NoSolution:
        """Why this source alone, the others at 0, has no solution."""
        part = self.netlist.part(source)
        off = {p.parameters[0].symbol: Fraction(0) for p in self.netlist.parts if p.independent}
        values = sample(self.netlist, 1) | off | {part.parameters[0].symbol: Fraction(1)}
        found = contradiction(self.netlist, equations(self.netlist, values))
        return found or NoSolution("voltage-conflict", (), (source,))


def solved(netlist: Netlist, renames: Mapping[str, str] | None = None) -> Solved:
    """The circuit solved: in numbers where all values are known, else in formulas.

    renames: symbols to be read as another symbol, or (as themselves) kept as names though a value is known.
    Raises NoSolution.
    """
    if not renames:
        try:
            system = equations(netlist, netlist.values)
        except KeyError:
            system = None
        if system is not None and netlist.regime == "f":
            found = phasors(system)
            if found is not None:
                return PhasorsSolved(netlist, system, found)
        elif system is not None:
            right = {row: known for row, known in enumerate(system.right) if known is not NOUGHT}
            solution = flint_solve(system, [right])
            if solution is not None:
                return NumbersSolved(netlist, system, solution)
    return _reduced(netlist, renames or {})


def _reduced(netlist: Netlist, renames: Mapping[str, str], limit: bool = False) -> ReducedSolved:
    """The circuit solved by elimination; at s = 0 the limit is taken where plain dc does not settle everything."""
    values = dict(netlist.values)
    if limit:
        del values[LAPLACE]
    environment, zero = _environment(netlist, values, renames)
    system = equations(netlist, environment)
    rows: list[Row] = [dict(row) for row in system.rows]
    columns, weights = _right_sides(netlist, system, rows, environment)
    reduced = eliminate(rows, len(system.unknowns), _weight if isinstance(zero, Ratio) else lambda number: 1)
    agrees = not any(_total(row, weights, zero) for row in reduced.spent)
    at_dc = values.get(LAPLACE) == 0 and any(part.laplace for part in netlist.parts)
    if at_dc and not limit and not (agrees and not reduced.free):
        return _reduced(netlist, renames, limit=True)
    if not agrees:
        numbers = equations(netlist, sample(netlist, 1, limit))
        raise contradiction(netlist, numbers) or NoSolution("conflict", netlist.nodes, netlist.branch_names)
    return ReducedSolved(netlist, system, reduced, weights, columns, limit, zero)


def _environment(
    netlist: Netlist, values: Mapping[str, Fraction], renames: Mapping[str, str]
) -> tuple[Mapping[str, Any], Exact]:
    """What each symbol stands for, in the one number type of this solution, and that type's zero."""
    symbols = (*netlist.units, LAPLACE) if any(part.laplace for part in netlist.parts) else tuple(netlist.units)
    open_names = [name for name in symbols if name not in values and name not in renames]
    names = dict.fromkeys([*open_names, *(name for name in renames.values() if name not in values or name in renames)])
    if not names:
        return values, Fraction(0)
    ring = Field(names)
    environment = ring.environment({name: value for name, value in values.items() if name not in names})
    return environment | {name: environment[target] for name, target in renames.items()}, ring.zero


def _right_sides(
    netlist: Netlist, system: System, rows: list[Row], environment: Mapping[str, Any]
) -> tuple[dict[str, int], dict[int, Any]]:
    """One right-side column for each source, entered in the rows; one more for what parts of other kinds add."""
    width = len(system.unknowns)
    columns: dict[str, int] = {}
    weights: dict[int, Any] = {width: Fraction(1)}
    sources = {part.name: part for part in netlist.parts if part.independent}
    for name, part in sources.items():
        columns[name] = column = width + 1 + len(columns)
        weights[column] = environment[part.parameters[0].symbol]
        ones = unit_source(netlist, name, environment, Fraction(1))
        for row, one in zip(system.rows_of(name), ones, strict=True):
            if one:
                rows[row][column] = one
    for row, (owner, known) in enumerate(zip(system.owners, system.right, strict=True)):
        if known and owner.name not in sources:
            rows[row][width] = known
    return columns, weights


def _total(row: Row, weights: Mapping[int, Any], zero: Exact) -> Any:
    """What is left of a row whose unknowns have cancelled."""
    total: Any = zero
    for column, entry in row.items():
        total = total + entry * weights[column]
    return total


def _weight(number: Exact) -> int:
    return number.weight if isinstance(number, Ratio) else 1 if abs(number) == 1 else 2


def flint_solve(system: System, rights: Sequence[Mapping[int, Any]]) -> Any:
    """The equations solved for several right sides at once, or None where they have no or many solutions.

    rights: right sides as entries by row. Coefficients and entries must be fractions. Returns one of flint's matrices,
    in which row *u*, column *r* of the last ones is unknown *u* under right side *r*: see ``flint_entry``.
    """
    from flint import fmpq, fmpq_mat

    width = len(system.unknowns)
    if width == 0 or len(system.rows) != width:
        return None
    matrix = fmpq_mat(width, width + len(rights))
    for number, row in enumerate(system.rows):
        for column, entry in row.items():
            if entry is PLUS_ONE or entry is MINUS_ONE:
                matrix[number, column] = 1 if entry is PLUS_ONE else -1
            else:
                matrix[number, column] = fmpq(entry.numerator, entry.denominator)
    for column, right in enumerate(rights, width):
        for number, entry in right.items():
            matrix[number, column] = fmpq(entry.numerator, entry.denominator)
    # Reducing costs no more than flint's own solve, and a third of it from 16 unknowns on.
    reduced, rank = matrix.rref()
    return reduced if rank == width and reduced[width - 1, width - 1] == 1 else None


def flint_entry(solution: Any, unknown: int, right: int) -> Any:
    """One unknown under one right side, as flint's rational."""
    return solution[unknown, solution.nrows() + right]


def _fraction(value: Any) -> Fraction:
    """flint's rational as Python's."""
    return Fraction(int(value.p), int(value.q)) if value else Fraction(0)
