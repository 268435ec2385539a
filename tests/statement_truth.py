"""Whether a generated statement is true, by a float solver on two sets of values; and how a true one is made false.

A statement in names is true where it holds on both sets. Typed figures belong to one set and are made anew for the
other; they are true within the stated tolerance: 1 % of the quantity stated, or of the largest term of an equation.
Near that limit nothing is generated.
"""

from __future__ import annotations

import math
import random
from dataclasses import replace
from itertools import pairwise

from statement_beds import Bed
from statement_forms import Statement
from terms import ZERO, Term, World, name, put, subterms

EXACT = 1e-7
"""Share of the largest term by which floats may be off."""
INSIDE, OUTSIDE = 0.009, 0.0115
"""Typed figures are true up to the first share and false from the second."""


def changed(statement: Statement, bed: Bed, dice: random.Random) -> Statement | None:
    """The statement with one slip in it; it may still be true, which the judge will say."""
    side = dice.randrange(len(statement.sides))
    places = list(subterms(statement.sides[side]))
    way, term = dice.choice(places)
    new = _slip(term, bed, dice)
    if new is None or (statement.tail and term.op == "name"):
        # a direction is worded for its own current
        return None
    sides = list(statement.sides)
    sides[side] = put(sides[side], way, new)
    return replace(statement, sides=tuple(sides))


def _slip(term: Term, bed: Bed, dice: random.Random) -> Term | None:
    slips = {"figure": _other_figure, "name": _other_name, "+": _other_sum, "/": _other_quotient}
    if term.op in slips:
        return slips[term.op](term, bed, dice)
    return Term("+", term.parts) if term.op == "||" else -term


def _other_figure(term: Term, bed: Bed, dice: random.Random) -> Term | None:
    if dice.random() < 0.15:
        return replace(term, shift=dice.choice((-0.4, -0.1, 0.1, 0.3, 0.7))) if term.name == "V" else None
    return replace(term, factor=dice.choice((0.1, 0.5, 0.9, 0.97, 1.03, 1.1, 2.0, 10.0, -1.0, 1000.0)))


def _other_name(term: Term, bed: Bed, dice: random.Random) -> Term | None:
    if term.name[1:2] == "_" and "," not in term.name:
        same = [other for other in _names(bed) if other[:2] == term.name[:2] and other != term.name]
    else:
        same = [each.ohms.name for each in bed.elements if each.ohms.op == "name" and each.ohms.name != term.name]
    return name(dice.choice(same)) if same else None


def _other_sum(term: Term, bed: Bed, dice: random.Random) -> Term | None:
    """A term left out, or its sign turned."""
    if len(term.parts) < 2:
        return None
    index = dice.randrange(len(term.parts))
    kept = term.parts[:index] + term.parts[index + 1 :]
    if dice.random() < 0.5:
        return kept[0] if len(kept) == 1 else Term("+", kept)
    return Term("+", (*term.parts[:index], -term.parts[index], *term.parts[index + 1 :]))


def _other_quotient(term: Term, bed: Bed, dice: random.Random) -> Term | None:
    return dice.choice((term.parts[0], Term("/", term.parts[::-1]), Term("*", term.parts)))


def _names(bed: Bed) -> list[str]:
    return [f"V_{node}" for node in bed.nodes] + [element.current for element in bed.elements]


def truth(statement: Statement, bed: Bed) -> bool | None:
    """Whether it is true on both sets of values; None near the tolerance, or where it has no value or says nothing."""
    try:
        found = [_holds(statement, world) for world in bed.worlds]
        if not any(_sayings(side) for side in statement.sides):
            return None
    except (ZeroDivisionError, OverflowError):
        return None
    is_zero = ZERO in statement.sides and any(side.op == "name" for side in statement.sides)
    if is_zero or any(side.has_figures for side in statement.sides):
        # figures are those of the first set; those of the second must tell a true form as true
        return found[0] if found[0] is not True else found[1] if found[1] is not False else None
    return None if None in found else all(found)


def _sayings(term: Term) -> bool:
    return term.op == "name" or term.has_figures or any(map(_sayings, term.parts))


def _holds(statement: Statement, world: World) -> bool | None:
    sides = statement.sides
    if len(sides) == 1:
        return _is_value(world.of[statement.asked], sides[0], world, 1)
    heads = [side for side in sides if side.op == "name" and side.name[1:2] == "_"]
    if heads:
        head = heads[0]
        others = [side for side in sides if side is not head]
        return _every([_is_value(head.value(world), side, world, statement.sign) for side in others])
    return _every([_agree(left, right, world) for left, right in pairwise(sides)])


def _every(found: list[bool | None]) -> bool | None:
    return False if False in found else None if None in found else True


def _is_value(wanted: float, side: Term, world: World, sign: int) -> bool | None:
    value = sign * side.value(world)
    if not side.has_figures and side != ZERO:
        return _same(value - wanted, max(_largest(side, world), abs(wanted)))
    scale = _unit_scale(world, side)
    if abs(wanted) >= 1e-3 * scale:
        return _within(abs(value - wanted) / abs(wanted))
    if not value and abs(wanted) < EXACT * scale:
        return True
    # what is near 0 has a rule of its own
    return None if abs(value) < 0.02 * scale or wanted != 0 else False


def _unit_scale(world: World, side: Term) -> float:
    """What a value of the side's kind is small beside; a milliamp's thousandth where currents are meant."""
    return world.scale if any(term.name == "V" for _, term in subterms(side) if term.op == "figure") else 1e-3


def _agree(left: Term, right: Term, world: World) -> bool | None:
    difference = left.value(world) - right.value(world)
    largest = max(_largest(left, world), _largest(right, world))
    if not (left.has_figures or right.has_figures):
        return _same(difference, largest)
    terms = [abs(term.value(world)) for side in (left, right) for term in side.addends]
    return _within(abs(difference) / max(terms)) if max(terms, default=0.0) else None


def _within(share: float) -> bool | None:
    return True if share <= INSIDE else False if share >= OUTSIDE else None


def _same(difference: float, largest: float) -> bool | None:
    share = abs(difference) / largest if largest else 0.0
    return True if share < EXACT else False if share > 1e3 * EXACT else None


def _largest(term: Term, world: World) -> float:
    """What the parts of a formula come to without their signs: how far floats may be trusted."""
    if term.op in ("name", "figure"):
        return abs(term.value(world))
    sizes = [_largest(part, world) for part in term.parts]
    if term.op == "/":
        return sizes[0] / abs(term.parts[1].value(world))
    return math.prod(sizes) if term.op == "*" else abs(term.value(world)) if term.op == "||" else math.fsum(sizes)
