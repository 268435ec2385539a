"""Whether an equation is one given sum of voltages: taken apart into its terms and compared with the sum, exactly.

Currents that are one in general (two parts in line at an op-amp input) count as one, so that ``I_Ri·Rf`` is the drop
across Rf where nothing leaves between Ri and Rf.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterator, Mapping
from fractions import Fraction
from functools import cached_property
from typing import NamedTuple

from problems.answers.values import holds_generally
from problems.answers.vocabulary import label
from problems.asks.hops import Hop
from problems.circuits.parts.voltage_source import VoltageSource
from problems.derivation.lesson import Lesson
from problems.formulas.expression import Expression, Name, Negative, Number, Product, Quotient, Sum
from problems.quantities import GROUND, Quantity, current, voltage

MOST_TERMS = 200
"""Terms of a sum when it is multiplied out; a path of twenty parts has fifty."""
ORDER = ("right", "sign", "twice", "left-out", "end", "off-path", "other-current", "number", "other")
"""Findings from the kindest to the least."""

Term = tuple[Hashable, ...]
"""The names that are multiplied, in a fixed order; empty for a plain number."""
Terms = Mapping[Term, Fraction]


class NotASum(ValueError):
    """A formula that is no sum of products."""


class Finding(NamedTuple):
    """key: one of ``ORDER``. about: the part or the place that it is about."""

    key: str
    about: str = ""

    @property
    def order(self) -> int:
        return ORDER.index(self.key)


OTHER = Finding("other")
"""No sum of this path."""


class Sums:
    """Compares equations with the sum along a path. ends: its two nodes; None round a loop. total: what is 0."""

    def __init__(self, lesson: Lesson, hops: tuple[Hop, ...], ends: tuple[str, str] | None, total: Expression):
        self.lesson, self.hops, self.ends = lesson, hops, ends
        self.netlist = lesson.netlist
        self.total = total

    @cached_property
    def wanted(self) -> Terms:
        return self.told(self.total)

    def compared(self, left: Expression, right: Expression) -> Finding:
        """What an equation is, set beside the sum. Raises NotASum."""
        written = self.told(left - right)
        if () in written:
            return Finding("number")
        factor = self._factor(written)
        if factor is None:
            return OTHER
        own = {term: value / factor for term, value in written.items()}
        return Finding("right") if own == self.wanted else next(self._faults(own), OTHER)

    def _factor(self, written: Terms) -> Fraction | None:
        """By what the whole equation is multiplied, as most of the terms that it shares with the sum have it."""
        shared = Counter(written[term] / value for term, value in self.wanted.items() if term in written)
        return max(shared, key=lambda factor: (shared[factor], factor > 0)) if shared else None

    def _faults(self, own: Terms) -> Iterator[Finding]:
        """What differs: parts of the path, then its ends, then what does not belong to it."""
        for hop in self.hops:
            part = self.told(Negative(hop.fall) if hop.sign > 0 else hop.fall)
            missing = all(own.get(term, 0) == self.wanted.get(term, Fraction(0)) - part[term] for term in part)
            if missing:
                yield Finding("left-out", hop.branch.name)
            elif all(own.get(term, 0) == self.wanted.get(term, Fraction(0)) - 2 * part[term] for term in part):
                yield Finding("sign", hop.branch.name)
            elif all(own.get(term, 0) == self.wanted.get(term, Fraction(0)) + part[term] for term in part):
                yield Finding("twice", hop.branch.name)
        for node in self.ends or ():
            term = self._term_of_node(node)
            if term is not None and own.get(term, 0) != self.wanted.get(term, 0):
                yield Finding("end", self.lesson.laws.view.node_label(node))
        for term in own:
            if term not in self.wanted:
                yield self._stranger(term)

    def _stranger(self, term: Term) -> Finding:
        """A term that the sum has not."""
        on_path = {hop.branch.part for hop in self.hops}
        for key in term:
            if isinstance(key, Quantity) and key.kind == "V":
                return Finding("off-path", self.lesson.laws.view.node_label(key.of))
        symbols = {key for key in term if isinstance(key, str)}
        for part in self.netlist.parts:
            own = {parameter.symbol for parameter in part.parameters}
            if part.name in on_path and own & symbols and any(isinstance(key, Quantity) for key in term):
                return Finding("other-current", part.name)
        for key in term:
            if isinstance(key, Quantity):
                return Finding("off-path", key.of)
        return Finding("off-path", label(term[0], self.netlist) if len(term) == 1 else "·".join(map(str, term)))

    # ---- taking apart

    def told(self, expression: Expression) -> dict[Term, Fraction]:
        """The terms of a formula, each thing under one name only, without those that cancel. Raises NotASum."""
        found: dict[Term, Fraction] = {}
        for term, value in _expanded(expression).items():
            for plain, factor in self._plain(term):
                found[plain] = found.get(plain, Fraction(0)) + value * factor
        return {term: value for term, value in found.items() if value}

    def _plain(self, term: Term) -> Iterator[tuple[Term, Fraction]]:
        """A product of names in the names that all writings of it share."""
        rest: list[Hashable] = []
        factor = Fraction(1)
        for key in term:
            if isinstance(key, Quantity) and key.kind == "I":
                shared, sign = self._shared_current(key)
                rest.append(shared)
                factor *= sign
            else:
                rest.append(key)
        if len(rest) == 1 and isinstance(rest[0], Quantity):
            yield from ((plain, factor * value) for plain, value in self._plain_quantity(rest[0]))
        else:
            yield tuple(sorted(rest, key=str)), factor

    def _plain_quantity(self, key: Quantity) -> Iterator[tuple[Term, Fraction]]:
        one = Fraction(1)
        if key.kind == "B":
            yield from self._plain_quantity(voltage(key.of))
            yield from ((term, -value) for term, value in self._plain_quantity(voltage(key.to)))
        elif key.kind == "D":
            yield from self._plain_drop(key)
        elif key.kind == "V":
            term = self._term_of_node(key.of)
            if term is not None:
                yield term, one
        else:
            yield (key,), one

    def _plain_drop(self, key: Quantity) -> Iterator[tuple[Term, Fraction]]:
        """A drop as current times resistance, in each half of a potentiometer; a source's is its own symbol."""
        part = self.netlist.part(key.of)
        if isinstance(part, VoltageSource):
            yield (part.symbol,), Fraction(1)
            return
        for branch in part.branches:
            if branch.impedance is None:
                yield (key,), Fraction(1)
            else:
                yield from self.told(Name(current(branch.name)) * branch.impedance).items()

    def _term_of_node(self, node: str) -> Term | None:
        """The voltage of a node: nothing for ground, the symbol of the source that holds it."""
        if node == GROUND:
            return None
        held = self.netlist.held.get(node)
        return (held,) if held is not None else (voltage(node),)

    def _shared_current(self, key: Quantity) -> tuple[Quantity, int]:
        """The first current on the path that is the same in general, and whether it runs the same way."""
        if key not in self._currents:
            self._currents[key] = self._found_current(key)
        return self._currents[key]

    @cached_property
    def _currents(self) -> dict[Quantity, tuple[Quantity, int]]:
        return {}

    def _found_current(self, key: Quantity) -> tuple[Quantity, int]:
        for hop in self.hops:
            other = current(hop.branch.name)
            if other == key:
                return key, 1
            for sign, residual in ((1, Name(key) - Name(other)), (-1, Name(key) + Name(other))):
                if self.lesson.is_numeric and holds_generally(residual, self.netlist):
                    return (other, sign) if sign > 0 else (other, -1)
        return key, 1


