"""Makes the problems of one family: holds what is given, draws the rest, fills in the sentences."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cached_property
from typing import Any, Protocol

from problems.asks.registry import ask_kinds
from problems.formulas.printers import engineering
from problems.problem import Problem, ask
from problems.quantities import canonical
from problems.templates.bare import DrawingMaker
from problems.templates.definition import Definition, define, fill
from problems.templates.faults import FamilyFault
from problems.templates.sample import Sampler, lot, posed
from problems.templates.settings import read_settings


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
    """The maker of a file's problems; raises FamilyFault."""
    if is_drawing(text):
        return DrawingMaker(text, name, file)
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
        values, questions = list(self.definition.targets), self.definition.questions
        names = [canonical(target) for target in values]
        for question in reversed(questions):
            names.insert(question.after, ask_kinds()[question.kind].name(self.definition.netlist, question.fields))
        return tuple(names)

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
        if find:
            own = ask(circuit, *find, lot=lot(family.name, seed, 0))
            asked, questions = own.asked, own.posed
        else:
            asked, questions = family.targets, posed(family, circuit.lesson, seed)
        if held or not family.candidates:
            circuit.lesson.walk(asked)  # values of one's own may leave the circuit without a derivation
        written = {
            symbol: engineering(value, circuit.units[symbol])
            for symbol, value in circuit.values.items()
            if symbol in circuit.units
        }
        return Problem(
            circuit,
            asked,
            title=family.title,
            statement=fill(family.statement, written),
            setting=fill(family.setting, written),
            caution=family.caution,
            tips={canonical(quantity): sentence for quantity, sentence in family.hints.items()},
            recalled=family.recalled,
            posed=questions,
        )
