"""Which names are suggested for a word that is none."""

from __future__ import annotations

import pytest

from problems.answers.vocabulary import vocabulary
from problems.problem import Circuit
from problems.quantities import UnknownQuantity
from problems.templates.library import family

IN_ORDER = ("I_Ra", "I_Rb", "I_Rf", "I_Rc")
"""As the drawing has them, row by row."""


@pytest.fixture
def circuit() -> Circuit:
    return family("inverting-summing").problem(seed=1).circuit


@pytest.mark.parametrize("word", ["xyzzy", "foo", "U"])
def test_a_word_like_nothing_here_is_told_some_names_of_each_kind(word: str, circuit: Circuit) -> None:
    near = vocabulary(circuit).near(word)
    assert {name[:2] for name in near} >= {"V_", "I_"}
    assert set(near) & set(circuit.units)
    assert "V_0" not in near
    assert len(near) == 8


def test_names_equally_near_come_in_the_order_of_the_circuit(circuit: Circuit) -> None:
    assert vocabulary(circuit).near("I_R")[:4] == IN_ORDER


@pytest.mark.parametrize("name", ["inverting", "cascade", "current-to-voltage", "non-inverting-summing"])
def test_what_the_problem_leads_over_is_named_first_each_by_one_name_and_never_ground(name: str) -> None:
    problem = family(name).problem(seed=7)
    _, verdict = problem.begin().state("V_x = 3")
    known = verdict.message.partition("Names here: ")[2].rstrip(".").split(", ")
    steps = [step.label for step in problem.steps]
    assert known[: len(steps)] == steps[:8]
    assert len({problem.circuit.names.readings.get(word, word) for word in known}) == len(known)
    assert "V_0" not in known
    assert not {f"V_{node}" for node in problem.circuit.held} & set(known), "Vin stands for V_in"


def test_a_likely_slip_of_the_pen_goes_before_all(circuit: Circuit) -> None:
    assert vocabulary(circuit).near("V_oot", ("V_2", "I_Ra"))[:3] == ("V_out", "V_2", "I_Ra")


def test_a_quantity_that_is_not_there_is_told_near_ones_in_order(circuit: Circuit) -> None:
    with pytest.raises(UnknownQuantity) as caught:
        circuit.names.read("I_R")
    assert caught.value.known[:4] == IN_ORDER
    with pytest.raises(UnknownQuantity) as caught:
        circuit.names.read("zzz")
    assert {name[:2] for name in caught.value.known} == {"V_", "I_"}
    assert "V_0" not in caught.value.known
