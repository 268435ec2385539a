"""A circuit as parts between nodes, however it was given: drawn, or built in Python."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cached_property
from typing import Any, Protocol, Self

from problems.circuits.conditions import conditions, further_of, regime_of, starts, states_of
from problems.circuits.parts.base import Branch, Part
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.potentiometer import Potentiometer
from problems.circuits.parts.voltage_source import VoltageSource
from problems.formulas.phasor import Phasor, laplace_at
from problems.formulas.spelling import inert
from problems.formulas.values import read_value
from problems.quantities import FREQUENCY, GROUND, LAPLACE, TIME, Names, Quantity

PACKAGES: Mapping[str, tuple[tuple[str, str, str], ...]] = {
    "single": (("2", "3", "6"),),
    "dual": (("2", "3", "1"), ("6", "5", "7")),
    "quad": (("2", "3", "1"), ("6", "5", "7"), ("9", "10", "8"), ("13", "12", "14")),
}
"""Pin numbers (-, +, output) of the op-amps in a package; common practice for single, dual and quad op-amps."""


def pin_numbers(package: str, index: int) -> tuple[str, str, str]:
    """Numbers of the -, + and output pin of the op-amp of that index, the first package's amplifiers filled first."""
    amplifiers = PACKAGES[package]
    return amplifiers[index % len(amplifiers)]


def in_one_package(package: str, count: int) -> bool:
    """Whether so many op-amps share one package, so that a pin's number alone tells which is meant."""
    return count <= len(PACKAGES[package])


class DuplicateName(ValueError):
    """Two parts have one name. name: the name."""

    def __init__(self, name: str):
        self.name = name
        super().__init__(f"two parts are called {name}; give each its own name")


class ClashingSymbol(ValueError):
    """One symbol would stand for two things. symbol: it. parts: the names of those that use it."""

    def __init__(self, symbol: str, parts: tuple[str, ...], meanings: str):
        self.symbol, self.parts = symbol, parts
        super().__init__(f"{symbol} would stand for {meanings} ({', '.join(parts)}); give one of them another name")


class DrawnPart(Protocol):
    """A boxed part as its drawing has it. lying: whether its terminals are left and right of it."""

    @property
    def name(self) -> str: ...
    @property
    def lying(self) -> bool: ...


class DrawnTerminal(Protocol):
    """A named end of a drawing, and the node that it names."""

    @property
    def name(self) -> str: ...
    @property
    def node(self) -> str: ...


class Drawn(Protocol):
    """What the engine asks of the drawing that a circuit was read from; ``drawing.Drawing`` has it."""

    @property
    def boxed(self) -> Sequence[DrawnPart]: ...
    @property
    def terminals(self) -> Sequence[DrawnTerminal]: ...


class BadName(ValueError):
    """A part or node whose name could not be printed or asked for. name: the name, made safe to print."""

    def __init__(self, name: str):
        self.name = inert(name, 40)
        super().__init__(
            f"{self.name!r} cannot be a name: use letters, digits, _ . + - and no blanks, at most 40 of them"
        )


class BadSetting(ValueError):
    """A wiper beyond the end of its track. symbol: the setting's name. value: what it was to be."""

    def __init__(self, symbol: str, value: Fraction):
        self.symbol, self.value = symbol, value
        super().__init__(
            f"{symbol} cannot be {float(value):g}: a setting runs from 0, the bottom of the track, to 1, its top"
        )


_NAME = re.compile(r"[\w.+*'-]{1,40}\Z")


