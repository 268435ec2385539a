"""Disguised twins: a family that looks like another and is not, or that is another and does not look like it.

Students keep a layout with its formula in mind. So whoever answers a twin by the formula of its stem is told that it
belongs to another circuit. The formula comes from the stem's own walk; nothing of it stands in a file.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from problems.circuits.netlist import Netlist
from problems.circuits.solution import NoSolution, exact_values
from problems.derivation.law import Misuse
from problems.derivation.lesson import Lesson
from problems.formulas.expression import ZERO, Expression, Name, keys, substitute
from problems.quantities import GROUND, Quantity, canonical, voltage
from problems.templates.library import Family, families

KEY = "formula-of-twin"
RANK = 0.1
"""Likelier than any other cause of the same value: the twin was drawn to provoke this very move."""


_UNLIKE = tuple(map(Fraction, (29, 37, 41, 43, 47, 53, 59, 61, 67, 71, 73, 79, 83, 89, 97)))
"""Values that no formula takes for each other."""


@dataclass(frozen=True)
class Stem:
    """The family that a twin is a twin of.

    output: name of the last node voltage that it asks. formula: that voltage in symbols of parts and sources alone.
    units: the unit of each of its symbols.
    """

    title: str
    output: str
    formula: Expression
    units: Mapping[str, str]

    @property
    def symbols(self) -> tuple[str, ...]:
        """What the formula speaks of."""
        return tuple(symbol for symbol in self.units if symbol in keys(self.formula))

    def recalled(self, names: Mapping[str, str]) -> Misuse:
        """The formula with a twin's own symbols, as a wrong move. names: what a symbol is called in the twin."""
        renamed: dict[Hashable, Expression] = {symbol: Name(name) for symbol, name in names.items()}
        return Misuse(KEY, substitute(self.formula, renamed), RANK, {"title": self.title})


class NoStem(ValueError):
    """A family that cannot be a stem. name: it. reason: ``unknown``, ``is-twin``, ``broken`` or ``no-formula``."""

    def __init__(self, name: str, reason: str):
        self.name, self.reason = name, reason
        super().__init__(f"{name} is no family to be a twin of: {reason}")


@cache
def stem_of(name: str) -> Stem:
    """The family of that name as a stem; raises NoStem."""
    from problems.templates.definition import define  # which knows of twins

    found: Family | None = next((known for known in families() if known.name == name), None)
    if found is None:
        raise NoStem(name, "unknown")
    definition, _ = define(found.text, found.name, found.file)
    if definition is None:
        raise NoStem(name, "broken")
    if definition.twin is not None:
        raise NoStem(name, "is-twin")
    # a wiper at an end of its track would take parts out of the formula
    inside = {symbol: Fraction(1, 3) for symbol, unit in definition.netlist.units.items() if unit == ""}
    lesson = Lesson.of(definition.netlist.with_values(inside))
    output = next((target for target in reversed(definition.targets) if target.kind == "V"), None)
    formula = None if output is None else closed(lesson, output)
    if output is None or formula is None:
        raise NoStem(name, "no-formula")
    return Stem(found.title, canonical(output), formula, definition.netlist.units)


def fits(move: Misuse, quantity: Quantity, netlist: Netlist) -> bool:
    """Whether the formula gives a quantity of a circuit whatever its values: then it is the stem's circuit itself."""
    for shift in (0, 3):
        values = dict(zip(netlist.units, _UNLIKE[shift:] + _UNLIKE[:shift], strict=False))
        settings = {symbol: 1 / values[symbol] for symbol, unit in netlist.units.items() if unit == ""}
        try:
            truth = exact_values(netlist.with_values({**values, **settings}))
            if move.relation.at(truth) != truth[quantity]:
                return False
        except (NoSolution, ZeroDivisionError):
            continue
    return True


def closed(lesson: Lesson, target: Quantity) -> Expression | None:
    """A quantity in symbols alone: the laws of its walk put into each other; None where no one law at a time leads."""
    walk = lesson.laws.walk((target,))
    if walk is None:
        return None
    found: dict[Hashable, Expression] = {voltage(GROUND): ZERO}
    for law in (*(law for law in lesson.laws.laws if law.given), *walk):
        found[law.head] = substitute(law.relation, found)
    return found[target]
