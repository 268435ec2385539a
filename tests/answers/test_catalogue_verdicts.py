"""Every wrong value of the catalogue is named or asked about; other names and a mirrored drawing change nothing."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from drawing_tools import mirrored
from resistive_families import resistive_families
from wrong_move_catalogue import NOT_PRODUCED, Entry, built, entries

from problems import Circuit, Problem, ask, family
from problems.answers.judge import judge
from problems.circuits.netlist import Netlist
from problems.derivation.lesson import Lesson

ENTRIES = [entry for entry in entries() if entry.id not in NOT_PRODUCED]
OTHER_NAMES = {
    "R1": "Ra7",
    "Rf": "Rk",
    "R2": "R_x",
    "R3": "Rs3",
    "R4": "Rm",
    "Ra": "Rj",
    "Rb": "R9",
    "Rp": "Rpot",
    "RL": "Rload",
}
NAMED = {"wrong-move", "unclear"}


def kind_of(netlist: Netlist, step: str, value: float) -> str:
    quantity = netlist.names.read(step)
    return judge(Lesson.of(netlist), f"{value!r} {quantity.unit}", quantity, {}, earlier=None).kind


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry.id)
def test_a_wrong_value_of_the_catalogue_is_named_or_asked_about(entry: Entry) -> None:
    assert kind_of(entry.netlist, entry.step, entry.wrong) in NAMED


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry.id)
def test_the_same_with_other_names_of_the_parts(entry: Entry) -> None:
    netlist = built(entry.net, entry.netlist.values, OTHER_NAMES)
    letter, _, name = entry.step.partition("_")
    step = f"{letter}_{OTHER_NAMES.get(name, name)}"
    assert kind_of(netlist, step, entry.wrong) in NAMED


def test_the_right_value_of_an_entry_is_right() -> None:
    for entry in ENTRIES:
        quantity = entry.netlist.names.read(entry.step)
        text = f"{entry.right!r} {quantity.unit}"
        assert judge(Lesson.of(entry.netlist), text, quantity, {}, earlier=None).kind == "right", entry.id


def mirror_of(problem: Problem) -> Problem:
    """The same problem drawn from right to left; lying parts then begin at their other end."""
    drawing = mirrored(problem.drawing)
    circuit = Circuit.from_drawing(drawing, problem.circuit.values, package=problem.circuit.package)
    return replace(ask(circuit, *problem.asks), recalled=problem.recalled)


@pytest.mark.parametrize("name", [f.name for f in resistive_families()])
def test_a_mirrored_drawing_has_the_same_node_voltages_and_names_the_same_wrong_moves(name: str) -> None:
    for seed in range(4):
        problem = family(name).problem(seed=seed)
        if any(step.role == "close" for step in problem.steps):
            # an unknown is closed on by any law that does, and a mirror may choose another of equal cost
            continue
        other = mirror_of(problem)
        for asked in other.asked:
            if asked.kind != "V":
                continue
            assert other.lesson.values[asked] == problem.lesson.values[asked]
            for move in problem.lesson.wrong_moves(asked):
                if not close(move.exact, problem.lesson.values[asked]):
                    text = f"{float(move.exact)!r} V"
                    here = judge(problem.lesson, text, asked, {}, earlier=None)
                    there = judge(other.lesson, text, asked, {}, earlier=None)
                    assert there.kind in NAMED, (name, seed, asked, move.key, there.kind)
                    if here.kind == "wrong-move" == there.kind:
                        assert here.wrong_move == there.wrong_move


def close(value: Fraction, right: Fraction) -> bool:
    return abs(value - right) <= abs(right) / 100 if right else abs(value) < Fraction(1, 20)
