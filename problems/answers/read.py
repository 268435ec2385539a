"""What a learner typed, read as a statement: a value for the step asked, ``Q = …``, or an equation."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

from problems.answers.direction import Direction, direction, split_direction
from problems.answers.vocabulary import vocabulary
from problems.circuits.netlist import Netlist
from problems.formulas.expression import Name
from problems.formulas.parser import Reading, Unreadable, parse_sides
from problems.formulas.spelling import inert
from problems.formulas.tokens import MAX_LENGTH
from problems.quantities import Quantity, voltage

Readings = tuple[Reading, ...]


@dataclass(frozen=True)
class Statement:
    """head: the quantity stated; None for an equation. sides: the readings of what it is said to equal, in the order
    written; for an equation its two sides. direction: named beside a current, or None.
    """

    head: Quantity | None
    sides: tuple[Readings, ...]
    direction: Direction | None = None


def read(text: str, netlist: Netlist, asked: Quantity | None) -> Statement | Unreadable:
    """The statement that a text makes about a circuit. Never raises.

    asked: the quantity of the step at hand, which a bare expression is about.
    """
    if len(text) > MAX_LENGTH:
        return Unreadable("too-long", MAX_LENGTH, {"limit": str(MAX_LENGTH)})
    shorter, phrase = split_direction(text)
    sides = parse_sides(shorter, vocabulary(netlist))
    if isinstance(sides, Unreadable):
        return _of_whole(text, netlist, asked) if phrase else sides
    statement = _statement(sides, netlist, asked)
    if isinstance(statement, Unreadable) or not phrase:
        return statement
    if statement.head is None or statement.head.kind != "I":
        return Unreadable("direction-of-no-current", len(shorter), {"phrase": inert(phrase, 30)})
    way = direction(phrase, statement.head, netlist)
    if not way.sign:
        fields = {"phrase": inert(phrase, 30), "part": statement.head.of}
        return Unreadable("direction-unclear", len(shorter), fields)
    return Statement(statement.head, statement.sides, way)


def _of_whole(text: str, netlist: Netlist, asked: Quantity | None) -> Statement | Unreadable:
    """The text read without looking for a direction: what seemed one may be part of it."""
    sides = parse_sides(text, vocabulary(netlist))
    return sides if isinstance(sides, Unreadable) else _statement(sides, netlist, asked)


def _statement(sides: tuple[Readings, ...], netlist: Netlist, asked: Quantity | None) -> Statement | Unreadable:
    if len(sides) == 1:
        return Statement(asked, sides) if asked is not None else Unreadable("no-quantity")
    heads = [_lone(side, netlist) for side in sides]
    if asked is not None and asked in heads:
        place = heads.index(asked)
        return Statement(asked, sides[:place] + sides[place + 1 :])
    if heads[0] is not None:
        return Statement(heads[0], sides[1:])
    if len(sides) == 2:
        return Statement(heads[1], sides[:1]) if heads[1] is not None else Statement(None, sides)
    return Unreadable("several-equals-signs")


def _lone(side: Readings, netlist: Netlist) -> Quantity | None:
    """The quantity that a side consists of, if it does; the symbol of a source is the voltage that it holds."""
    if len(side) != 1 or not isinstance(side[0].expression, Name):
        return None
    key: Hashable = side[0].expression.key
    held = {symbol: voltage(node) for node, symbol in netlist.held.items()}
    return key if isinstance(key, Quantity) else held.get(str(key))
