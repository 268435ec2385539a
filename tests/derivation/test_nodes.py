"""Node equations as a method: the rules first, one equation at a time, every step and every written equation true."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from nodal_judge import Judged, Undecided, judge
from published_cases import circuit_of, published
from random_circuits import draw
from resistive_families import resistive_families

from problems import Capacitor, Circuit, CurrentSource, OpAmp, Resistor, VoltageSource, ask, family
from problems.circuits.faults import NoSolution
from problems.circuits.netlist import Netlist
from problems.circuits.parts import Part
from problems.derivation.affine import Affine
from problems.derivation.faults import NoNegativeFeedback
from problems.derivation.lesson import Lesson
from problems.derivation.step import Step
from problems.formulas.expression import Name
from problems.formulas.printers import engineering, rounded
from problems.quantities import GROUND, Quantity, canonical, current, voltage

NAMES = [f.name for f in resistive_families()]


def walked(netlist: Netlist, *names: str) -> list[str]:
    targets = tuple(netlist.names.read(name) for name in names)
    return [step.written(ascii=True) for step in Lesson.of(netlist).walk(targets, "nodes")]


def floats(netlist: Netlist, judged: Judged) -> dict[object, float]:
    """The judge's solution as an environment for a formula."""
    env: dict[object, float] = {symbol: float(value) for symbol, value in netlist.values.items()}
    env |= {voltage(node): volts for node, volts in judged.voltages.items()}
    return env | {current(name): amperes for name, amperes in judged.currents.items()}


def truth_of(target: Quantity, env: dict[object, float], netlist: Netlist) -> float:
    if target.kind == "B":
        return env[voltage(target.of)] - env[voltage(target.to)]
    if target.kind == "D":
        first, second = netlist.part(target.of).nodes[:2]
        return env[voltage(first)] - env[voltage(second)]
    return env[target] if target in env else env[current(f"{target.of}.top")]


def check_steps(steps: tuple[Step, ...], netlist: Netlist, judged: Judged) -> None:
    """Every step states what the judge says, and every written equation vanishes there."""
    env = floats(netlist, judged)
    unknowns = {str(s.rule.relation.key): s.target for s in steps if isinstance(s.rule.relation, Name)}
    volts = max(1e-3, *map(abs, judged.voltages.values()))
    amperes = max(1e-9, *map(abs, judged.currents.values()))
    for step in steps:
        value = step.exact
        if isinstance(value, Affine):
            slopes = {unknowns[name]: slope for name, slope in value.slopes.items()}
            value = value.constant + sum(float(slope) * env[target] for target, slope in slopes.items())
        size = amperes if step.target.kind == "I" else volts
        assert abs(float(value) - truth_of(step.target, env, netlist)) <= 1e-6 * size, step.written()
        if step.rule.equation is not None:
            assert abs(float(step.rule.equation.at(env))) <= 1e-6 * amperes, step.written()


@pytest.mark.parametrize("name", NAMES)
def test_a_family_is_walked_by_node_equations_with_every_step_true(name: str) -> None:
    for seed in range(5):
        problem = family(name).problem(seed=seed)
        steps = problem.circuit.lesson.walk(problem.asked, "nodes")
        assert {step.target for step in steps} >= set(problem.asked)
        check_steps(steps, problem.circuit, judge(problem.circuit))


@pytest.mark.parametrize("case", published("resistive"), ids=lambda case: case["id"])
def test_a_published_case_is_walked_by_node_equations(case: dict) -> None:  # type: ignore[type-arg]
    netlist = circuit_of(case)
    lesson = Lesson.of(netlist)
    for expect in case["expect"]:
        target = current(expect["of"]) if expect["quantity"] == "current" else voltage(expect["of"])
        steps = lesson.walk((target,), "nodes")
        assert steps[-1].target == target
        assert steps[-1].exact == lesson.values[target]
        check_steps(steps, netlist, judge(netlist))


def test_random_circuits_are_walked_by_node_equations_and_the_judge_agrees() -> None:
    walks = 0
    for seed in range(80):
        netlist = draw(seed)
        try:
            lesson = Lesson.of(netlist)
            steps = lesson.walk((voltage(netlist.opamps[-1].out),), "nodes")
            judged = judge(netlist, limit=1e8)
        except (NoSolution, NoNegativeFeedback, Undecided):
            continue
        assert steps[-1].exact == lesson.values[steps[-1].target]
        check_steps(steps, netlist, judged)
        for step in steps:
            for part in ("name", "goal", "look", "rule", "why"):
                assert "{" not in step.word(part)
            assert all(step.hints)
        walks += 1
    assert walks > 20


