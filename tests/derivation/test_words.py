"""Every law and every wrong move, wherever it can occur, has all its sentences with all their fields."""

from __future__ import annotations

import pytest
from published_cases import circuit_of, published
from wrong_move_catalogue import entries

from problems import families
from problems.circuits.netlist import Netlist
from problems.derivation.law import Law
from problems.derivation.lesson import Lesson
from problems.derivation.step import worded
from problems.quantities import Quantity

PARTS = ("name", "goal", "look", "rule", "why")


def circuits() -> dict[str, Netlist]:
    found: dict[str, Netlist] = {f.name: f.problem(seed=3).circuit for f in families()}
    found |= {entry.id.partition("-")[0]: entry.netlist for entry in entries()}
    return found | {case["id"]: circuit_of(case) for case in published("resistive")}


CIRCUITS = circuits()


def laws_of(lesson: Lesson) -> list[Law]:
    pairs = [
        Quantity("B", first, second)
        for first, second in zip(lesson.netlist.nodes, lesson.netlist.nodes[1:], strict=False)
    ]
    return [*lesson.laws.laws, *(law for pair in pairs for law in lesson.laws_for(pair))]


@pytest.mark.parametrize("name", CIRCUITS)
def test_every_law_says_what_it_is_and_why(name: str) -> None:
    lesson = Lesson.of(CIRCUITS[name])
    for law in laws_of(lesson):
        step = lesson.step(law)
        for part in PARTS:
            said = step.word(part)
            assert said
            assert "{" not in said


@pytest.mark.parametrize("name", CIRCUITS)
def test_every_misuse_says_what_it_is_and_asks(name: str) -> None:
    lesson = Lesson.of(CIRCUITS[name])
    for law in laws_of(lesson):
        for misuse in lesson.laws.misuses_of(law):
            move = worded(misuse, 1, law.head)
            for said in (move.name, move.why, move.ask):
                assert said
                assert "{" not in said
