"""Independent voltage source: V_plus - V_minus is given."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from problems.circuits.parts.base import NOUGHT, PLUS_ONE, Equation, branch_equation
from problems.circuits.parts.two_terminal import TwoTerminal


@dataclass(frozen=True)
class VoltageSource(TwoTerminal):
    """A voltage source, + at ``first``; its current runs through it from ``first`` to ``second``."""

    letter = "V"
    kind = "voltage-source"
    unit = "V"
    brackets = "()"
    independent = True

    def stamp(self, value: Mapping[str, Any]) -> tuple[Equation, ...]:
        return (branch_equation(self.branches[0], PLUS_ONE, NOUGHT, value[self.symbol]),)
