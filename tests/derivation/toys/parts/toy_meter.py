"""A toy part: an ideal current meter, a wire that has a name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from problems.circuits.parts.base import Equation, branch_equation
from problems.circuits.parts.two_terminal import TwoTerminal


@dataclass(frozen=True)
class ToyMeter(TwoTerminal):
    letter = "A"
    kind = "toy-meter"
    unit = ""

    def stamp(self, value: Mapping[str, Any]) -> tuple[Equation, ...]:
        return (branch_equation(self.branches[0], Fraction(1), Fraction(0)),)

    @property
    def parameters(self) -> tuple[()]:
        return ()
