"""Potentiometer: a resistive track in two halves, divided by the wiper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any

from problems.circuits.parts.base import MINUS_ONE, Branch, Equation, Parameter, Part, branch_equation
from problems.formulas.expression import ONE, Name
from problems.formulas.values import Value, read_value


@dataclass(frozen=True)
class Potentiometer(Part):
    """A potentiometer; ``setting`` is the share of the track below the wiper, 0 at the bottom, 1 at the top.

    A setting left out becomes the symbol ``k``, or ``k_<name>`` where a circuit has several.
    """

    letter = "R"
    kind = "potentiometer"

    top: str
    bottom: str
    wiper: str
    value: Value = None
    setting: Value = None
    setting_symbol: str = "k"

    def __post_init__(self) -> None:
        read_value(self.value, "ohm")
        read_value(self.setting, "")

    @cached_property
    def symbol(self) -> str:
        """The name of the track's resistance in formulas."""
        known = read_value(self.value, "ohm")
        return known if isinstance(known, str) else self.name

    @cached_property
    def share(self) -> str:
        """The name of the setting in formulas."""
        known = read_value(self.setting, "")
        return known if isinstance(known, str) else self.setting_symbol

    @cached_property
    def nodes(self) -> tuple[str, ...]:
        return (self.top, self.bottom, self.wiper)

    @cached_property
    def branches(self) -> tuple[Branch, ...]:
        track, share = Name(self.symbol), Name(self.share)
        return (
            Branch(f"{self.name}.top", self.top, self.wiper, (ONE - share) * track),
            Branch(f"{self.name}.bottom", self.wiper, self.bottom, share * track),
        )

    @cached_property
    def parameters(self) -> tuple[Parameter, ...]:
        track, share = read_value(self.value, "ohm"), read_value(self.setting, "")
        return (
            Parameter(self.symbol, "ohm", track if isinstance(track, Fraction) else None),
            Parameter(self.share, "", share if isinstance(share, Fraction) else None),
        )

    def stamp(self, value: Mapping[str, Any]) -> tuple[Equation, ...]:
        track, share = value[self.symbol], value[self.share]
        top, bottom = self.branches
        return (
            branch_equation(top, MINUS_ONE, (Fraction(1) - share) * track),
            branch_equation(bottom, MINUS_ONE, share * track),
        )
