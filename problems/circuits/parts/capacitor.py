"""Capacitor: I = s·C·V."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from problems.circuits.parts.base import MINUS_ONE, Equation, branch_equation
from problems.circuits.parts.two_terminal import TwoTerminal
from problems.formulas.expression import ONE, Expression, Name
from problems.quantities import LAPLACE


@dataclass(frozen=True)
class Capacitor(TwoTerminal):
    """A capacitor from ``first`` to ``second``; open at s = 0, the dc limit."""

    letter = "C"
    kind = "capacitor"
    unit = "F"
    laplace = True

    @property
    def impedance(self) -> Expression | None:
        return ONE / (Name(LAPLACE) * Name(self.symbol))

    def stamp(self, value: Mapping[str, Any]) -> tuple[Equation, ...]:
        return (branch_equation(self.branches[0], value[LAPLACE] * value[self.symbol], MINUS_ONE),)