class Netlist:
    """Parts between nodes, and the values known for them. Never changes once made.

    parts: in the order given. values: symbol (``R1``, ``k``, ``Vin``) to its exact value, where known; symbols
    without a value stay names. package: which pin numbers the op-amps have. drawing: what it was read from, or None.
    """

    tag: str = ""
    """The contribution that it shows, where all sources but one are off."""

    def __init__(
        self,
        parts: Iterable[Part],
        values: Mapping[str, Any] | None = None,
        *,
        package: str = "single",
        drawing: Drawn | None = None,
    ):
        """Raises BadName, DuplicateName, ClashingSymbol, BadSetting, and ValueError for a value that cannot be read."""
        self.parts = _with_settings(tuple(parts))
        self.package = package
        self.drawing = drawing
        for name in (*(part.name for part in self.parts), *(node for part in self.parts for node in part.nodes)):
            if not _NAME.match(name):
                raise BadName(name)
        for name, times in Counter(part.name for part in self.parts).items():
            if times > 1:
                raise DuplicateName(name)
        _check_symbols(self.parts)
        self._given = _conditions_given(self.parts, self.conditions, values or {})
        known = self._known(values or {})
        for part in self.parts:
            if isinstance(part, Potentiometer) and not 0 <= known.get(part.share, Fraction(0)) <= 1:
                raise BadSetting(part.share, known[part.share])
        self.regime = regime_of(self._given, known, self.conditions)
        """How its capacitors and inductors are looked at: ``regime_of`` says how."""
        if self.regime == "f":
            known[LAPLACE] = laplace_at(known[FREQUENCY])
        self.values: Mapping[str, Any] = known

    def _known(self, values: Mapping[str, Any]) -> dict[str, Any]:
        """Every symbol and condition with a value; what a capacitor or inductor starts from is 0 unsaid."""
        known: dict[str, Any] = {p.symbol: p.value for part in self.parts for p in part.parameters}
        known = {symbol: value for symbol, value in known.items() if value is not None}
        known |= {name: Fraction(0) for name in self._given if name not in values}
        for symbol, value in values.items():
            if isinstance(value, Phasor):  # s at a frequency, which is worked out anew
                continue
            read = read_value(value, self.units.get(symbol, ""))
            if isinstance(read, Fraction):
                known[symbol] = read
        return known

    def with_values(self, values: Mapping[str, Any]) -> Self:
        """The same circuit with some values changed; raises ValueError for one that cannot be read."""
        return type(self)(self.parts, {**self.values, **values}, package=self.package, drawing=self.drawing)

    @cached_property
    def units(self) -> Mapping[str, str]:
        """Unit of each symbol, a condition that is given among them; ``""`` for a pure number."""
        own = {p.symbol: p.unit for part in self.parts for p in part.parameters}
        return own | {name: self.conditions[name] for name in self._given if name != LAPLACE}

    @property
    def settable(self) -> Mapping[str, str]:
        """Unit of all that may be given a value: the symbols, and the conditions of a circuit that is reactive."""
        return {**self.units, **self.conditions}

    @cached_property
    def conditions(self) -> Mapping[str, str]:
        """What may be given beside the parts' values, with units; see ``conditions``."""
        return conditions(self.parts)

    @cached_property
    def states(self) -> tuple[str, ...]:
        """The states in which a quantity may be meant, such as ``f=0``."""
        return states_of(self.parts, self.regime)

    @cached_property
    def further(self) -> Mapping[str, Quantity]:
        """Names of what is no voltage or current, such as ``f_c``."""
        return further_of(self.parts, self.nodes, self.regime)

    @cached_property
    def nodes(self) -> tuple[str, ...]:
        """All nodes, ground first, the others in order of appearance."""
        return tuple(dict.fromkeys((GROUND, *(node for part in self.parts for node in part.nodes))))

    @cached_property
    def branches(self) -> tuple[Branch, ...]:
        """Every current path of every part."""
        return tuple(branch for part in self.parts for branch in part.branches)

    @cached_property
    def part_names(self) -> tuple[str, ...]:
        """Names of the parts across which a drop can be asked."""
        return tuple(part.name for part in self.parts if not isinstance(part, OpAmp))

    @cached_property
    def branch_names(self) -> tuple[str, ...]:
        return tuple(branch.name for branch in self.branches)

    @cached_property
    def current_names(self) -> tuple[str, ...]:
        """Names whose current can be asked: every branch, and a whole potentiometer whose wiper carries none."""
        return (*self.branch_names, *(part.name for part in self.parts if self._is_whole_track(part)))

    def _is_whole_track(self, part: Part) -> bool:
        if not isinstance(part, Potentiometer) or part.wiper in (GROUND, part.top, part.bottom):
            return False
        ends = [branch for branch in self.branches if part.wiper in (branch.start, branch.end)]
        return len(ends) == 2

    @cached_property
    def opamps(self) -> tuple[OpAmp, ...]:
        return tuple(part for part in self.parts if isinstance(part, OpAmp))

    def part(self, name: str) -> Part:
        """The part of that name; raises KeyError."""
        return next((part for part in self.parts if part.name == name), None) or _missing(name)

    @cached_property
    def pins(self) -> Mapping[str, str]:
        """Pin names to nodes: ``U1.2`` always, ``2`` where no other op-amp has such a pin, ``-`` of a lone op-amp."""
        found: dict[str, str] = {}
        for index, amp in enumerate(self.opamps):
            minus, plus, out = pin_numbers(self.package, index)
            pairs = ((minus, amp.minus), (plus, amp.plus), (out, amp.out))
            found.update({f"{amp.name}.{pin}": node for pin, node in pairs})
            if in_one_package(self.package, len(self.opamps)):
                found.update(pairs)
            if len(self.opamps) == 1:
                found.update({"-": amp.minus, "+": amp.plus})
        return found

    @cached_property
    def terminals(self) -> Mapping[str, str]:
        """Node to the name that a terminal of the drawing gives it."""
        return {t.node: t.name for t in self.drawing.terminals} if self.drawing is not None else {}

    @cached_property
    def held(self) -> Mapping[str, str]:
        """Node held by one source that stands on ground, + up, to that source's symbol."""
        return {
            part.first: part.symbol
            for part in self.parts
            if isinstance(part, VoltageSource) and part.second == GROUND and part.first != GROUND
        }

    @cached_property
    def driven(self) -> Mapping[str, str]:
        """Current source to the symbol of its current."""
        return {part.name: part.symbol for part in self.parts if isinstance(part, CurrentSource)}

    @cached_property
    def contributions(self) -> tuple[str, ...]:
        """What may stand in the brackets of ``V_out[Vin]``: sources, and copies of the only one where it is split."""
        from problems.circuits.off import all_contributions  # which builds on this module

        return all_contributions(self)

    @cached_property
    def names(self) -> Names:
        """Names of this circuit's quantities."""
        return Names.of(self)


