"""What is true of a circuit whichever laws it is taught by: its symbols, its values, its states; worked out once."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from contextlib import suppress
from fractions import Fraction
from functools import cached_property
from typing import TYPE_CHECKING, Any

from problems.circuits.equations import unvalued
from problems.circuits.first_order import CORNER, completed
from problems.circuits.netlist import Netlist
from problems.circuits.situations import TEST, situation
from problems.circuits.solution import exact_values
from problems.derivation.affine import Affine
from problems.derivation.faults import NoWalk
from problems.derivation.law import LAWS
from problems.derivation.reactive.joint import joint_relations
from problems.derivation.reactive.misuses import bearing
from problems.derivation.reductions import with_made
from problems.derivation.search import reach
from problems.formulas.expression import Expression
from problems.formulas.phasor import PI, Phasor
from problems.formulas.ratio import Field
from problems.quantities import GROUND, LAPLACE, Quantity, voltage

if TYPE_CHECKING:
    from problems.derivation.lesson import Lesson


class Truth:
    """The true values of one lesson's circuit. Lessons that differ only in the laws taught share it."""

    def __init__(self, lesson: Lesson):
        self.lesson = lesson
        self.netlist = lesson.netlist
        self._states: dict[str, Lesson] = {}

    def in_state(self, state: str) -> Lesson:
        """The lesson of the circuit in one state, such as ``f=0``. Raises NoSolution where it has none."""
        if state not in self._states:
            if state == "f=f_c":
                inner = self.netlist.with_values({"f": self.lesson.values[CORNER]})
            else:
                inner = situation(self.netlist, state)
            self._states[state] = self._lesson_of(inner)
        return self._states[state]

    def _lesson_of(self, netlist: Netlist) -> Lesson:
        """The lesson of a state of this circuit, in numbers or in the same formulas."""
        return self.lesson.of(netlist, None if not unvalued(netlist) else self.field)

    @cached_property
    def field(self) -> Field:
        """What formulas are made of: every symbol, and those of the circuit's states."""
        open_names = unvalued(self.netlist)
        if open_names == (LAPLACE,):
            return self.lesson.ring or Field(open_names)
        more = ("pi", TEST) if self.netlist.regime else ()
        return self.lesson.ring or Field((*self.netlist.units, LAPLACE, *more))

    @cached_property
    def symbols(self) -> Mapping[Any, Any]:
        """Every part symbol with its value: a Fraction, or an element of a field where some are only names."""
        if self.lesson.known is not None:
            return self.lesson.known
        if self.lesson.is_numeric:
            return self.netlist.values
        if self.lesson.is_in_s:
            return {**self.netlist.values, "pi": PI, LAPLACE: self.field.generators[LAPLACE]}
        known = {name: value for name, value in self.netlist.values.items() if not isinstance(value, Phasor)}
        return self.field.environment(known)

    @cached_property
    def givens(self) -> Mapping[Quantity, Any]:
        """Values of the givens, ground among them."""
        found = {law.head: law.relation.at(self.symbols) for law in self.lesson.laws.given_laws}
        return {voltage(GROUND): Fraction(0), **found}

    @cached_property
    def solved(self) -> dict[Any, Any]:
        """The exact solution of a circuit of numbers. Raises NoSolution."""
        return exact_values(self.netlist)

    @cached_property
    def values(self) -> dict[Any, Any]:
        """Every quantity of the circuit as it stands, and every symbol."""
        if self.lesson.is_numeric:
            return with_made(self.solved, self.lesson.laws.defining)
        found: dict[Any, Any] = {**self.symbols, **self.givens}
        if self.netlist.regime != "t":  # at an instant nothing is found but by way of states
            self._reach_all(found)
        if not self.netlist.states:
            return found
        return completed(self.netlist, found, lambda netlist: self._lesson_of(netlist).values)

    def _reach_all(self, found: dict[Any, Any]) -> None:
        """Every quantity that laws lead to, as a formula."""
        for quantity, way in reach(self.lesson.laws.of_method(LAWS), ()).items():
            if way.last is not None:
                found[quantity] = way.last.relation.at(found)
        for quantity in dict.fromkeys(self.netlist.names.readings.values()):
            if quantity not in found and not quantity.of.endswith((".top", ".bottom")) and quantity.kind in "VID":
                found |= self._carried(quantity)

    def _carried(self, quantity: Quantity) -> dict[Quantity, Any]:
        """What a walk with unknowns to a quantity finds; nothing where the circuit does not determine it."""
        with suppress(NoWalk):
            steps = self.lesson.written((quantity,), LAWS)
            return {step.target: step.exact for step in steps if not isinstance(step.exact, Affine)}
        return {}

    @cached_property
    def joint_relations(self) -> Mapping[Quantity, Expression]:
        """Formulas of what follows from the states of the circuit, such as its corner frequency."""
        return joint_relations(self.lesson)

    @cached_property
    def bearing(self) -> Hashable:
        """What values decide about the wrong moves at a frequency or in time: which states there are, and what is 0."""
        return bearing(self.lesson)
