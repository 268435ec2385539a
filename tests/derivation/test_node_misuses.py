"""Ways a node equation goes wrong: each is made, and what it gives is told by its cause."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest
from resistive_families import resistive_families
from station_lesson import vane
from wrong_values import shares, size_of, steps_of, unrelated

from problems import Circuit, CurrentSource, OpAmp, Resistor, VoltageSource, ask
from problems.answers.judge import OUTSIDE_ATTEMPT, judge
from problems.answers.moves import fits
from problems.formulas.printers import decimal


def lifted() -> Circuit:
    """An inverter whose + input sits at 1.2 V: at pin 2 meet Ri from 4.1 V and Rf from the output."""
    return Circuit(
        [
            VoltageSource("Vin", "in", "0", "4.1 V"),
            VoltageSource("Vref", "3", "0", "1.2 V"),
            Resistor("Ri", "in", "2", "8.2k"),
            Resistor("Rf", "2", "out", "27k"),
            OpAmp("U1", plus="3", minus="2", out="out"),
        ]
    )


def joined() -> Circuit:
    """Two sources and a load on one node, with a current source into it."""
    return Circuit(
        [
            VoltageSource("V1", "p", "0", "5 V"),
            VoltageSource("V2", "q", "0", "-2 V"),
            Resistor("R1", "p", "a", "1k"),
            Resistor("R2", "q", "a", "2.2k"),
            Resistor("R3", "a", "0", "4.7k"),
            CurrentSource("I1", "0", "a", "0.7 mA"),
        ]
    )


V1, V2, I1 = Fraction(5), Fraction(-2), Fraction(7, 10_000)
G1, G2, G3 = Fraction(1, 1000), Fraction(1, 2200), Fraction(1, 4700)
R1, R2, R3 = 1 / G1, 1 / G2, 1 / G3

LIFTED = [
    pytest.param(Fraction(12, 10), "branch-left-out", id="the term of Ri left out"),
    pytest.param(Fraction(12, 10) + Fraction(270, 82) * Fraction(29, 10), "term-sign", id="far less near in one term"),
    pytest.param(Fraction(12, 10) * (1 + Fraction(270, 82)), "far-end-grounded", id="far end of Ri at 0 V"),
    pytest.param(-Fraction(270, 82) * Fraction(41, 10), "virtual-ground-assumed", id="pin 2 taken at 0 V"),
]
JOINED = [
    pytest.param((V1 * G1 + I1) / (G1 + G3), "branch-left-out", id="a neighbour left out"),
    pytest.param((V1 * G1 + V2 * G2) / (G1 + G2 + G3), "branch-left-out", id="the current source left out"),
    pytest.param((V1 * G1 + V2 * G2 - I1) / (G1 + G2 + G3), "branch-sign", id="the current source turned round"),
    pytest.param((V1 * G1 - V2 * G2 + I1) / (G1 - G2 + G3), "term-sign", id="a term turned round"),
    pytest.param((V1 * G1 + I1) / (G1 + G2 + G3), "far-end-grounded", id="the far end of R2 at 0 V"),
    pytest.param((V1 * R1 + V2 * R2) / (R1 + R2 + R3), "resistances-as-weights", id="weighed by resistances"),
    pytest.param((V1 + V2) / 3, "neighbours-averaged", id="a plain average"),
]


def judged(circuit: Circuit, name: str, value: Fraction) -> tuple[str, str | None]:
    verdict = ask(circuit, name, method="nodes").check(name, f"{decimal(value, 8)} V")
    return verdict.kind, verdict.wrong_move


@pytest.mark.parametrize(("value", "key"), LIFTED)
def test_a_slip_in_the_node_equation_of_an_input_is_told_or_asked_about(value: Fraction, key: str) -> None:
    """A stage formula recalled wrongly may give the same value; then both are asked about."""
    problem = ask(lifted(), "V_out", method="nodes")
    assert judged(lifted(), "V_out", value) in {("wrong-move", key), ("unclear", None)}
    assert key in {fit.misuse.key for fit in fits(problem.lesson, problem.asked[0], value)}


@pytest.mark.parametrize(("value", "key"), JOINED)
def test_a_slip_in_the_node_equation_of_a_plain_node_is_named(value: Fraction, key: str) -> None:
    assert judged(joined(), "V_a", value) == ("wrong-move", key)


def test_no_misuse_of_a_node_equation_is_the_right_relation_again() -> None:
    for circuit, name in ((lifted(), "V_out"), (joined(), "V_a")):
        problem = ask(circuit, name, method="nodes")
        assert all(move.exact != problem.lesson.values[problem.asked[0]] for move in problem.steps[-1].wrong_moves)


def test_a_slip_of_a_step_by_nodes_costs_no_name_in_a_lesson_by_laws() -> None:
    lesson = vane()
    quantity = lesson.netlist.names.read("V_out")
    by_laws = {misuse.key for misuse in lesson.teaching((quantity,)).misuses(quantity)}
    by_nodes = {misuse.key for misuse in lesson.teaching((quantity,), "nodes").misuses(quantity)}
    assert "term-sign" in by_nodes - by_laws


def test_unrelated_wrong_values_are_seldom_given_a_cause_in_a_walk_by_nodes() -> None:
    dice = random.Random(3)
    counts: Counter[str] = Counter()
    for family in resistive_families():
        problem = replace(family.problem(seed=2), method="nodes")
        for quantity in steps_of(problem):
            size = size_of(problem, quantity)
            for _ in range(12 if size else 0):
                text = f"{unrelated(size, dice)} {quantity.unit}"
                counts[judge(problem.lesson, text, quantity, {}, OUTSIDE_ATTEMPT).kind] += 1
    named, asked = shares(counts)
    assert named <= 0.03
    assert asked <= 0.08
