"""The families: solved, walked, and fit to be asked; the first twelve more closely."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache

import pytest
from family_checks import OF_TEMPLATES, TWELVE, Check, complaints
from resistive_families import resistive_families

from problems.problem import Problem
from problems.quantities import Quantity
from problems.templates.content import content
from problems.templates.library import families, family

SEEDS = range(200)
"""Variants in which all that a family should offer is to occur."""
CHECKED = 12
"""Variants of every family checked here; ``tests/bench/bench_family_checks.py`` checks two hundred."""
OURS = pytest.mark.parametrize("name", sorted(TWELVE))
EVERY = pytest.mark.parametrize("name", sorted(known.name for known in families()))


@cache
def problems_of(name: str) -> tuple[Problem, ...]:
    return tuple(family(name).problem(seed=seed) for seed in SEEDS)


def test_the_twelve_are_there() -> None:
    assert {known.name for known in families()} >= TWELVE


@EVERY
def test_a_family_says_what_it_is_about(name: str) -> None:
    known = family(name)
    problem = known.problem(seed=1)
    assert known.title
    assert known.topic
    assert problem.statement
    assert problem.setting
    assert "Ebbholm" in problem.statement
    assert "{" not in problem.statement + problem.setting
    assert known.asks == problem.asks


@EVERY
def test_the_statement_gives_every_value(name: str) -> None:
    text = (content("families") / f"{name}.toml").read_text("utf-8")
    statement = re.search(r"^statement = '''(.*?)'''", text, re.DOTALL | re.MULTILINE)
    assert statement is not None
    assert set(re.findall(r"\{([^{}]+)\}", statement[1])) == set(family(name).symbols)


@EVERY
def test_the_drawing_fits_a_terminal_and_the_file_a_page(name: str) -> None:
    text = (content("families") / f"{name}.toml").read_text("utf-8")
    drawing = text.split("'''")[1]
    assert max(map(len, drawing.split("\n"))) <= 80
    assert max(map(len, text.split("\n"))) <= 120


@EVERY
def test_it_is_proofread_without_a_fault(name: str) -> None:
    assert family(name).proofread() == ()


@pytest.mark.parametrize("check", OF_TEMPLATES, ids=lambda check: check.__name__)
@pytest.mark.parametrize("name", sorted(known.name for known in resistive_families()))
def test_every_problem(name: str, check: Check) -> None:
    assert complaints(check, name, CHECKED) == []


@OURS
def test_problems_of_a_family_differ(name: str) -> None:
    assert len({tuple(problem.circuit.values.items()) for problem in problems_of(name)}) > 60


@pytest.mark.parametrize("name", ["adjustable-polarity", "adjustable-polarity-gain"])
def test_settings_at_the_ends_and_in_the_middle_occur(name: str) -> None:
    settings = {problem.circuit.values["k"] for problem in problems_of(name)}
    assert {Fraction(0), Fraction(1, 2), Fraction(1)} <= settings


@pytest.mark.parametrize(
    ("name", "first", "second"),
    [
        ("adjustable-polarity", "Ri", "Rf"),
        ("adjustable-polarity-gain", "Ri", "Rg"),
        ("inverting", "Ri", "Rf"),
        ("divider-follower", "Ra", "Rb"),
        ("inverting-summing", "Ra", "Rb"),
        ("difference", "R1", "R3"),
    ],
)
def test_equal_resistors_occur(name: str, first: str, second: str) -> None:
    assert any(p.circuit.values[first] == p.circuit.values[second] for p in problems_of(name))


@pytest.mark.parametrize(
    ("name", "branch"),
    [
        ("adjustable-polarity", "Ri"),
        ("adjustable-polarity-gain", "Rg"),
        ("inverting-reference", "Ri"),
        ("inverting-summing", "Ra"),
        ("non-inverting-summing", "Ra"),
        ("non-inverting", "Rs"),
    ],
)
def test_currents_of_zero_occur(name: str, branch: str) -> None:
    assert any(p.circuit.lesson.values[Quantity("I", branch)] == 0 for p in problems_of(name))


@OURS
def test_sources_of_either_sign_occur(name: str) -> None:
    circuit = problems_of(name)[0].circuit
    sources = [symbol for symbol, unit in circuit.units.items() if unit in ("V", "A")]
    assert sources
    for source in sources:
        signs = {problem.circuit.values[source] > 0 for problem in problems_of(name)}
        assert signs == {True, False}


# Common practice: with equal resistors the gain runs from -1 through 0 to +1; with Rf 30 k, Ri 10 k and 15 k from the
# - input to ground it runs from -3 through 0 to +3 and is +0.9 at 0.65; Rf beside the third resistor equals Ri.
@pytest.mark.parametrize(
    ("name", "values", "gain"),
    [
        pytest.param("adjustable-polarity", {"Ri": "10k", "Rf": "10k", "k": "0"}, -1, id="equal resistors, bottom"),
        pytest.param("adjustable-polarity", {"Ri": "10k", "Rf": "10k", "k": "0.5"}, 0, id="equal resistors, middle"),
        pytest.param("adjustable-polarity", {"Ri": "10k", "Rf": "10k", "k": "1"}, 1, id="equal resistors, top"),
        pytest.param("adjustable-polarity-gain", {"k": 0}, -3, id="with gain, bottom"),
        pytest.param("adjustable-polarity-gain", {"k": Fraction(1, 2)}, 0, id="with gain, middle"),
        pytest.param("adjustable-polarity-gain", {"k": 1}, 3, id="with gain, top"),
        pytest.param("adjustable-polarity-gain", {"k": "0.65"}, Fraction(9, 10), id="with gain, at 0.65"),
    ],
)
def test_the_gains_of_adjustable_polarity_are_those_of_common_practice(
    name: str, values: dict[str, object], gain: Fraction
) -> None:
    given = {"Vin": "1 V", "Rp": "10k", "Ri": "10k", "Rf": "30k"} | values
    if name == "adjustable-polarity-gain":
        given |= {"Rg": "15k"}
        assert Fraction(30 * 15, 30 + 15) == 10
    problem = family(name).problem(values=given)
    assert problem.circuit.lesson.values[Quantity("V", "out")] == gain
