"""A part's own name in a typed formula stands for its value, where parts share the name of one value."""

from __future__ import annotations

import pytest
from station_lesson import vane

from problems import Circuit, Family, OpAmp, Resistor, VoltageSource, families, family
from problems.answers.judge import judge
from problems.answers.vocabulary import vocabulary


@pytest.mark.parametrize("name", ["ladder", "howland", "instrumentation-three"])
def test_every_part_of_a_family_may_be_called_by_its_own_name(name: str) -> None:
    netlist = family(name).problem(seed=3).lesson.netlist
    known = vocabulary(netlist)
    shared = [part for part in netlist.parts if isinstance(part, Resistor) and part.symbol != part.name]
    assert shared
    assert all(known.names(part.name) == part.symbol for part in shared)
    assert not {part.name for part in shared} & {*known.shown}, "what is suggested is what is printed"


def test_a_formula_in_part_names_is_judged_as_the_one_in_symbols() -> None:
    lesson = family("ladder").problem(seed=3).lesson
    for text in ("I_R1*R1 = Vin - V_a", "I_R1*R = Vin - V_a"):
        assert judge(lesson, text, None, {}).right, text


def test_a_name_that_means_something_else_keeps_its_meaning() -> None:
    parts = [
        VoltageSource("Vin", "in", "0", "1 V"),
        Resistor("R1", "in", "2", "Rs"),
        Resistor("r_s", "2", "out", "Rx"),
        Resistor("mA", "out", "0", "Ry"),
        OpAmp("U1", plus="0", minus="2", out="out"),
    ]
    known = vocabulary(Circuit(parts, {"Rs": "1k", "Rx": "2k", "Ry": "3k"}).lesson.netlist)
    assert known.names("R1") == "Rs"
    assert known.names("r_s") is None
    assert known.nearly("r_s") == "Rs"
    assert known.names("mA") is None


@pytest.mark.parametrize("known", families(), ids=lambda known: known.name)
def test_names_that_were_known_mean_what_they_meant(known: Family) -> None:
    netlist = known.problem(seed=3).lesson.netlist
    names = vocabulary(netlist)
    assert all(names.names(symbol) == symbol for symbol in netlist.units)


def test_a_half_of_a_track_is_told_in_words() -> None:
    verdict = judge(family("pot-balance").problem(seed=8).lesson, "V_3 = 0.7535 V", None, {})
    assert "the lower part of Rp" in verdict.message
    assert "Rp.bottom" not in verdict.message


def test_a_pure_number_is_not_said_to_have_a_unit() -> None:
    lesson = family("second-order-low-pass").problem(seed=3).lesson
    verdict = judge(lesson, "Q = 3 V", None, {})
    assert verdict.kind == "unit-wrong"
    assert "Q is a pure number and takes no unit" in verdict.message


def test_a_half_keeps_its_name_where_a_current_is_named() -> None:
    assert "I_Rp.bottom" in {*vocabulary(vane().netlist).shown}
