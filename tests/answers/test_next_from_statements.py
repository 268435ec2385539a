"""The next step and its help, from whatever a student has stated."""

from __future__ import annotations

import random

import pytest
from resistive_families import resistive_families
from stated_subsets import standings
from station_lesson import inverter, vane

from problems import Attempt, Circuit, ask
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource


def stated(lines: tuple[str, ...], *asks: str) -> Attempt:
    attempt = ask(Circuit(vane().netlist.parts), *asks).begin()
    for line in lines:
        attempt, verdict = attempt.state(line)
        assert verdict.right, (line, verdict.message)
    return attempt


NEXT = [
    pytest.param((), "V_3", "divider", id="nothing stated: the walk"),
    pytest.param(("V_2 = 0.56 V",), "I_Ri", "ohm", id="a voltage of the middle"),
    pytest.param(("V_2 = 0.56 V", "I_Rf = -17.4 uA"), "V_out", "hop", id="only the last step left"),
    pytest.param(("I_Ri = 29.27 uA", "I_Rg = 46.67 uA"), "I_Rf", "kcl", id="currents without a voltage"),
    pytest.param(
        ("V_2 = 0.56 V", "(Vin - V_2)/Ri = V_2/Rg + (V_2 - V_out)/Rf"), "V_out", "stated", id="an own node equation"
    ),
    pytest.param(("(Vin - V_2)/Ri = V_2/Rg + (V_2 - V_out)/Rf",), "V_3", "divider", id="an own equation, two open"),
]


@pytest.mark.parametrize(("lines", "quantity", "law"), NEXT)
def test_the_next_step_is_the_cheapest_way_on_from_what_is_stated(
    lines: tuple[str, ...], quantity: str, law: str
) -> None:
    step = stated(lines, "V_out").next_step
    assert step is not None
    assert (step.label, step.law) == (quantity, law)


def test_help_with_an_own_equation_speaks_of_that_equation() -> None:
    attempt = stated(("V_2 = 0.56 V", "(Vin - V_2)/Ri = V_2/Rg + (V_2 - V_out)/Rf"), "V_out")
    texts = []
    for _ in range(4):
        attempt, hint = attempt.hint()
        assert hint is not None
        texts.append(hint.text)
    assert "your own equation, (Vin − V_2)/Ri = V_2/Rg + (V_2 − V_out)/Rf" in texts[0]
    assert "solve for V_out" in texts[1]
    assert "V_out = V_2 − " in texts[2]
    assert texts[3].endswith("1.13\u2009V")
    assert attempt.done


def test_a_wrong_value_is_nothing_to_go_on_from() -> None:
    attempt = ask(Circuit(vane().netlist.parts), "V_out").begin()
    attempt, _ = attempt.state("V_2 = 0.5 V")
    assert attempt.next_step is not None
    assert attempt.next_step.label == "V_3"


def two_sources(*more: Resistor) -> Attempt:
    """Two sources through a resistor each to a node with a third to ground."""
    parts = [
        VoltageSource("V1", "a", "0", "3 V"),
        VoltageSource("V2", "b", "0", "6 V"),
        Resistor("R1", "a", "m", "1k"),
        Resistor("R2", "b", "m", "2k"),
        Resistor("R3", "m", "0", "3k"),
        *more,
    ]
    return ask(Circuit(parts), "V_m").begin()


def between_sources() -> Attempt:
    """The same with a node like it beside it: neither voltage is found by a law alone."""
    return two_sources(Resistor("R4", "m", "q", "4k"), Resistor("R5", "a", "q", "5k"), Resistor("R6", "b", "q", "6k"))


def test_where_an_unknown_is_carried_help_names_it_first() -> None:
    _, hint = between_sources().hint()
    assert hint is not None
    assert hint.text.startswith("Call V_m x for now")


def test_a_step_in_the_unknown_is_done_once_it_is_stated_as_an_equation() -> None:
    attempt = between_sources()
    seen = []
    for _ in range(3):
        step = attempt.next_step
        assert step is not None
        seen.append((step.role, step.label))
        if step.role == "close":
            break
        attempt, verdict = attempt.state(str(step.relation))
        assert verdict.kind == "right", verdict.message
    assert seen[0][0] == "law"
    assert len(set(seen)) == len(seen)


def test_an_equation_that_leaves_only_the_unknown_open_gives_it() -> None:
    attempt, verdict = two_sources().state("(V1 - V_m)/R1 + (V2 - V_m)/R2 = V_m/R3")
    assert verdict.kind == "right", verdict.message
    assert attempt.next_step is not None
    assert (attempt.next_step.law, attempt.next_step.label) == ("stated", "V_m")
    attempt, verdict = attempt.state("V_m = 3.27 V")
    assert verdict.right
    assert attempt.done


def test_a_current_given_leaves_one_law_alone() -> None:
    attempt, _ = two_sources().state("I_R3 = 1.091 mA")
    assert attempt.next_step is not None
    assert (attempt.next_step.law, attempt.next_step.role) == ("hop", "law")


def test_an_equation_that_divides_by_what_is_0_is_no_law_to_go_on() -> None:
    attempt = ask(Circuit(inverter().netlist.parts), "V_out").begin()
    attempt, _ = attempt.state("V_out*V_2 = V_2*V_2*V_out*Rf/Rf")
    assert attempt.next_step is not None
    assert attempt.next_step.law != "stated"


@pytest.mark.parametrize("name", [family.name for family in resistive_families()])
def test_from_any_statements_help_leads_to_the_end(name: str) -> None:
    problem = next(family for family in resistive_families() if family.name == name).problem(seed=11)
    for standing in standings(problem, 6, random.Random(name)):
        attempt = standing
        for _ in range(60):
            if attempt.done:
                break
            step = attempt.next_step
            assert step is not None
            assert step.quantity not in attempt.stated
            attempt, _ = attempt.hint()
        assert attempt.done
