"""Inductor: V = s·L·I."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from problems.circuits.parts.base import MINUS_ONE, Equation, branch_equation
from problems.circuits.parts.two_terminal import TwoTerminal
from problems.formulas.expression import Expression, Name
from problems.quantities import LAPLACE


@dataclass(frozen=True)
class Inductor(TwoTerminal):
    """An inductor from ``first`` to ``second``; a wire at s = 0, the dc limit."""

    letter = "L"
    kind = "inductor"
    unit = "H"
    laplace = True

    @property
    def impedance(self) -> Expression | None:
        return Name(LAPLACE) * Name(self.symbol)

    def stamp(self, value: Mapping[str, Any]) -> tuple[Equation, ...]:
        return (branch_equation(self.branches[0], MINUS_ONE, value[LAPLACE] * value[self.symbol]),)
