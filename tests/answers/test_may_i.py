"""“May I use … here?”: each law answered by name, with its condition and whether that holds."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from station_lesson import balanced, inverter, vane

import problems
from problems import Circuit, ask
from problems.answers.may_i import is_question, may_i
from problems.circuits.netlist import Netlist
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource
from problems.derivation.laws.registry import questions
from problems.derivation.lesson import Lesson
from problems.words import has


@cache
def loaded() -> Lesson:
    """A divider Ra, Rb with a load RL; Rp beside Rb's upper end leads to a follower's + input alone."""
    return Lesson.of(
        Netlist(
            [
                VoltageSource("Vin", "in", "0", "6 V"),
                Resistor("Ra", "in", "m", "1k"),
                Resistor("Rb", "m", "0", "2k"),
                Resistor("Rl", "m", "0", "3k"),
                Resistor("Rc", "in", "t", "1k"),
                Resistor("Rd", "t", "0", "2k"),
                Resistor("Rs", "t", "p", "5k"),
                OpAmp("U1", plus="p", minus="out", out="out"),
                Resistor("R1", "out", "0", "1k"),
            ]
        )
    )


@cache
def grounded_by_a_part() -> Lesson:
    """An inverter whose + input reaches ground through a resistor that carries nothing."""
    return Lesson.of(
        Netlist(
            [
                VoltageSource("Vin", "in", "0", "1 V"),
                Resistor("Ri", "in", "2", "1k"),
                Resistor("Rf", "2", "out", "2k"),
                Resistor("Rb", "3", "0", "680"),
                OpAmp("U1", plus="3", minus="2", out="out"),
            ]
        )
    )


@cache
def wrong_way() -> Lesson:
    """Inputs exchanged: feedback to the + input."""
    return Lesson.of(
        Netlist(
            [
                VoltageSource("Vin", "in", "0", "1 V"),
                Resistor("Ri", "in", "3", "1k"),
                Resistor("Rf", "3", "out", "2k"),
                OpAmp("U1", plus="3", minus="0", out="out"),
            ]
        )
    )


ASKED = [
    pytest.param(inverter, "may I use virtual ground at 2?", True, "pin 3 is held at 0 V", id="the inverter's"),
    pytest.param(grounded_by_a_part, "virtual ground at pin 2", True, "held at 0 V", id="ground through a dead part"),
    pytest.param(vane, "may I use virtual ground at 2", False, "Equal inputs holds", id="the other input driven"),
    pytest.param(lambda: vane(k="0"), "may I use virtual ground at 2", False, "one setting", id="0 V at this setting"),
    pytest.param(lambda: vane(vin="0 V"), "virtual ground at 2", False, "passes through 0", id="a source at 0 V now"),
    pytest.param(inverter, "virtual ground at out", False, "no input", id="not an input"),
    pytest.param(wrong_way, "virtual ground at 3", False, "not negative", id="no negative feedback"),
    pytest.param(vane, "may I use the divider at 3", True, "input pin 3 takes none", id="a divider at an input pin"),
    pytest.param(loaded, "may I use divider at m", False, "Ra, Rb and Rl all meet", id="a third part"),
    pytest.param(loaded, "divider Ra Rb at m", False, "Rl takes current at", id="the load named"),
    pytest.param(loaded, "voltage divider at t?", True, "Only Rc and Rd", id="a part that leads to an input pin alone"),
    pytest.param(inverter, "divider at out", False, "set by what drives it", id="a driven node"),
    pytest.param(vane, "may I use rules for U1", True, "both rules hold", id="the two rules"),
    pytest.param(vane, "may I use the two rules?", True, "both rules hold", id="of the only op-amp"),
    pytest.param(wrong_way, "may I use equal inputs for U1", False, "is positive", id="under positive feedback"),
    pytest.param(vane, "kcl at out?", True, "I_U1", id="KCL counts the output pin"),
    pytest.param(vane, "kcl at 2?", True, "Ri, Rg and Rf", id="KCL at an input"),
    pytest.param(vane, "may I use KCL at in", True, "Vin carries", id="KCL counts the source"),
    pytest.param(vane, "may I use KCL at ground", True, "supply", id="KCL at ground"),
    pytest.param(vane, "ohm for Rf?", True, "pin 2 less node out", id="Ohm"),
    pytest.param(vane, "ohm's law for Vin?", False, "is a source", id="Ohm for a source"),
    pytest.param(vane, "may I use superposition?", True, "only source", id="one source"),
    pytest.param(wrong_way, "may I use superposition?", False, "not under negative", id="no linear op-amp"),
    pytest.param(inverter, "may I use same current Ri Rf?", True, "one current", id="one current"),
    pytest.param(vane, "same current Ri and Rf?", False, "Rg meets them", id="a branch between"),
    pytest.param(vane, "may I take Ri and Rg in series?", False, "Rf meets them", id="not in series"),
    pytest.param(vane, "are Ri and Rp in parallel?", False, "only", id="one end shared is not parallel"),
    pytest.param(loaded, "parallel Rb Rl?", True, "share both ends", id="parallel"),
    pytest.param(loaded, "parallel Ra R1?", False, "share no node", id="nothing shared"),
    pytest.param(vane, "may I use no current at pin 3?", True, "input pin", id="rule one at an input"),
    pytest.param(vane, "may I use rule one at out?", False, "is an output", id="rule one at the output"),
    pytest.param(vane, "may I use KVL?", True, "any path", id="KVL"),
]


@pytest.mark.parametrize(("lesson", "text", "holds", "because"), ASKED)
def test_a_law_is_answered_with_its_condition(lesson: object, text: str, holds: bool, because: str) -> None:
    assert callable(lesson)
    answer = may_i(lesson(), text)
    assert is_question(text)
    assert answer.startswith("Yes" if holds else "No"), answer
    assert because in answer, answer


def test_an_output_that_is_0_by_balance_makes_no_virtual_ground() -> None:
    """At k = 1/2 the output is 0, but the law is asked for, not the value."""
    assert may_i(balanced(), "virtual ground at 2").startswith("No")


OPEN = [
    pytest.param("may I use divider?", "At which node", id="no place"),
    pytest.param("may I use same current Ri?", "Which two", id="one part of two"),
    pytest.param("may I use Norton at 3?", "You can ask about", id="a law that is not there"),
    pytest.param("may I use KCL at nowhere?", "no nowhere here", id="a place that is not there"),
]


@pytest.mark.parametrize(("text", "expected"), OPEN)
def test_what_is_open_in_a_question_is_asked_back(text: str, expected: str) -> None:
    assert expected in may_i(vane(), text)


def test_where_no_place_is_named_the_step_at_hand_is_meant_and_no_try_is_counted() -> None:
    attempt = ask(Circuit(vane().netlist.parts), "V_out").begin()
    assert "input pin 3 takes none" in attempt.may("may I use divider here?")
    assert attempt.log == ()


STATEMENTS = ["V_3 = 0.56 V", "0.56", "I_Ri - I_Rf = I_Rg", "V_3 = ?", "may = 5"]


@pytest.mark.parametrize("text", STATEMENTS)
def test_a_statement_is_no_question(text: str) -> None:
    assert not is_question(text)


@given(st.text(max_size=300))
def test_any_question_gets_an_answer(text: str) -> None:
    answer = may_i(vane(), "may I use " + text)
    assert answer.replace("\u2009", " ").isprintable()


def test_every_ruling_has_its_sentence() -> None:
    folder = Path(problems.__file__).parent / "derivation" / "laws"
    source = "".join(path.read_text("utf-8") for path in folder.glob("*.py"))
    keys = set(re.findall(r"Ruling\(\s*(?:True|False),\s*\"([a-z-]+)\"", source))
    keys |= {question.key for question in questions()}
    assert len(keys) > 25
    assert not {key for key in keys if not has(f"may.{key}")}
