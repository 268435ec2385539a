"""Disguised twins: the circuit of another family drawn otherwise, or a drawing like it with another law."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from family_checks import TWELVE
from nodal_judge import judge as floats_of

from problems import families, family
from problems.answers.tolerance import SHARE
from problems.circuits.netlist import Netlist
from problems.problem import Problem
from problems.quantities import Quantity
from problems.templates.content import content
from problems.templates.definition import Definition
from problems.templates.library import load_family
from problems.templates.maker import FamilyMaker, maker_of
from problems.templates.plan import Refusal
from problems.templates.sample import Sampler
from problems.templates.twin import KEY, stem_of

SEEDS = range(24)
OUT = Quantity("V", "out")


def definition_of(name: str) -> Definition:
    known = family(name)
    maker = maker_of(known.text, known.name, known.file)
    assert isinstance(maker, FamilyMaker)
    return maker.definition


TWINS = {found.name: twin for found in families() if (twin := definition_of(found.name).twin) is not None}
SAME = {"cloud-cell", "roof-vane", "three-gauges"}
"""Twins whose circuit is that of their stem; the others have another law."""
EVERY = pytest.mark.parametrize("name", sorted(TWINS))
OTHERS = pytest.mark.parametrize("name", sorted(TWINS.keys() - SAME))


def stem_values(name: str, problem: Problem) -> Mapping[str, Any]:
    """The values of a twin's parts under the names of its stem's; what the stem has besides is of any value."""
    values, names = problem.circuit.values, TWINS[name].names
    units = definition_of(TWINS[name].of).netlist.units
    given = {symbol: values.get(names.get(symbol, symbol)) for symbol in units}
    return {symbol: Fraction(7777) if value is None else value for symbol, value in given.items()}


def float_output(netlist: Netlist) -> float:
    """V_out by the tests' own float solver."""
    return floats_of(netlist).voltages["out"]


def output_of_stem(name: str, problem: Problem) -> float:
    """V_out of the stem with a twin's values, by the tests' own float solver."""
    return float_output(definition_of(TWINS[name].of).netlist.with_values(stem_values(name, problem)))


def test_each_of_the_first_twelve_has_a_twin() -> None:
    assert {twin.of for twin in TWINS.values()} >= TWELVE


@EVERY
def test_a_twin_stands_under_the_topic_of_its_stem_behind_it_and_does_not_name_the_circuit(name: str) -> None:
    twin, stem = family(name), family(TWINS[name].of)
    assert twin.topic == stem.topic
    assert twin.order > stem.order
    kinds = ("inverting", "amplifier", "follower", "summing", "converter", "cascade", "T of", "polarity", "divider")
    said = f"{twin.title} {twin.problem(seed=1).statement}"
    assert not [kind for kind in kinds if kind in said]


@EVERY
def test_the_formula_of_the_stem_gives_the_output_of_the_stem(name: str) -> None:
    for seed in SEEDS[:5]:
        problem = family(name).problem(seed=seed)
        move = stem_of(TWINS[name].of).recalled(TWINS[name].names)
        by_float = output_of_stem(name, problem)
        assert float(move.relation.at(problem.lesson.values)) == pytest.approx(by_float, rel=1e-9, abs=1e-12)


@OTHERS
def test_the_formula_of_the_stem_is_two_tolerances_off_in_every_variant(name: str) -> None:
    for seed in SEEDS:
        problem = family(name).problem(seed=seed)
        right = float_output(problem.circuit)
        assert abs(output_of_stem(name, problem) - right) >= 2 * float(SHARE) * abs(right) * (1 - 1e-9)
        assert output_of_stem(name, problem) != pytest.approx(right, abs=1e-9)


@pytest.mark.parametrize("name", sorted(SAME))
def test_the_same_circuit_in_another_drawing_has_the_same_output(name: str) -> None:
    for seed in SEEDS:
        problem = family(name).problem(seed=seed)
        assert output_of_stem(name, problem) == pytest.approx(float_output(problem.circuit), rel=1e-9, abs=1e-12)


def test_a_draw_in_which_the_formula_of_the_stem_fits_is_not_given_out() -> None:
    sampler = Sampler(definition_of("soil-probe"))
    values = sampler.variant(1)
    assert sampler.judge(values) is None
    assert sampler.judge({**values, "Vz": Fraction(0)}) == Refusal("near", "V_out", KEY)


