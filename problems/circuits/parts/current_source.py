"""Independent current source: its current is given."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from problems.circuits.parts.base import PLUS_ONE, Equation
from problems.circuits.parts.two_terminal import TwoTerminal
from problems.quantities import current


@dataclass(frozen=True)
class CurrentSource(TwoTerminal):
    """A current source; its current runs through it from ``first`` to ``second``."""

    letter = "I"
    kind = "current-source"
    unit = "A"
    brackets = "()"
    independent = True

    def stamp(self, value: Mapping[str, Any]) -> tuple[Equation, ...]:
        return (Equation({current(self.name): PLUS_ONE}, value[self.symbol]),)
