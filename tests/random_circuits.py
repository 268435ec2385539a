"""Random circuits with op-amps: seeded, so that every run draws the same ones."""

from __future__ import annotations

import random
from fractions import Fraction

from problems.circuits.netlist import Netlist
from problems.circuits.parts import Part
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.potentiometer import Potentiometer
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource

E12 = (10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82)


def draw(seed: int, ladders: bool = False) -> Netlist:
    """A circuit of 3 to 12 nodes, ground counted, and one to three op-amps; it may have no or many solutions.

    ladders: with a ladder of resistors hung on one of its nodes, which a source or another node may feed from its far
    end; the rest is the same as without.
    """
    dice = random.Random(seed)
    size = dice.randint(3, 12)
    nodes = ["0", *(f"n{number}" for number in range(1, size))]
    amps = min(dice.randint(1, 3), (size - 1) // 2)
    outputs = dice.sample(nodes[1:], amps)
    parts: list[Part] = [VoltageSource("V1", dice.choice(_others(nodes[1:], outputs)), "0", _amount(dice))]
    for number, out in enumerate(outputs, 1):
        minus = dice.choice(_others(nodes[1:], [out]) if dice.random() < 0.9 else [out])
        plus = "0" if dice.random() < 0.25 else dice.choice(_others(nodes[1:], [minus, out]) or ["0"])
        parts.append(OpAmp(f"U{number}", plus, minus, out))
        if minus != out and dice.random() < 0.8:
            parts.append(Resistor(f"Rf{number}", minus, out, _ohms(dice)))
    parts += _spanning(dice, nodes)
    for number in range(dice.randint(1, size)):
        first, second = dice.sample(nodes, 2)
        parts.append(Resistor(f"Rx{number}", first, second, _ohms(dice)))
    parts += _extras(dice, nodes)
    if ladders:
        parts += _ladder(random.Random(f"ladder {seed}"), nodes)
    return Netlist(parts)


def divided(seed: int) -> Netlist:
    """Sources and resistors alone: a ladder with a source at its head, and rungs that lead to ground or to sources."""
    dice = random.Random(f"divided {seed}")
    parts: list[Part] = [VoltageSource("V0", "l0", "0", _amount(dice)), Resistor("R0", "l0", "l1", _ohms(dice))]
    return Netlist([*parts, *_ladder(dice, ["0", "l1"], "l1", dice.random() < 0.5)])


def _ladder(dice: random.Random, nodes: list[str], head: str = "", fed: bool = True) -> list[Part]:
    """Rungs and rails of a ladder. nodes: those it may hang on or end at. head: where it starts. fed: whether sources
    may stand at the far end of rungs."""
    at = head or dice.choice(nodes[1:])
    parts: list[Part] = []
    for number in range(1, dice.randint(2, 5)):
        rung = [Resistor(f"Ry{number}", at, "0", _ohms(dice))]
        if fed and dice.random() < 0.3:
            foot = f"f{number}"
            rung = [Resistor(f"Ry{number}", at, foot, _ohms(dice))]
            parts.append(VoltageSource(f"Vy{number}", foot, "0", _amount(dice)))
        elif dice.random() < 0.3:
            rung.append(Resistor(f"Rw{number}", at, "0", _ohms(dice)))
        parts += rung
        parts.append(Resistor(f"Rz{number}", at, f"y{number}", _ohms(dice)))
        at = f"y{number}"
    end = "0" if dice.random() < 0.6 else dice.choice(nodes)
    parts.append(Resistor("Rend", at, end, _ohms(dice)))
    return parts


def _others(nodes: list[str], without: list[str]) -> list[str]:
    return [node for node in nodes if node not in without]


def _ohms(dice: random.Random) -> Fraction:
    return Fraction(dice.choice(E12) * 10 ** dice.randint(2, 4))


def _amount(dice: random.Random) -> Fraction:
    return Fraction(dice.choice([-1, 1]) * dice.randint(1, 60), 10)


def _spanning(dice: random.Random, nodes: list[str]) -> list[Part]:
    """Resistors that connect all nodes."""
    order = nodes[1:]
    dice.shuffle(order)
    reached = ["0"]
    parts: list[Part] = []
    for node in order:
        parts.append(Resistor(f"Rs{node}", dice.choice(reached), node, _ohms(dice)))
        reached.append(node)
    return parts


def _extras(dice: random.Random, nodes: list[str]) -> list[Part]:
    """Now and then another source, standing or floating, and a potentiometer, at its ends too."""
    parts: list[Part] = []
    if dice.random() < 0.6:
        second = "0" if dice.random() < 0.7 else dice.choice(nodes)
        first = dice.choice(_others(nodes, [second]))
        parts.append(VoltageSource("V2", first, second, _amount(dice)))
    if dice.random() < 0.3:
        first, second = dice.sample(nodes, 2)
        parts.append(CurrentSource("I1", first, second, _amount(dice) / 1000))
    if dice.random() < 0.4 and len(nodes) > 3:
        top, bottom, wiper = dice.sample(nodes, 3)
        share = dice.choice([Fraction(0), Fraction(1), Fraction(1, 2), Fraction(3, 10), Fraction(7, 10)])
        parts.append(Potentiometer("Rp", top, bottom, wiper, _ohms(dice), share))
    return parts


def both_inputs_driven(netlist: Netlist) -> bool:
    """Whether some op-amp has both inputs reached from a source by parts alone: not over ground or an output."""
    barred = {"0", *(amp.out for amp in netlist.opamps)}
    neighbours: dict[str, set[str]] = {node: set() for node in netlist.nodes}
    for branch in netlist.branches:
        if branch.start and branch.end:
            neighbours[branch.start].add(branch.end)
            neighbours[branch.end].add(branch.start)
    reached: list[str] = [
        node for part in netlist.parts if part.independent for node in part.nodes if node not in barred
    ]
    seen = set(reached)
    while reached:
        fresh = neighbours[reached.pop()] - seen - barred
        seen |= fresh
        reached += fresh
    return any({amp.plus, amp.minus} <= seen and amp.plus != amp.minus for amp in netlist.opamps)
