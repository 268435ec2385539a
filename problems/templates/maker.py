"""Makes the problems of one family: holds what is given, draws the rest, fills in the sentences."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from functools import cached_property
from typing import Any, Protocol

from problems.circuits.drawing import Drawing, read_drawing
from problems.circuits.equations import unvalued
from problems.formulas.printers import engineering
from problems.formulas.spelling import inert
from problems.formulas.values import BadValue, read_value
from problems.problem import Circuit, Problem, ask
from problems.quantities import canonical
from problems.templates.definition import Definition, define, fill
from problems.templates.faults import FamilyFault, near
from problems.templates.ranges import senseless
from problems.templates.sample import Sampler
from problems.words import say

TARGET = "V_out"
"""What is asked of a bare drawing."""


class UnknownSetting(ValueError):
    """A value to hold that the family does not have. name: as given. family: its name. known: the values it has."""

    def __init__(self, name: str, family: str, known: tuple[str, ...]):
        self.name, self.family, self.known = name, family, known
        super().__init__(say("family.unknown-setting", name=inert(name), family=family, near=near(name, known)))


class BadSetting(ValueError):
    """A value to hold that no such part can have. name, value: as given. reason: why not."""

    def __init__(self, name: str, value: str, reason: str):
        self.name, self.value, self.reason = name, value, reason
        super().__init__(say("family.bad-setting", name=name, value=inert(value), reason=reason))


class MissingValues(ValueError):
    """A bare drawing leaves values open. names: the symbols without a value."""

    def __init__(self, names: tuple[str, ...]):
        self.names = names
        super().__init__(say("family.missing-values", names=", ".join(names), first=names[0]))


class Maker(Protocol):
    """What makes problems: a family's file or a bare drawing."""

    @property
    def asks(self) -> tuple[str, ...]: ...
    @property
    def symbols(self) -> tuple[str, ...]: ...
    def problem(self, seed: int, values: Mapping[str, Any], find: tuple[str, ...]) -> Problem: ...


def is_drawing(text: str) -> bool:
    """Whether a file is a bare drawing: no line of it sets a key, as a family's file does."""
    return re.search(r"^\s*[\w\"'.-]+\s*=", text, re.MULTILINE) is None


def maker_of(text: str, name: str, file: str) -> Maker:
    """The maker of a file's problems; raises FamilyFault, DrawingError."""
    if is_drawing(text):
        return DrawingMaker(read_drawing(text), name)
    definition, faults = define(text, name, file)
    if definition is None:
        raise FamilyFault(faults)
    return FamilyMaker(definition)


class FamilyMaker:
    """Problems of a family's file."""

    def __init__(self, definition: Definition):
        self.definition = definition

    @property
    def asks(self) -> tuple[str, ...]:
        return tuple(canonical(target) for target in self.definition.targets)

    @property
    def symbols(self) -> tuple[str, ...]:
        return tuple(self.definition.netlist.units)

    @cached_property
    def sampler(self) -> Sampler:
        """Keeps what is compiled."""
        return Sampler(self.definition)

    def problem(self, seed: int, values: Mapping[str, Any], find: tuple[str, ...]) -> Problem:
        """See ``Family.problem``."""
        family = self.definition
        held = read_settings(values, family.netlist, family.name)
        circuit = family.netlist.with_values(self.sampler.variant(seed, held))
        asked = ask(circuit, *find).asked if find else family.targets
        if held or not family.candidates:
            circuit.lesson.walk(asked)  # values of one's own may leave the circuit without a derivation
        written = {symbol: engineering(value, circuit.units[symbol]) for symbol, value in circuit.values.items()}
        return Problem(
            circuit,
            asked,
            title=family.title,
            statement=fill(family.statement, written),
            setting=fill(family.setting, written),
            caution=family.caution,
            tips={canonical(quantity): sentence for quantity, sentence in family.hints.items()},
        )


class DrawingMaker:
    """Problems of a bare drawing: its values stand in its boxes or are given; naming a terminal's value drives it."""

    def __init__(self, drawing: Drawing, name: str):
        self.drawing, self.name = drawing, name

    @property
    def asks(self) -> tuple[str, ...]:
        return (TARGET,)

    @property
    def symbols(self) -> tuple[str, ...]:
        return tuple(self._circuit({name: name for name in self.drawing.terminal_names}).units)

    def problem(self, seed: int, values: Mapping[str, Any], find: tuple[str, ...]) -> Problem:
        """See ``Family.problem``; the seed has nothing to choose."""
        driven = {name: name for name in values if name in self.drawing.terminal_names}
        open_circuit = self._circuit(driven)
        held = read_settings({**open_circuit.values, **values}, open_circuit, self.name)
        circuit = open_circuit.with_values(held)
        missing = unvalued(circuit)
        if missing:
            raise MissingValues(tuple(missing))
        return ask(circuit, *(find or (TARGET,)))

    def _circuit(self, driven: Mapping[str, str]) -> Circuit:
        return Circuit(self.drawing.parts(driven), drawing=self.drawing)


def read_settings(values: Mapping[str, Any], circuit: Circuit, name: str) -> dict[str, Fraction]:
    """Values to hold, exactly, in the order of the circuit; raises UnknownSetting, BadSetting."""
    held: dict[str, Fraction] = {}
    for symbol, value in values.items():
        if symbol not in circuit.units:
            raise UnknownSetting(symbol, name, tuple(circuit.units))
        held[symbol] = _setting(symbol, value, circuit.units[symbol])
    return {symbol: held[symbol] for symbol in circuit.units if symbol in held}


def _setting(symbol: str, value: Any, unit: str) -> Fraction:
    shown = inert(str(value)) if not isinstance(value, int) or value.bit_length() < 200 else "a number of many digits"
    try:
        read = read_value(value, unit)
    except BadValue as error:
        raise BadSetting(symbol, shown, f"it {error.reason}; {error.remedy}") from None
    if not isinstance(read, Fraction):
        raise BadSetting(symbol, shown, say("family.value-name.remedy"))
    wrong = senseless(read, unit)
    if wrong is not None:
        raise BadSetting(symbol, shown, say(f"family.value-{wrong}.remedy"))
    return read
