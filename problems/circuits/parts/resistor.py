"""Resistor: V = R·I."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from problems.circuits.parts.base import MINUS_ONE, Equation, branch_equation
from problems.circuits.parts.two_terminal import TwoTerminal
from problems.formulas.expression import Expression, Name


@dataclass(frozen=True)
class Resistor(TwoTerminal):
    """A resistor from ``first`` to ``second``; its current enters at ``first``."""

    letter = "R"
    kind = "resistor"
    unit = "ohm"

    @property
    def impedance(self) -> Expression:
        return Name(self.symbol)

    def stamp(self, value: Mapping[str, Any]) -> tuple[Equation, ...]:
        return (branch_equation(self.branches[0], MINUS_ONE, value[self.symbol]),)
