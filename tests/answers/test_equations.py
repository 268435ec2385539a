"""Equations that are not ``Q = value``: true, new, named; special to these values; empty; false."""

from __future__ import annotations

import re
from functools import cache

import pytest
from station_lesson import balanced, said, vane

from problems.answers import values
from problems.answers.judge import judge
from problems.circuits.netlist import Netlist
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource
from problems.derivation.lesson import Lesson
from problems.formulas.expression import ZERO

TRUE = [
    pytest.param("(Vin - V_2)/Ri = V_2/Rg + (V_2 - V_out)/Rf", "kcl-like", id="a node equation in names"),
    pytest.param("I_Ri - I_Rf - I_Rg = 0", "kcl", id="KCL"),
    pytest.param("V_2 - V_3 = 0", "equal-inputs", id="equal inputs"),
    pytest.param("I_Ri*Ri = Vin - V_2", "", id="a drop"),
    pytest.param("V_2 - V_out = Rf*I_Rf", "", id="a hop"),
    pytest.param("(0.8 - V_2)/8.2k = I_Ri*1", "", id="with typed numbers"),
]


@pytest.mark.parametrize(("text", "law"), TRUE)
def test_a_true_equation_is_right(text: str, law: str) -> None:
    verdict = said(vane(), text, "V_out")
    assert (verdict.kind, verdict.quantity) == ("right", None), verdict.message
    assert verdict.rows
    if law in {"kcl", "equal-inputs"}:
        assert verdict.law == law


CHAINS = [
    pytest.param("(Vin - V_2)/Ri = I_Ri = I_Rf + I_Rg", "Ohm and KCL", id="a quantity between two formulas"),
    pytest.param("(Vin - V_2)/Ri = V_2/Rg + I_Rf = I_Rg + I_Rf", "KCL and Ohm", id="no lone quantity at all"),
    pytest.param("V_2 + 1 V = V_3 + 1 V = 1.56 V", "equal inputs", id="with units on both sides"),
]


@pytest.mark.parametrize(("text", "laws"), CHAINS)
def test_every_sign_of_a_chain_must_hold_and_its_laws_are_named(text: str, laws: str) -> None:
    verdict = said(vane(), text, "V_out")
    assert verdict.kind == "right"
    assert f"It states: {laws}." in verdict.message
    assert len(verdict.rows) == len(verdict.equations) == 2


def test_a_chain_to_a_value_gives_the_value_wherever_that_stands() -> None:
    for text in ("I_Ri = (Vin - V_2)/Ri = 29.3 uA", "I_Ri = 29.3 uA = (Vin - V_2)/Ri"):
        verdict = said(vane(), text, "V_out")
        assert (verdict.kind, verdict.quantity) == ("right", vane().netlist.names.read("I_Ri")), text
        assert len(verdict.equations) == 1, text


def test_a_chain_with_a_false_formula_before_a_right_value_is_not_right() -> None:
    assert said(vane(), "I_Ri = (Vin - V_out)/Ri = 29.3 uA", "V_out").kind == "wrong"


def test_a_current_named_against_its_arrow_may_be_a_formula_in_what_is_not_found() -> None:
    assert said(vane(), "I_Rg = I_Ri - I_Rf down", "V_out").kind == "right"
    assert said(vane(), "I_Rg = I_Rf - I_Ri up", "V_out").kind == "right"
    assert said(vane(), "I_Rg = I_Ri - I_Rf up", "V_out").kind == "wrong"


def test_ohm_and_a_hop_are_told_apart_by_how_they_are_written() -> None:
    assert said(vane(), "(Vin - V_2)/Ri - I_Ri = 0", "V_out").law == "ohm"
    assert said(vane(), "V_2 - Rf*I_Rf - V_out = 0", "V_out").law == "hop"


def test_what_follows_from_earlier_statements_is_known() -> None:
    text = "I_Ri - I_Rf - I_Rg = 0"
    assert said(vane(), text, I_Ri="29.268e-6", I_Rf="-17.398e-6").kind == "right"
    true = {name: str(vane().values[vane().netlist.names.read(name)]) for name in ("I_Ri", "I_Rf", "I_Rg")}
    assert said(vane(), text, **true).kind == "known"


def test_an_equation_stated_before_is_known() -> None:
    first = said(vane(), "I_Ri - I_Rf - I_Rg = 0")
    assert first.rows
    assert judge(vane(), "2*I_Ri - 2*I_Rf = 2*I_Rg", None, {}, first.rows).kind == "known"


