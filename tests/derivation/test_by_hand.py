"""The program's walks against derivations written by hand from the drawings (``by_hand.toml``)."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from problems import families, family
from problems.derivation.step import Step
from problems.quantities import canonical

TABLES: dict[str, Any] = tomllib.loads(Path(__file__).with_name("by_hand.toml").read_text(encoding="utf-8"))
LINES: dict[str, Any] = tomllib.loads(Path(__file__).with_name("by_hand_lines.toml").read_text(encoding="utf-8"))
LAWS = {
    "inputs": {"equal-inputs"},
    "junction": {"same-current", "kcl"},
    "path": {"hop"},
    "divider": {"divider"},
    "ohm": {"ohm"},
    "series": {"chain-current"},
    "no input current": {"no-current"},
    "difference": {"drop"},
}
"""The word on the board, and the laws of the program that it stands for."""
SEEDS = (3, 0, 17)
FAMILIES = pytest.mark.parametrize("name", TABLES)


def by_hand(name: str) -> list[tuple[str, str, str]]:
    """Quantity, word of the law and relation of every step on the board, with the program's names of quantities."""
    table = TABLES[name]
    names = table.get("names", {})
    return [tuple(_renamed(field, names) for field in step) for step in table["steps"]]  # type: ignore[misc]


def _renamed(text: str, names: dict[str, str]) -> str:
    return re.sub(r"\b[VI]_\w+", lambda found: names.get(found[0], found[0]), text)


def defended(name: str) -> dict[str, str]:
    """Quantity to the program's law, where its line may differ."""
    return {quantity: law for quantity, law, _ in TABLES[name].get("defended", ())}


def rests_on(relation: str) -> set[str]:
    return set(re.findall(r"\b[VI]_[\w.]+", relation))


def differs(step: Step, word: str, relation: str, known: set[str]) -> bool:
    """Whether a step uses another law than the board does, or rests on other quantities."""
    return step.law not in LAWS[word] or set(step.uses) - known != rests_on(relation) - known


def test_twelve_families_of_the_library_are_written_by_hand() -> None:
    assert len(TABLES) >= 12
    assert set(TABLES) <= {entry.name for entry in families()}


@pytest.mark.parametrize("seed", SEEDS)
@FAMILIES
def test_the_walk_goes_over_the_quantities_of_the_board_in_its_order(name: str, seed: int) -> None:
    steps = family(name).problem(seed=seed).steps
    assert [step.quantity for step in steps] == [quantity for quantity, _, _ in by_hand(name)]


@pytest.mark.parametrize("seed", SEEDS)
@FAMILIES
def test_each_step_uses_the_law_of_the_board_unless_the_difference_is_defended(name: str, seed: int) -> None:
    problem = family(name).problem(seed=seed)
    known = {canonical(quantity) for quantity in problem.circuit.lesson.givens}
    board = {quantity: (word, relation) for quantity, word, relation in by_hand(name)}
    found = {step.quantity: step.law for step in problem.steps if differs(step, *board[step.quantity], known)}
    assert found == defended(name)


@FAMILIES
def test_every_line_of_the_board_is_taken_as_right(name: str) -> None:
    attempt = family(name).problem(seed=3).begin()
    for quantity, _, relation in by_hand(name):
        attempt, verdict = attempt.state(f"{quantity} = {relation}")
        assert verdict.kind == "right", (quantity, relation, verdict.message)
    assert attempt.done


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("name", LINES)
def test_every_line_of_the_board_is_taken_as_right_whichever_way_the_walk_goes(name: str, seed: int) -> None:
    attempt = family(name).problem(seed=seed).begin()
    for quantity, relation in LINES[name]:
        attempt, verdict = attempt.state(f"{quantity} = {relation}")
        assert verdict.kind == "right", (quantity, relation, verdict.message)
    assert attempt.done


@pytest.mark.parametrize("name", [name for name in TABLES if "defended" in TABLES[name]])
def test_a_defended_difference_says_why(name: str) -> None:
    for _, _, reason in TABLES[name]["defended"]:
        assert len(reason.split()) > 3
