"""Which way: derivatives against a float solver, what answers are read, where an effect enters or dies."""

from __future__ import annotations

import re
from fractions import Fraction

import nodal_judge
import pytest
from station_lesson import inverter, vane

from problems import Circuit, Family, OpAmp, Resistor, VoltageSource, ask, families, family
from problems.asks.question import FRESH, AskFault, Question, Standing, Unfinished
from problems.asks.sensitivity import slopes
from problems.asks.ways import way_in
from problems.asks.which_way import NoSuchValue, pose
from problems.derivation.lesson import Lesson
from problems.quantities import UnknownQuantity, canonical

STEP = Fraction(1, 10**4)


def question(lesson: Lesson, target: str, when: str) -> Question:
    return pose(lesson, {"which-way": target, "when": when}, 0)


def loaded() -> Lesson:
    """The inverter of the station with a load, and a resistor to its + input, which hangs on ground."""
    parts = [
        VoltageSource("Vin", "in", "0", "0.3 V"),
        Resistor("Ri", "in", "2", "4.7k"),
        Resistor("Rf", "2", "out", "22k"),
        Resistor("RL", "out", "0", "2.2k"),
        Resistor("Rx", "in", "0", "1k"),
        Resistor("Rs", "0", "3", "10k"),
        OpAmp("U1", plus="3", minus="2", out="out"),
    ]
    return Circuit(parts).lesson


@pytest.mark.parametrize("known", families(), ids=lambda known: known.name)
def test_every_derivative_has_the_sign_of_a_float_difference(known: Family) -> None:
    for seed in (1, 5):
        netlist = known.problem(seed=seed).circuit
        if not netlist.lesson.is_numeric or any(part.laplace for part in netlist.parts):
            continue
        for symbol, value in netlist.values.items():
            if not value or (not netlist.units[symbol] and value == 1):
                continue
            less, more = (nodal_judge.judge(netlist.with_values({symbol: value * (1 + d)})) for d in (-STEP, STEP))
            exact = slopes(netlist.lesson, symbol)
            for node, volts in more.voltages.items():
                change = (volts - less.voltages[node]) / float(2 * STEP * value)
                slope = float(exact[netlist.names.read(f"V_{node}")])
                scale = max(map(abs, more.voltages.values())) / abs(float(value))
                assert abs(change - slope) < 1e-5 * scale, (seed, symbol, node)
            for branch, amperes in more.currents.items():
                change = (amperes - less.currents[branch]) / float(2 * STEP * value)
                slope = float(exact[netlist.names.read(f"I_{branch}")])
                scale = max(map(abs, more.currents.values())) / abs(float(value))
                assert abs(change - slope) < 1e-5 * scale, (seed, symbol, branch)


@pytest.mark.parametrize(
    ("text", "sign", "of_size"),
    [
        pytest.param("rises", 1, False, id="the plain word"),
        pytest.param("V_out falls", -1, False, id="with the quantity"),
        pytest.param("it goes up if Rf rises", 1, False, id="the condition repeated"),
        pytest.param("It stays the same.", 0, False, id="a sentence"),
        pytest.param("does not change", 0, False, id="denied change"),
        pytest.param("no effect", 0, False, id="no effect"),
        pytest.param("+", 1, False, id="plus"),
        pytest.param("\u2212", -1, False, id="a true minus"),
        pytest.param("0", 0, False, id="nought"),
        pytest.param("more negative", -1, False, id="more negative"),
        pytest.param("less negative", 1, False, id="less negative"),
        pytest.param("its size grows", 1, True, id="of the size"),
        pytest.param("|V_out| falls", -1, True, id="with bars"),
        pytest.param("closer to zero", -1, True, id="towards 0"),
    ],
)
def test_a_way_is_read_from_common_words(text: str, sign: int, of_size: bool) -> None:
    assert way_in(text) == (sign, of_size)


@pytest.mark.parametrize("text", ["", "rises and falls", "it does not rise", "hello", "5", "perhaps"])
def test_what_names_no_one_way_is_not_read(text: str) -> None:
    assert way_in(text) is None


