"""What every part is to the rest of the engine."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, ClassVar, NamedTuple

from problems.formulas.expression import Expression
from problems.quantities import Quantity, current, voltage


class Branch(NamedTuple):
    """One path for current inside a part; the current runs from ``start`` to ``end``.

    start, end: nodes; ``None`` is the hidden supply of an op-amp. impedance: formula in part names, or None where the
    part does not obey Ohm's law.
    """

    name: str
    start: str | None
    end: str | None
    impedance: Expression | None = None

    @property
    def part(self) -> str:
        """Name of the part that it is a path of."""
        return part_of(self.name)

    @property
    def half(self) -> str:
        """Which half of its part it is, ``top`` or ``bottom``; empty where it is the part's only path."""
        return self.name.partition(".")[2]


def part_of(branch: str) -> str:
    """The part of a branch by the branch's name: ``Rp`` of ``Rp.top``, ``R1`` of ``R1``."""
    return branch.partition(".")[0]


class Parameter(NamedTuple):
    """A value of a part: the symbol that stands for it in formulas, its unit, and the value where it is known."""

    symbol: str
    unit: str
    value: Fraction | None


class Equation(NamedTuple):
    """A linear equation: the coefficients by unknown (node voltages and branch currents), and the right side.

    Coefficients may be 0, and ground may be among the unknowns.
    """

    coefficients: Mapping[Quantity, Any]
    right: Any = Fraction(0)


@dataclass(frozen=True)
class Part:
    """A part of a circuit. A new type is one file in this folder with one subclass; the registry finds it."""

    letter: ClassVar[str]
    """Class designation with which the names of such parts begin."""
    kind: ClassVar[str]
    """What such parts are told by; every type has one of its own."""
    is_base: ClassVar[bool] = True
    """Whether it is no type of part but what others build on, as this class is; each such class says so itself."""
    brackets: ClassVar[str] = "[]"
    """How it is drawn: ``[]`` a two-terminal box, ``()`` a source, ``""`` no box."""
    independent: ClassVar[bool] = False
    """Whether it is a source: its first parameter stands on the right side of its equation."""
    laplace: ClassVar[bool] = False
    """Whether its equation needs Laplace's ``s``."""
    carries: ClassVar[bool] = True
    """Whether current can run in it; a capacitor at dc carries none."""

    name: str

    @property
    def nodes(self) -> tuple[str, ...]:
        """The nodes it touches, first terminal first."""
        raise NotImplementedError

    @property
    def branches(self) -> tuple[Branch, ...]:
        """Its current paths; the first one bears the part's name, if any does."""
        raise NotImplementedError

    @property
    def parameters(self) -> tuple[Parameter, ...]:
        """Its values."""
        return ()

    def stamp(self, value: Mapping[str, Any]) -> tuple[Equation, ...]:
        """One equation per branch; ``value`` maps the parameters' symbols to any number type."""
        raise NotImplementedError


NOUGHT, PLUS_ONE, MINUS_ONE = Fraction(0), Fraction(1), Fraction(-1)
"""The coefficients nearly all equations are made of: one object each, so that they are told apart at no cost."""


def branch_equation(branch: Branch, across: Any, through: Any, right: Any = NOUGHT) -> Equation:
    """``across · (V_start - V_end) + through · I = right``.

    A branch from a node to itself that obeys Ohm's law carries nothing, even at 0 Ω where any current would do; so does
    one that drives 0 V.
    """
    name, start, end, _ = branch
    if start == end:
        return Equation({}, right) if right else Equation({current(name): PLUS_ONE})
    coefficients: dict[Quantity, Any] = {current(name): through}
    if start is not None:
        coefficients[voltage(start)] = across
    if end is not None:
        coefficients[voltage(end)] = PLUS_ONE if across is MINUS_ONE else MINUS_ONE if across is PLUS_ONE else -across
    return Equation(coefficients, right)
