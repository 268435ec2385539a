"""Ideal op-amp: no input current, and an output that keeps its inputs at the same voltage."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from problems.circuits.parts.base import MINUS_ONE, PLUS_ONE, Branch, Equation, Part
from problems.quantities import Quantity, voltage


@dataclass(frozen=True)
class OpAmp(Part):
    """An ideal op-amp (a nullor); its current ``I_<name>`` leaves the output pin."""

    letter = "U"
    kind = "op-amp"
    brackets = ""

    plus: str
    minus: str
    out: str

    @cached_property
    def nodes(self) -> tuple[str, ...]:
        return (self.plus, self.minus, self.out)

    @cached_property
    def branches(self) -> tuple[Branch, ...]:
        return (Branch(self.name, None, self.out),)

    def stamp(self, value: Mapping[str, Any]) -> tuple[Equation, ...]:
        coefficients: dict[Quantity, Any] = {}
        if self.plus != self.minus:
            coefficients = {voltage(self.plus): PLUS_ONE, voltage(self.minus): MINUS_ONE}
        return (Equation(coefficients),)