def _conditions_given(
    parts: tuple[Part, ...], allowed: Mapping[str, str], values: Mapping[str, Any]
) -> tuple[str, ...]:
    """The conditions among the values; with an instant, what each capacitor and inductor starts from, even unsaid."""
    given = {name for name in values if name in allowed and not isinstance(values[name], Phasor)}
    if any(name == TIME or name in starts(parts) for name in given):
        given |= starts(parts).keys() & allowed.keys()
    return tuple(name for name in allowed if name in given)


def _missing(name: str) -> Part:
    raise KeyError(name)


def _with_settings(parts: tuple[Part, ...]) -> tuple[Part, ...]:
    """Potentiometers given the symbol of their setting: ``k``, or ``k_<name>`` where that would mean two things."""
    several = sum(isinstance(part, Potentiometer) for part in parts) > 1
    taken = several or any(part.parameters and part.parameters[0].symbol == "k" for part in parts)
    return tuple(_with_setting(part, f"k_{part.name}" if taken else "k") for part in parts)


def _with_setting(part: Part, symbol: str) -> Part:
    if not isinstance(part, Potentiometer) or part.setting_symbol == symbol:
        return part
    return replace(part, setting_symbol=symbol)


def _check_symbols(parts: tuple[Part, ...]) -> None:
    """Raises ClashingSymbol for a symbol with two units, or one that would be taken for Laplace's s."""
    units: dict[str, tuple[str, str]] = {}
    laplace = next((part.name for part in parts if part.laplace), None)
    for part in parts:
        for symbol, unit, _ in part.parameters:
            other, seen = units.setdefault(symbol, (part.name, unit))
            if seen != unit:
                raise ClashingSymbol(symbol, (other, part.name), "values of two kinds")
            if symbol == LAPLACE and laplace is not None:
                raise ClashingSymbol(symbol, (part.name, laplace), "a value and for Laplace's s")