@pytest.mark.parametrize("name", NAMES)
def test_working_by_nodes_rounded_to_three_figures_ends_right(name: str) -> None:
    for seed in range(5):
        problem = family(name).problem(seed=seed)
        lesson = problem.circuit.lesson
        env = {**lesson.symbols, **lesson.given_values}
        for step in lesson.walk(problem.asked, "nodes"):
            if isinstance(step.exact, Affine):
                continue
            is_formula = step.role != "close" and all(tail in env for tail in step.rule.tails)
            env[step.target] = rounded(Fraction(step.rule.relation.at(env) if is_formula else step.exact), 3)
        for target in problem.asked:
            text = engineering(env[target], target.unit)
            assert problem.check(canonical(target), text).kind == "right", (seed, target, text)


def inverter() -> Circuit:
    return Circuit(
        [
            VoltageSource("Vin", "in", "0", "1 V"),
            Resistor("Ri", "in", "2", "10k"),
            Resistor("Rf", "2", "out", "20k"),
            OpAmp("U1", plus="0", minus="2", out="out"),
        ]
    )


def test_the_equation_stands_first_then_what_it_is_solved_for_then_the_value() -> None:
    assert walked(inverter(), "V_out") == [
        "V_2 = V_3 = 0 V",
        "(V_2 - Vin)/Ri + (V_2 - V_out)/Rf = 0, so "
        "V_out = V_2 + Rf*(V_2 - Vin)/Ri = 0 V + 20 kohm*(0 V - 1 V)/10 kohm = -2 V",
    ]


def test_currents_and_drops_come_from_the_node_voltages_at_the_end() -> None:
    steps = inverter().lesson.walk(tuple(map(inverter().names.read, ("I_Rf", "V_Ri", "V_out"))), "nodes")
    assert [step.quantity for step in steps] == ["V_2", "V_out", "I_Rf", "V_Ri"]


def test_no_equation_is_written_at_an_output_a_held_node_or_ground() -> None:
    lesson = inverter().lesson
    assert {law.fields["id"] for law in lesson.laws.of_method("nodes") if law.key == "node"} == {"2"}


def test_a_current_source_enters_as_its_symbol_with_its_sign() -> None:
    netlist = Netlist(
        [
            CurrentSource("I1", "0", "a", "2 mA"),
            Resistor("R1", "a", "0", "1k"),
            Resistor("R2", "a", "0", "1k"),
        ]
    )
    assert walked(netlist, "V_a") == [
        "V_a/R1 + V_a/R2 - I1 = 0, so V_a = I1/(1/R1 + 1/R2) = 2 mA/(1/1 kohm + 1/1 kohm) = 1 V"
    ]


def two_unknowns() -> Netlist:
    return Netlist(
        [
            VoltageSource("V1", "in", "0", "10 V"),
            Resistor("R1", "in", "a", "1k"),
            Resistor("R2", "a", "0", "2k"),
            Resistor("R3", "a", "b", "1k"),
            Resistor("R4", "b", "0", "1k"),
        ]
    )


def test_equations_that_hang_together_are_solved_in_visible_steps_by_the_names_of_the_voltages() -> None:
    steps = Lesson.of(two_unknowns()).walk((voltage("b"),), "nodes")
    assert [(step.quantity, step.role) for step in steps] == [("V_b", "assume"), ("V_a", "law"), ("V_b", "close")]
    assert steps[0].written() == "V_b stays unknown for now"
    assert steps[-1].exact == Lesson.of(two_unknowns()).values[voltage("b")]


def test_nodes_joined_by_a_source_are_taken_as_one() -> None:
    netlist = Netlist(
        [
            VoltageSource("V1", "in", "0", "6 V"),
            Resistor("R1", "in", "a", "1k"),
            VoltageSource("V2", "a", "b", "2 V"),
            Resistor("R2", "b", "0", "1k"),
        ]
    )
    lesson = Lesson.of(netlist)
    steps = lesson.walk((voltage("b"),), "nodes")
    assert any("taken as one" in step.why for step in steps)
    assert steps[-1].exact == lesson.values[voltage("b")] == 2


def test_a_circuit_of_names_is_walked_by_node_equations() -> None:
    circuit = Circuit(
        [
            VoltageSource("V1", "in", "0"),
            Resistor("R1", "in", "n"),
            Resistor("R2", "n", "out"),
            OpAmp("U1", plus="0", minus="n", out="out"),
        ]
    )
    assert str(circuit.walk("V_out", method="nodes")[-1].value) == "-R2*V1/R1"