# The inverter gives -0.3 V times 22/4.7, so the output is below 0 V: a larger Rf takes it further down, a larger Ri up.
@pytest.mark.parametrize(
    ("when", "text", "kind", "part"),
    [
        pytest.param("Rf", "falls", "right", "V_out = V_2 − I_Rf·Rf falls", id="down"),
        pytest.param("Rf", "its size grows", "right", "Said of the size", id="down, said of the size"),
        pytest.param("Rf", "rises", "wrong", "With its sign", id="the size alone"),
        pytest.param("Rf", "stays", "wrong", "Does nothing move there", id="stays, where it moves"),
        pytest.param("Ri", "rises", "right", "It comes in at the first that moves: I_Ri", id="up"),
        pytest.param("RL", "stays", "right", "U1 holds its output", id="a load"),
        pytest.param("Rx", "stays", "right", "hangs on a source", id="beside the source"),
        pytest.param("Rs", "stays", "right", "No current runs in Rs", id="in line with an input"),
        pytest.param(
            "RL", "falls", "wrong", "in which of its steps does RL stand", id="a load that is thought to matter"
        ),
        pytest.param("Rf", "sideways", "unreadable", "rises, falls or stays", id="no way"),
    ],
)
def test_an_answer_is_judged_and_told_why(when: str, text: str, kind: str, part: str) -> None:
    answer = question(loaded(), "V_out", when).judge(text, FRESH)
    assert answer is not None
    assert answer.verdict.kind == kind, answer.verdict.message
    assert part in answer.verdict.message
    assert answer.found == ({"way"} if kind == "right" else frozenset())


def test_the_size_alone_costs_no_try() -> None:
    answer = question(loaded(), "V_out", "Rf").judge("rises", FRESH)
    assert answer is not None
    assert not answer.verdict.costs_a_try


def test_a_second_wrong_answer_is_told_the_first_step_that_moves() -> None:
    asked = question(vane(), "V_out", "Ri")
    first, second = (asked.judge("stays", Standing(tries=tries)) for tries in (0, 1))
    assert first is not None
    assert second is not None
    moved = next(rung.text for rung in asked.rungs if "I_Ri" in rung.text and "as Ri rises" in rung.text)
    assert moved not in first.verdict.message
    assert moved in second.verdict.message


@pytest.mark.parametrize("symbol", ["Vin", "Ri", "Rf", "Rg", "Rp", "k"])
def test_help_follows_the_walk_and_gives_the_answer_last(symbol: str) -> None:
    asked = question(vane(), "V_out", symbol)
    *before, last = (rung.text for rung in asked.rungs)
    assert all(sentence in last for sentence in asked.solution)
    assert all(asked.solution[-1] not in text for text in before)
    ways = [text for text in before if "as " + symbol in text]
    assert all("V_out =" not in text for text in ways), "which way the target goes stands on the last rung alone"


def test_a_value_that_acts_on_nought_is_said_to_die_there() -> None:
    lesson = Circuit([*inverter().netlist.parts, Resistor("Rg", "2", "0", "10k")]).lesson
    asked = question(lesson, "V_out", "Rg")
    assert "is 0, so I_Rg stays" in " ".join(asked.solution)
    assert asked.solution[-1].startswith("So V_out stays")


def test_an_effect_that_cancels_is_said_to_die_where_it_cancels() -> None:
    parts = [
        VoltageSource("Vin", "in", "0", "1 V"),
        Resistor("Ra", "in", "3", "R"),
        Resistor("Rb", "3", "0", "10k"),
        Resistor("Ri", "in", "2", "R"),
        Resistor("Rf", "2", "out", "10k"),
        OpAmp("U1", plus="3", minus="2", out="out"),
    ]
    asked = question(Circuit(parts, {"R": "20k"}).lesson, "V_out", "R")
    assert "cancels, so V_out stays" in " ".join(asked.solution), "a bridge in balance at every R"


def test_a_statement_about_the_circuit_is_still_one() -> None:
    circuit = Circuit(vane().netlist.parts, vane().netlist.values)
    attempt, verdict = ask(circuit, "which-way V_out Rf", "V_out").begin().state("V_2 = 0.56 V")
    assert verdict.kind == "right"
    assert attempt.stated.keys() == {"V_2"}


