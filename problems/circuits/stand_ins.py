"""Parts that stand in for a capacitor or an inductor where only one state of it matters.

At s = 0 and in the long run a capacitor is open and an inductor is a wire; at very high frequencies it is the other way
round. Just after a step a capacitor holds its voltage like a source, an inductor its current.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any

from problems.circuits.parts.base import MINUS_ONE, NOUGHT, PLUS_ONE, Equation, Parameter, branch_equation
from problems.circuits.parts.capacitor import Capacitor
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.inductor import Inductor
from problems.circuits.parts.two_terminal import TwoTerminal
from problems.circuits.parts.voltage_source import VoltageSource
from problems.formulas.expression import ZERO, Expression
from problems.quantities import current, start_of


class _Open(TwoTerminal):
    """Carries nothing, whatever stands across it."""

    is_base = True
    laplace = False
    carries = False

    @property
    def impedance(self) -> Expression | None:
        return None

    def stamp(self, value: Mapping[str, Any]) -> tuple[Equation, ...]:
        return (Equation({current(self.name): PLUS_ONE}),)


class _Wire(TwoTerminal):
    """Drops nothing, whatever runs through it."""

    is_base = True
    laplace = False

    @property
    def impedance(self) -> Expression | None:
        return ZERO

    def stamp(self, value: Mapping[str, Any]) -> tuple[Equation, ...]:
        return (branch_equation(self.branches[0], MINUS_ONE, NOUGHT),)


@dataclass(frozen=True)
class OpenCapacitor(_Open, Capacitor):
    """A capacitor at dc."""

    kind = "open-capacitor"


@dataclass(frozen=True)
class OpenInductor(_Open, Inductor):
    """An inductor at very high frequencies."""

    kind = "open-inductor"


@dataclass(frozen=True)
class WireCapacitor(_Wire, Capacitor):
    """A capacitor at very high frequencies."""

    kind = "wire-capacitor"


@dataclass(frozen=True)
class WireInductor(_Wire, Inductor):
    """An inductor at dc."""

    kind = "wire-inductor"


@dataclass(frozen=True)
class HeldCapacitor(VoltageSource):
    """A capacitor just after a step: its voltage is what it was."""

    kind = "held-capacitor"

    @cached_property
    def symbol(self) -> str:
        return start_of(self.name, "F")


@dataclass(frozen=True)
class HeldInductor(CurrentSource):
    """An inductor just after a step: its current is what it was."""

    kind = "held-inductor"

    @cached_property
    def symbol(self) -> str:
        return start_of(self.name, "H")


@dataclass(frozen=True)
class RampedCapacitor(Capacitor):
    """A capacitor across a voltage that rises evenly: its current is C times the rate.

    rate: name of the source's slope. share: of the rising voltage, what stands across it, + at the first terminal.
    """

    kind = "ramped-capacitor"
    laplace = False
    rate: str = ""
    share: Fraction = Fraction(1)

    @property
    def impedance(self) -> Expression | None:
        return None

    @property
    def parameters(self) -> tuple[Parameter, ...]:
        return (*super().parameters, Parameter(self.rate, "V/s", None))

    def stamp(self, value: Mapping[str, Any]) -> tuple[Equation, ...]:
        through = value[self.symbol] * value[self.rate] * self.share
        return (Equation({current(self.name): PLUS_ONE}, through),)
