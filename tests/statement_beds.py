"""Circuits to make statements about: families and random ones, each with two sets of values solved in floats."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache

import nodal_judge
from random_circuits import draw
from resistive_families import resistive_families
from terms import Term, World, name

from problems.circuits.netlist import Netlist
from problems.circuits.parts import Part
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.potentiometer import Potentiometer
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource
from problems.derivation.lesson import Lesson

KNOWN = (Resistor, Potentiometer, VoltageSource, CurrentSource, OpAmp)


@dataclass(frozen=True)
class Element:
    """A resistance between two nodes. current: name of its current. whole: the part, or "" for half a track."""

    current: str
    first: str
    second: str
    ohms: Term
    whole: str


@dataclass(frozen=True)
class Bed:
    """A circuit to speak about, with its two sets of values."""

    netlist: Netlist
    lesson: Lesson
    worlds: tuple[World, World]
    elements: tuple[Element, ...]
    meeting: dict[str, list[tuple[str, int]]]
    """Node to the currents that meet there, +1 where one leaves."""
    in_names: Lesson | None = None

    @property
    def nodes(self) -> tuple[str, ...]:
        return self.netlist.nodes[1:]


def bed_of(netlist: Netlist, dice: random.Random) -> Bed | None:
    """None where the circuit cannot be judged or taught."""
    if not all(isinstance(part, KNOWN) for part in netlist.parts):
        return None
    second = netlist.with_values(
        {symbol: _other(value, netlist.units[symbol], dice) for symbol, value in netlist.values.items()}
    )
    try:
        lesson = Lesson.of(netlist)
        lesson.check_rules_hold()
        worlds = (_world(netlist), _world(second))
    except (ValueError, nodal_judge.Undecided):
        return None
    return Bed(netlist, lesson, worlds, tuple(_elements(netlist)), _meeting(netlist))


def _other(value: Fraction, unit: str, dice: random.Random) -> Fraction:
    if not unit:
        return value if value in (0, 1) else Fraction(dice.randint(11, 89), 100)
    return value * Fraction(dice.randint(500, 2000), 1000)


def _world(netlist: Netlist) -> World:
    judged = nodal_judge.judge(netlist, limit=1e8)
    of = {symbol: float(value) for symbol, value in netlist.values.items()}
    volts = _clean(judged.voltages)
    most = max(map(abs, volts.values()))
    apart = {(node, other): volts[node] - volts[other] for node in volts for other in volts}
    apart = {pair: value if abs(value) > 1e-11 * most else 0.0 for pair, value in apart.items()}
    for part in netlist.parts:
        if not isinstance(part, OpAmp):
            of[f"V_{part.name}"] = apart[part.nodes[0], part.nodes[1]]
    for node, value in volts.items():
        of[f"V_{node}"] = value
        of.update({f"V_{node},{other}": apart[node, other] for other in volts if other != node})
    of |= {f"I_{label}": value for label, value in _clean(judged.currents, most / 1e6).items()}
    return World(of, most)


def _clean(values: dict[str, float], least: float = 0.0) -> dict[str, float]:
    """The values, with 0 for what is only the rest of a rounding. least: the largest is at least so much."""
    largest = max(least, *map(abs, values.values()))
    return {key: value if abs(value) > 1e-11 * largest else 0.0 for key, value in values.items()}


def _elements(netlist: Netlist) -> Iterator[Element]:
    for part in netlist.parts:
        if isinstance(part, Resistor) and part.first != part.second:
            yield Element(f"I_{part.name}", part.first, part.second, name(part.symbol), part.name)
        elif isinstance(part, Potentiometer):
            share, track = name(part.share), name(part.symbol)
            if part.top != part.wiper and netlist.values[part.share] != 1:
                yield Element(f"I_{part.name}.top", part.top, part.wiper, track - share * track, "")
            if part.wiper != part.bottom and netlist.values[part.share]:
                yield Element(f"I_{part.name}.bottom", part.wiper, part.bottom, share * track, "")


def _meeting(netlist: Netlist) -> dict[str, list[tuple[str, int]]]:
    found: dict[str, list[tuple[str, int]]] = {}
    for part in netlist.parts:
        if isinstance(part, OpAmp):
            ends = [(f"I_{part.name}", part.out, -1)]
        elif isinstance(part, Potentiometer):
            ends = [
                (f"I_{part.name}.{half}", node, sign)
                for half, nodes in (("top", (part.top, part.wiper)), ("bottom", (part.wiper, part.bottom)))
                if nodes[0] != nodes[1]
                for node, sign in zip(nodes, (1, -1), strict=True)
            ]
        elif part.nodes[0] == part.nodes[1]:
            continue
        else:
            ends = [(f"I_{part.name}", part.nodes[0], 1), (f"I_{part.name}", part.nodes[1], -1)]
        for label, node, sign in ends:
            found.setdefault(node, []).append((label, sign))
    return found


@cache
def beds(count: int, seed: int = 0) -> tuple[Bed, ...]:
    """So many circuits: the families in turn, and as many at random."""
    dice = random.Random(f"beds {seed}")
    found: list[Bed] = []
    kinds = resistive_families()
    number = 0
    while len(found) < count:
        number += 1
        netlist: Netlist = (
            kinds[number // 2 % len(kinds)].problem(seed=number).circuit if number % 2 else draw(number + 7000 * seed)
        )
        bed = bed_of(netlist, dice)
        if bed is not None:
            found.append(replace(bed, in_names=_in_names(bed)))
    return tuple(found)


def _without_value(part: Part) -> Part:
    """The part with its name for a value."""
    if isinstance(part, Potentiometer):
        return replace(part, value=None, setting=None)
    if isinstance(part, Resistor | VoltageSource | CurrentSource):
        return replace(part, value=None)
    return part


def _in_names(bed: Bed) -> Lesson | None:
    """The lesson of the same circuit with names for all values; of small circuits only, since formulas grow."""
    netlist = bed.netlist
    if len(netlist.parts) > 8 or not all(value for value in netlist.values.values()):
        return None
    parts = [_without_value(part) for part in netlist.parts]
    try:
        lesson = Lesson.of(Netlist(parts, package=netlist.package))
        lesson.check_rules_hold()
        return lesson if not lesson.is_numeric and lesson.netlist.units == netlist.units else None
    except ValueError:
        return None