def test_an_equation_that_gives_a_quantity_alone_is_its_value() -> None:
    verdict = said(vane(), "I_Ri - I_Rf = I_Rg", I_Ri="29.27e-6", I_Rf="-17.4e-6")
    assert (verdict.kind, verdict.quantity) == ("right", vane().netlist.names.read("I_Rg"))


def test_a_formula_in_what_is_not_found_yet_is_true_but_gives_no_value() -> None:
    verdict = said(vane(), "I_Ri - I_Rf = I_Rg")
    assert (verdict.kind, verdict.quantity, verdict.value) == ("right", None, None)
    assert not re.search(r"\d", verdict.message.replace("pin 2", ""))


def test_a_false_formula_in_what_is_not_found_yet_tells_no_value() -> None:
    verdict = said(vane(), "V_3 = V_out")
    assert (verdict.kind, verdict.value) == ("wrong", None)
    assert not re.search(r"\d", verdict.message)


def test_a_given_restated_is_known() -> None:
    assert said(vane(), "Ri = 8.2k").kind == "known"


NOT_TRUE = [
    pytest.param("(Vin - V_2)/Ri = (V_2 - V_out)/Rf", "wrong", id="a branch left out"),
    pytest.param("Vin - V_2 = I_Ri", "unit-wrong", id="sides of different units"),
    pytest.param("V_2 - V_2 = 0", "unreadable", id="true of anything"),
    pytest.param("I_Ri*Ri = Ri*I_Ri", "unreadable", id="both sides the same"),
    pytest.param("(V_2 - V_3)/(V_3 - V_2) = 1", "unreadable", id="a division by a quantity that is 0"),
    pytest.param("1 V + V_2 = 2 V + V_3 = 3 V", "wrong", id="two equals signs, the first of which does not hold"),
    pytest.param("(Vin - V_2)/Ri = I_Rg + I_Rf = (V_2 - V_out)/Rf", "wrong", id="a chain that breaks at its last sign"),
    pytest.param("(Vin - V_2)/Ri = I_Rg + I_Rf = V_2", "unit-wrong", id="a chain whose units break"),
    pytest.param("0.8 V - 0.56 V = 8.2k * 29.27 uA", "unreadable", id="figures alone, about no quantity"),
]


@pytest.mark.parametrize(("text", "kind"), NOT_TRUE)
def test_what_is_no_true_equation_gets_its_kind(text: str, kind: str) -> None:
    assert said(vane(), text, "V_out").kind == kind


def test_true_for_these_values_is_not_true_in_general() -> None:
    """With equal resistors the current could as well be written over the other one."""
    lesson = balanced("0.6")
    assert said(lesson, "(Vin - V_2)/Ri - I_Ri = 0").kind == "right"
    special = said(lesson, "(Vin - V_2)/Rf - I_Ri = 0")
    assert (special.kind, special.law) == ("unclear", None)
    assert said(lesson, "I_Ri = (Vin - V_2)/Rf").kind == "unclear"
    assert said(lesson, "I_Ri = (0.8 - 0.48)/10k").kind == "right"


@cache
def held_twice() -> Lesson:
    """An inverter whose input is held by two sources that agree."""
    return Lesson.of(
        Netlist(
            [
                VoltageSource("Va", "in", "0", "1 V"),
                VoltageSource("Vb", "in", "0", "1 V"),
                Resistor("Ri", "in", "2", "1k"),
                Resistor("Rf", "2", "out", "2k"),
                OpAmp("U1", plus="0", minus="2", out="out"),
            ]
        )
    )


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        pytest.param("V_out = -Rf*Va/Ri", "right", id="true in general"),
        pytest.param("V_out*Va = -Rf*Va*Va*Va/Ri/Vb", "right", id="true as long as the sources agree"),
        pytest.param("Rf*I_Ri = Rf*Va*Va/(Ri*Va)", "right", id="an equation"),
        pytest.param("V_2 - V_2 = 0", "unreadable", id="true of anything"),
        pytest.param("V_out = -(Rf*Rf/(Ri*Ri) - Rf/Ri)*Va", "unclear", id="true for these values only"),
    ],
)
def test_formulas_are_tried_where_sources_must_agree(text: str, kind: str) -> None:
    assert said(held_twice(), text).kind == kind


def test_nothing_holds_in_general_without_other_values_to_try(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(values, "further_values", lambda *_: ())
    assert not values.holds_generally(ZERO, vane().netlist)
