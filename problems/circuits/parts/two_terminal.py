"""What the two-terminal parts share: two nodes, one value, one branch."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import ClassVar

from problems.circuits.parts.base import Branch, Parameter, Part
from problems.formulas.expression import Expression
from problems.formulas.values import Value, read_value


@dataclass(frozen=True)
class TwoTerminal(Part):
    """A part between two nodes. ``value``: text, number, or a symbol's name; left out, the part's own name.

    Whatever follows from the fields is worked out once: the solver asks for it in every solution.
    """

    is_base: ClassVar[bool] = True
    unit: ClassVar[str]

    first: str
    second: str
    value: Value = None

    def __post_init__(self) -> None:
        read_value(self.value, self.unit)

    @cached_property
    def symbol(self) -> str:
        """The name of its value in formulas."""
        known = read_value(self.value, self.unit)
        return known if isinstance(known, str) else self.name

    @cached_property
    def nodes(self) -> tuple[str, ...]:
        return (self.first, self.second)

    @cached_property
    def parameters(self) -> tuple[Parameter, ...]:
        known = read_value(self.value, self.unit)
        return (Parameter(self.symbol, self.unit, known if isinstance(known, Fraction) else None),)

    @property
    def impedance(self) -> Expression | None:
        """Formula of its impedance, where Ohm's law holds for it."""
        return None

    @cached_property
    def branches(self) -> tuple[Branch, ...]:
        return (Branch(self.name, self.first, self.second, self.impedance),)
