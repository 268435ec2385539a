"""What a learner typed, read as a statement: a value for the step asked, ``Q = …``, or an equation."""

from __future__ import annotations

from collections.abc import Collection, Hashable
from dataclasses import dataclass

from problems.answers.direction import Direction, direction, split_direction
from problems.answers.polar import plain_formula
from problems.answers.vocabulary import vocabulary
from problems.circuits.netlist import Netlist
from problems.formulas.expression import Name, keys
from problems.formulas.parser import Reading, Unreadable, parse_sides
from problems.formulas.spelling import inert
from problems.formulas.tokens import MAX_LENGTH
from problems.formulas.units import DIMENSIONS, Dimension, UnitClash, dimension_of
from problems.quantities import Quantity, voltage

Readings = tuple[Reading, ...]


@dataclass(frozen=True)
class Statement:
    """head: the quantity stated; None for an equation. sides: the readings of what it is said to equal, in the order
    written; for an equation its sides, each said to equal the next. direction: named beside a current, or None.
    """

    head: Quantity | None
    sides: tuple[Readings, ...]
    direction: Direction | None = None

    @property
    def quantities(self) -> frozenset[Quantity]:
        """The quantities that its sides name, in any reading."""
        named = (keys(reading.expression) for side in self.sides for reading in side)
        return frozenset(key for found in named for key in found if isinstance(key, Quantity))


def read(
    text: str, netlist: Netlist, asked: Quantity | None, settled: Collection[Quantity] | None = None
) -> Statement | Unreadable:
    """The statement that a text makes about a circuit. Never raises.

    asked: the quantity of the step at hand, which a bare expression is about. settled: what is found already; of two
    quantities side by side, the first is stated unless it is settled. None outside an attempt: then the one asked is.
    """
    if len(text) > MAX_LENGTH:
        return Unreadable("too-long", MAX_LENGTH, {"limit": str(MAX_LENGTH)})
    if netlist.regime in ("s", "f"):
        text = plain_formula(text)
    shorter, phrase = split_direction(text)
    sides = parse_sides(shorter, vocabulary(netlist))
    if isinstance(sides, Unreadable):
        return _of_whole(text, netlist, asked, settled) if phrase else sides
    statement = _statement(sides, netlist, asked, settled)
    if isinstance(statement, Unreadable) or not phrase:
        return statement
    if len(sides) == 1 and _lone(sides[0], netlist) is not None:
        return Unreadable("direction-alone", len(shorter), {"phrase": inert(phrase, 30)})
    return _directed(statement, phrase, len(shorter), netlist)


def _directed(statement: Statement, phrase: str, place: int, netlist: Netlist) -> Statement | Unreadable:
    """The statement with the direction that was named behind it."""
    if statement.head is None or statement.head.kind != "I":
        return Unreadable("direction-of-no-current", place, {"phrase": inert(phrase, 30)})
    way = direction(phrase, statement.head, netlist)
    if not way.sign:
        return Unreadable("direction-unclear", place, {"phrase": inert(phrase, 30), "part": statement.head.of})
    return Statement(statement.head, statement.sides, way)


def fitting(readings: Readings, head: Quantity | None, netlist: Netlist) -> Readings:
    """The readings whose unit can be that of a quantity, of any where ``head`` is None.

    One that has the unit goes before one whose unit bare numbers leave open: ``3/4 mA`` is 0.75 mA.
    """
    having: list[Reading] = []
    unsure: list[Reading] = []
    for reading in readings:
        try:
            dimension = dimension_in(reading, netlist)
        except UnitClash:
            continue
        if dimension is None:
            unsure.append(reading)
        elif head is None or dimension == DIMENSIONS[head.unit]:
            having.append(reading)
    return (*having, *unsure)


def dimension_in(reading: Reading, netlist: Netlist) -> Dimension | None:
    """The dimension of a reading in a circuit; None where bare numbers leave it open. Raises UnitClash."""
    return dimension_of(reading.expression, vocabulary(netlist).dims)


def _of_whole(
    text: str, netlist: Netlist, asked: Quantity | None, settled: Collection[Quantity] | None
) -> Statement | Unreadable:
    """The text read without looking for a direction: what seemed one may be part of it."""
    sides = parse_sides(text, vocabulary(netlist))
    return sides if isinstance(sides, Unreadable) else _statement(sides, netlist, asked, settled)


def _statement(
    sides: tuple[Readings, ...], netlist: Netlist, asked: Quantity | None, settled: Collection[Quantity] | None
) -> Statement | Unreadable:
    if len(sides) == 1:
        return Statement(asked, sides) if asked is not None else Unreadable("no-quantity")
    heads = [_lone(side, netlist) for side in sides]
    place = _place_of_head(heads, asked, settled)
    if place is not None:
        return Statement(heads[place], sides[:place] + sides[place + 1 :])
    return Statement(None, sides)


def _place_of_head(
    heads: list[Quantity | None], asked: Quantity | None, settled: Collection[Quantity] | None
) -> int | None:
    """Which side is the quantity stated; None for an equation. heads: the quantity that each side is, if it is one."""
    first, *others = heads
    if others == [first] and first is not None:
        return None
    if settled is not None and len(heads) == 2 and None not in heads and first in settled:
        return 1
    if asked is not None and asked in heads and (settled is None or first is None):
        return heads.index(asked)
    if first is not None:
        return 0
    return 1 if len(heads) == 2 and others[0] is not None else None


def _lone(side: Readings, netlist: Netlist) -> Quantity | None:
    """The quantity that a side consists of, if it does; the symbol of a source is the voltage that it holds."""
    if len(side) != 1 or not isinstance(side[0].expression, Name):
        return None
    key: Hashable = side[0].expression.key
    held = {symbol: voltage(node) for node, symbol in netlist.held.items()}
    return key if isinstance(key, Quantity) else held.get(str(key))