def _expanded(expression: Expression) -> dict[Term, Fraction]:
    """A formula multiplied out. Raises NotASum."""
    if isinstance(expression, Number):
        return {(): Fraction(expression.value)} if expression.value else {}
    if isinstance(expression, Name):
        return {(expression.key,): Fraction(1)}
    if isinstance(expression, Negative):
        return {term: -value for term, value in _expanded(expression.operand).items()}
    if isinstance(expression, Sum):
        return _collected((term, value) for part in expression.terms for term, value in _expanded(part).items())
    if isinstance(expression, Product):
        found: dict[Term, Fraction] = {(): Fraction(1)}
        for factor in expression.factors:
            found = _collected(
                (tuple(sorted((*one, *two), key=str)), a * b)
                for two, b in _expanded(factor).items()
                for one, a in found.items()
            )
        return found
    if isinstance(expression, Quotient) and isinstance(expression.bottom, Number) and expression.bottom.value:
        return {term: value / expression.bottom.value for term, value in _expanded(expression.top).items()}
    raise NotASum


def _collected(terms: Iterator[tuple[Term, Fraction]]) -> dict[Term, Fraction]:
    found: dict[Term, Fraction] = {}
    for term, value in terms:
        found[term] = found.get(term, Fraction(0)) + value
        if len(found) > MOST_TERMS:
            raise NotASum
    return found