@pytest.mark.parametrize("name", NAMES)
def test_a_written_equation_is_a_true_statement_that_is_named(name: str) -> None:
    problem = family(name).problem(seed=1)
    for step in problem.circuit.lesson.walk(problem.asked, "nodes"):
        if step.law == "node":
            verdict = problem.check(step.quantity, step.equation(ascii=True))
            assert (verdict.kind, verdict.law) == ("right", "node"), (step.equation(), verdict.message)
            assert step.name in verdict.message


def test_a_problem_asked_by_nodes_teaches_by_nodes() -> None:
    attempt = ask(inverter(), "V_out", method="nodes").begin()
    attempt, _ = attempt.state("V_2 = 0 V")
    assert isinstance(attempt.next_step, Step)
    assert attempt.next_step.law == "node"
    assert attempt.next_step.target.of != GROUND


def test_the_first_node_equation_says_what_counts_plus_and_where_none_is_written() -> None:
    notes = [step.note for step in inverter().lesson.walk((voltage("out"),), "nodes")]
    assert notes[0] == ""
    assert "currents that leave count +" in notes[1]
    assert "the output of U1 supplies whatever current is asked of it" in notes[1]


def two_sources(*more: Part) -> Netlist:
    return Netlist(
        [
            VoltageSource("V1", "a", "0", "10 V"),
            VoltageSource("V2", "b", "0", "5 V"),
            Resistor("R1", "a", "m", "1k"),
            Resistor("R2", "b", "m", "2k"),
            Resistor("R3", "m", "0", "1k"),
            *more,
        ]
    )


def test_a_node_whose_neighbours_are_all_known_is_one_step_of_a_walk_by_laws() -> None:
    (step,) = Lesson.of(two_sources()).walk((voltage("m"),))
    assert (step.law, step.note) == ("node", "")


def test_a_walk_by_laws_says_why_it_calls_a_voltage_unknown() -> None:
    bridged = two_sources(
        Resistor("R4", "m", "q", "3k"), Resistor("R5", "q", "a", "5k"), Resistor("R6", "q", "b", "7k")
    )
    lesson = Lesson.of(bridged)
    steps = lesson.walk((voltage("m"),))
    notes = [step.note for step in steps if step.note]
    assert notes[0].startswith("No single law leads on from here: call")
    assert steps[-1].exact == lesson.values[voltage("m")]


def grid() -> Netlist:
    """Three by three nodes joined by unlike resistors, driven at one corner."""
    places = [(row, column) for row in range(3) for column in range(3)]
    joined = [(a, b) for a in places for b in places if (b[0] - a[0], b[1] - a[1]) in ((0, 1), (1, 0))]
    names = {place: f"g{place[0]}{place[1]}" for place in places} | {(2, 2): "0"}
    resistors = [Resistor(f"R{number}", names[a], names[b], f"{number}k") for number, (a, b) in enumerate(joined, 1)]
    return Netlist([VoltageSource("V1", "g00", "0", "5 V"), *resistors])


@pytest.mark.parametrize("method", ["laws", "nodes"])
def test_many_voltages_that_hang_together_are_solved_one_after_another(method: str) -> None:
    lesson = Lesson.of(grid())
    steps = lesson.walk((voltage("g11"),), method)
    assert steps[-1].exact == lesson.values[voltage("g11")]
    check_steps(steps, grid(), judge(grid()))
    closing = [step for step in steps if step.role == "close"]
    assert len(closing) == sum(step.role == "assume" for step in steps) >= 2
    slopes = [len(step.exact.slopes) if isinstance(step.exact, Affine) else 0 for step in closing]
    assert slopes == sorted(slopes, reverse=True), "each equation solved leaves fewer unknowns"
    assert slopes[-1] == 0


def test_a_second_order_circuit_of_names_is_walked_with_its_formulas_in_brackets() -> None:
    circuit = Circuit(
        [
            VoltageSource("V1", "in", "0"),
            Resistor("R1", "in", "a"),
            Resistor("R2", "a", "p"),
            Capacitor("C1", "a", "out"),
            Capacitor("C2", "p", "0"),
            OpAmp("U1", plus="p", minus="out", out="out"),
        ]
    )
    steps = circuit.walk("V_out", method="nodes")
    assert "(C2*R2*s + 1)·V_out" in steps[2].written()
    assert str(steps[-1].value) == "V1/(C1*C2*R1*R2*s**2 + C2*R1*s + C2*R2*s + 1)"


def test_an_unknown_that_keeps_its_name_is_said_once_where_it_is_found() -> None:
    problem = replace(family("howland").problem(seed=3), method="nodes")
    (closing,) = (step for step in problem.steps if step.role == "close")
    assert closing.written().endswith("so V_out = 2.41\u2009V")
    _, hint = problem.begin().hint()
    assert hint is not None
    assert "Call V_out V_out" not in hint.text