def test_asks_of_several_kinds_follow_one_another() -> None:
    circuit = Circuit(vane().netlist.parts, vane().netlist.values)
    problem = ask(circuit, "which-way V_out Rf", "V_3", "which-way V_out k")
    assert problem.asks == ("which-way V_out Rf", "V_3", "which-way V_out k")
    attempt, seen = problem.begin(), []
    for text in ("rises", "0.56 V", "rises"):
        assert attempt.next_step is not None
        seen.append(attempt.next_step.quantity)
        attempt, verdict = attempt.state(text)
        assert verdict.right, verdict.message
    assert (seen, attempt.done) == (list(problem.asks), True)


@pytest.mark.parametrize(
    ("text", "cause"),
    [
        pytest.param("which-way V_out", Unfinished, id="no value named"),
        pytest.param("which-way V_out Rz", NoSuchValue, id="a part that is not there"),
        pytest.param("which-way V_nowhere Rf", UnknownQuantity, id="a quantity that is not there"),
    ],
)
def test_an_ask_that_does_not_fit_is_refused(text: str, cause: type[ValueError]) -> None:
    with pytest.raises(cause) as fault:
        ask(Circuit(vane().netlist.parts, vane().netlist.values), text)
    assert not isinstance(fault.value, AskFault) or fault.value.remedy


def test_a_part_that_shares_its_value_is_asked_by_that_value() -> None:
    parts = [VoltageSource("Vin", "in", "0", "1 V"), Resistor("R1", "in", "a", "R"), Resistor("R2", "a", "0", "R")]
    asked = question(Circuit(parts, {"R": "1k"}).lesson, "V_a", "R1")
    assert asked.name == f"which-way {canonical(asked.targets[0])} R"
    answer = asked.judge("stays", FRESH)
    assert answer is not None
    assert answer.verdict.right, "both halves of the divider rise together"


CARRIED = [
    ("howland", "V_out", "RL"),
    ("howland", "V_out", "R"),
    ("howland", "I_RL", "RL"),
    ("howland", "V_out", "Vin"),
]


@pytest.mark.parametrize(("name", "target", "when"), CARRIED, ids=str)
def test_where_an_unknown_is_carried_each_change_is_told_once_as_the_derivative_has_it(
    name: str, target: str, when: str
) -> None:
    lesson = family(name).problem(seed=3).circuit.lesson
    asked = question(lesson, target, when)
    told = " ".join(asked.solution)
    ways = {
        label: way
        for labels, way in re.findall(r"exact derivatives?, ([^.]*?) (rise|fall)s? when", told)
        for label in re.findall(r"[VI]_\w+", labels)
    }
    exact = slopes(lesson, when)
    read = lesson.netlist.names.read
    assert ways
    assert all((way == "rise") == (exact[read(label)] > 0) and exact[read(label)] for label, way in ways.items())
    assert all(
        f"{step.relation} {way}" not in told for step in lesson.walk((read(target),)) for way in ("rises", "falls")
    )
    sign = exact[read(target)]
    assert asked.solution[-1].startswith(f"So {target} {'rises' if sign > 0 else 'falls' if sign < 0 else 'stays'}")
    answer = asked.judge("stays" if sign else "rises", FRESH)
    assert answer is not None
    assert answer.verdict.kind == "wrong"


def test_the_rate_printed_is_that_of_the_float_solver() -> None:
    netlist = family("howland").problem(seed=3).circuit
    size = netlist.values["RL"]
    less, more = (nodal_judge.judge(netlist.with_values({"RL": size * (1 + d)})) for d in (-STEP, STEP))
    names = netlist.names
    node = names.read("V_out").of
    rate = (more.voltages[node] - less.voltages[node]) / float(2 * STEP * size)
    told = " ".join(question(netlist.lesson, "V_out", "RL").solution)
    found = re.search(r"with respect to RL is ([\d.]+)\sµV per Ω", told)
    assert found is not None, told
    assert float(found[1]) == pytest.approx(rate * 1e6, rel=5e-3)