def said_of_the_formula(name: str, text: str, problem: Problem) -> tuple[str, str | None, str]:
    verdict = problem.check("V_out", text)
    return verdict.kind, verdict.wrong_move, verdict.message


@OTHERS
def test_the_formula_of_the_stem_is_named_as_what_it_is(name: str) -> None:
    for seed in SEEDS[:12]:
        problem = family(name).problem(seed=seed)
        text = f"{output_of_stem(name, problem)!r} V"
        kind, move, message = said_of_the_formula(name, text, problem)
        assert (kind, move) == ("wrong-move", KEY), (seed, text, message)
        assert family(TWINS[name].of).title in message


@pytest.mark.parametrize(
    ("name", "formula"),
    [
        ("wind-cup", "-Vin*Rf/Ri"),
        ("soil-probe", "Vin*(1 + Rf/Rg)"),
        ("fog-cell", "Vref + (Vref - Vin)*Rf/Ri"),
        ("pier-logger", "Vin*Rb/(Ra + Rb)"),
    ],
)
def test_it_is_named_when_it_is_written_in_names(name: str, formula: str) -> None:
    for seed in SEEDS[:5]:
        kind, move, _ = said_of_the_formula(name, formula, family(name).problem(seed=seed))
        assert (kind, move) == ("wrong-move", KEY)


@pytest.mark.parametrize("name", sorted(SAME))
def test_in_the_same_circuit_the_formula_is_no_wrong_move(name: str) -> None:
    problem = family(name).problem(seed=2)
    assert KEY not in [move.key for move in problem.lesson.wrong_moves(OUT)]
    assert problem.check("V_out", f"{output_of_stem(name, problem)!r} V").kind == "right"


@pytest.mark.parametrize(
    ("mark", "key"),
    [
        pytest.param('of = "inwerting"', "stem-unknown", id="unknown family"),
        pytest.param('of = "fog-cell"', "stem-is-twin", id="a twin of a twin"),
        pytest.param('of = "wind"', "stem-is-twin", id="a twin of itself"),
        pytest.param('of = "howland"', "stem-no-formula", id="a stem without a formula"),
        pytest.param('of = "difference"', "stem-lacks", id="a part too few"),
        pytest.param('of = "inverting"\nnames = { Ri = "Rx" }', "stem-lacks", id="a name that is nowhere"),
        pytest.param('of = "inverting"\nnames = { Ri = "Vin" }', "stem-lacks", id="a name of another kind"),
        pytest.param('of = "inverting"\nnames = { Rz = "Ri" }', "stem-value", id="a value that the stem has not"),
        pytest.param('names = { Ri = "Ri" }', "missing-key", id="no stem"),
        pytest.param('of = "inverting"\nkind = "same"', "unknown-key", id="unknown key"),
        pytest.param("of = 3", "type", id="no text"),
    ],
)
def test_a_wrong_twin_mark_is_one_fault_with_its_place(mark: str, key: str, tmp_path: Path) -> None:
    text = (content("families") / "wind-cup.toml").read_text("utf-8").replace('of = "inverting"', mark)
    file = tmp_path / "wind.toml"
    file.write_text(text, "utf-8")
    faults = {fault.key: fault for fault in load_family(file).proofread()}
    assert key in faults
    assert all(fault.at.startswith("twin") for fault in faults.values())
    assert "{" not in f"{faults[key]}"


def test_a_twin_must_have_the_output_that_its_stem_asks_for(tmp_path: Path) -> None:
    text = (content("families") / "wind-cup.toml").read_text("utf-8")
    file = tmp_path / "wind.toml"
    file.write_text(text.replace("o Vout", "o Vaus").replace("V_out", "V_aus"), "utf-8")
    assert [fault.key for fault in load_family(file).proofread()] == ["stem-output"]


def test_a_stem_with_a_wiper_has_the_formula_of_every_setting() -> None:
    values: dict[Hashable, Fraction] = {"Vin": Fraction(1), "Ri": Fraction(10), "Rf": Fraction(30), "Rg": Fraction(15)}
    formula = stem_of("adjustable-polarity-gain").formula
    assert [formula.at({**values, "k": k}) for k in (0, Fraction(1, 2), 1)] == [-3, 0, 3]
