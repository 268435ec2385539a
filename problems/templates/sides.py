"""What stands on one side of a comparison in a keep-rule: a formula in the names of the circuit."""

from __future__ import annotations

import re
from collections.abc import Collection, Hashable
from fractions import Fraction
from typing import NamedTuple

from problems.answers.vocabulary import vocabulary
from problems.circuits.netlist import Netlist
from problems.formulas.expression import FUNCTIONS, Expression, Name, Number, keys, substitute
from problems.formulas.parser import Unreadable, parse
from problems.formulas.spelling import inert
from problems.formulas.units import UNITS, Dimension, UnitClash, dimension_of
from problems.quantities import Quantity, loosened, voltage
from problems.templates.faults import near
from problems.words import say

_WORD = re.compile(r"[^\W\d]\w*(?:\.\w+)*(?:,\s*\w+)?")
_KNOWN_WORDS = frozenset(FUNCTIONS) | frozenset(UNITS) | {"pi"}


class Side(NamedTuple):
    """One meaning of a side. dimension: None where bare numbers leave it open."""

    expression: Expression
    dimension: Dimension | None


class BadSide(ValueError):
    """A side that cannot be read. text: what was written, safe to print. message: why not, and what would do."""

    def __init__(self, text: str, message: str):
        self.text, self.message = text, message
        super().__init__(message)


def read_side(text: str, netlist: Netlist) -> tuple[Side, ...]:
    """The meanings of a side, likeliest first. Raises BadSide."""
    known = vocabulary(netlist)
    readings = parse(text, known)
    if isinstance(readings, Unreadable):
        raise BadSide(inert(text), say(f"unreadable.{readings.key}", place=readings.place + 1, **readings.fields))
    found: list[Side] = []
    clash: UnitClash | None = None
    for reading in readings:
        try:
            found.append(Side(_without_pairs(reading.expression), dimension_of(reading.expression, known.dims)))
        except UnitClash as error:
            clash = clash or error
    if not found:
        raise BadSide(inert(text), str(clash))
    return tuple(found)


def _without_pairs(expression: Expression) -> Expression:
    """The formula with the voltage between two nodes written as a difference: a solution lists no pairs of nodes."""
    pairs: dict[Hashable, Expression] = {
        key: Name(voltage(key.of)) - Name(voltage(key.to))
        for key in keys(expression)
        if isinstance(key, Quantity) and key.kind == "B"
    }
    return substitute(expression, pairs) if pairs else expression


def search_side(text: str, words: Collection[str]) -> tuple[Side, ...]:
    """A side of a circuit whose drawing cannot be read: only words that are nowhere in the drawing are refused."""
    for name in _WORD.findall(text):
        if name not in _KNOWN_WORDS and name not in words and not could_be(name, words):
            raise BadSide(inert(text), say("family.unknown-quantity.says", name=inert(name), near=near(name, words)))
    return (Side(Number(Fraction(0)), None),)


def could_be(name: str, words: Collection[str]) -> bool:
    """Whether a name speaks of something that a drawing has a word for."""
    kind, _, of = name.partition("_")
    if re.fullmatch(r"k(_\w+)?", name):
        return True
    if kind not in ("V", "I") or not of:
        return False
    spelled = {loosened(word) for word in words} | {loosened(word[1:]) for word in words if word[0] in "Vv"}
    parts = (part.strip() for part in re.split(r"[.,]", of))
    return all(re.fullmatch(r"\d+|[+-]|top|bottom|n\d+", part) or loosened(part) in spelled for part in parts)
