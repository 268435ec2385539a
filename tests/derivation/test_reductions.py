"""Parts taken as one, in line, side by side and by Thevenin: true, named, read, and only where they are needed."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable

import pytest
from nodal_judge import Undecided
from random_circuits import divided, draw
from reduced_judge import false_steps
from wrong_values import judged_problem, shares

from problems import Circuit, OpAmp, Potentiometer, Problem, Resistor, VoltageSource, ask, family
from problems.circuits.netlist import Netlist
from problems.circuits.solution import NoSolution
from problems.derivation.faults import NoNegativeFeedback, NoWalk
from problems.derivation.lesson import Lesson
from problems.quantities import Quantity, UnknownQuantity, is_made, voltage


def loaded_divider(**values: str) -> Circuit:
    given = {"R1": "10k", "R2": "20k", "RL": "5k", **values}
    return Circuit(
        [
            VoltageSource("Vin", "in", "0", "12 V"),
            Resistor("R1", "in", "out", given["R1"]),
            Resistor("R2", "out", "0", given["R2"]),
            Resistor("RL", "out", "0", given["RL"]),
        ]
    )


def loaded_stage() -> Circuit:
    """A divider straight into an inverting stage."""
    return Circuit(
        [
            VoltageSource("Vin", "in", "0", "3 V"),
            Resistor("R1", "in", "m", "10k"),
            Resistor("R2", "m", "0", "22k"),
            Resistor("R3", "m", "n", "12k"),
            Resistor("Rf", "n", "out", "47k"),
            OpAmp("U1", plus="0", minus="n", out="out"),
        ]
    )


def loaded_track(setting: str) -> Circuit:
    return Circuit(
        [
            VoltageSource("Vin", "in", "0", "10 V"),
            Potentiometer("Rp", "in", "0", "w", "10k", setting),
            Resistor("RL", "w", "0", "4.7k"),
        ]
    )


def ladder(sections: int, first: str = "1k") -> Netlist:
    parts: list[VoltageSource | Resistor] = [VoltageSource("Vin", "g0", "0", "10 V")]
    for number in range(1, sections + 1):
        parts.append(Resistor(f"Rs{number}", f"g{number - 1}", f"g{number}", first if number == 1 else f"{number}k"))
        parts.append(Resistor(f"Rp{number}", f"g{number}", "0", f"{number + 4}k"))
    return Netlist(parts)


def with_ladders(seed: int) -> Netlist:
    return draw(seed, ladders=True)


@pytest.mark.parametrize(("make", "least"), [(with_ladders, 10), (divided, 55)], ids=["op-amps", "sources alone"])
def test_every_step_in_a_random_circuit_with_a_ladder_is_true(make: Callable[[int], Netlist], least: int) -> None:
    walked = 0
    for seed in range(60):
        netlist = make(seed)
        nodes = [node for node in netlist.nodes if node.startswith("y")] or list(netlist.nodes[1:])
        try:
            lesson = Lesson.of(netlist)
            steps = lesson.walk((voltage(nodes[seed % len(nodes)]),))
            assert false_steps(lesson, steps) == []
        except (NoNegativeFeedback, NoSolution, NoWalk, Undecided):
            continue
        walked += 1
    assert walked >= least


@pytest.mark.parametrize("make", [with_ladders, divided], ids=["op-amps", "sources alone"])
def test_every_law_of_a_reduced_circuit_holds_at_the_solution(make: Callable[[int], Netlist]) -> None:
    """KCL where a replaced source takes some of the current would not; nor would a law of a node merged away."""
    laws = 0
    for seed in range(60):
        try:
            lesson = Lesson.of(make(seed))
            values = lesson.values
        except NoSolution:
            continue
        for law in lesson.laws.laws:
            if law.view is not None and {law.head, *law.tails} <= values.keys():
                assert law.relation.at(values) == values[law.head], (seed, law.key, law.head)
                laws += 1
    assert laws > 500


def test_a_circuit_that_single_laws_lead_through_has_nothing_made_of_it() -> None:
    for name in ("inverting", "difference", "cascade", "t-network", "divider-follower"):
        assert not family(name).problem(seed=3).circuit.lesson.laws.defining


def test_what_is_made_has_the_real_parts_as_its_place() -> None:
    for step in loaded_stage().walk("V_out"):
        assert not any(is_made(name) for name in (*step.place.parts, *step.place.nodes))
    assert loaded_divider().walk("V_out")[0].place.parts == ("R2", "RL")


@pytest.mark.parametrize(
    ("names", "made"),
    [
        pytest.param(("Rx", "Ry", "Rz"), "R_A*", id="the first letter"),
        pytest.param(("Ra", "Rb", "Rc"), "R_D*", id="not one that could be a part"),
    ],
)
def test_a_resistance_taken_together_has_a_name_of_its_own(names: tuple[str, str, str], made: str) -> None:
    top, bottom, load = names
    circuit = Circuit(
        [
            VoltageSource("Vin", "in", "0", "12 V"),
            Resistor(top, "in", "out", "10k"),
            Resistor(bottom, "out", "0", "20k"),
            Resistor(load, "out", "0", "5k"),
        ]
    )
    assert circuit.walk("V_out")[0].quantity == made


@pytest.mark.parametrize("setting", ["0", "0.3", "1"])
def test_a_loaded_track_is_walked_at_any_setting(setting: str) -> None:
    circuit = loaded_track(setting)
    steps = circuit.walk("V_w")
    assert false_steps(circuit.lesson, steps) == []
    assert (steps[0].law == "parallel") == (setting == "0.3")


@pytest.mark.parametrize("part", ["R1", "R2", "RL"])
def test_a_resistor_of_0_ohm_is_not_divided_by(part: str) -> None:
    circuit = loaded_divider(**{part: "0 ohm"})
    assert circuit.lesson.walk((voltage("out"),))[-1].exact == (12 if part == "R1" else 0)


def test_a_ladder_that_begins_with_0_ohm_is_walked() -> None:
    netlist = ladder(3, first="0 ohm")
    lesson = Lesson.of(netlist)
    assert false_steps(lesson, lesson.walk((voltage("g3"),))) == []


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        pytest.param("R_A* = 4 kohm", "right", id="by its name"),
        pytest.param("R_A = 4k", "right", id="without star and unit"),
        pytest.param("R_A* = R2*RL/(R2 + RL)", "right", id="product over sum"),
        pytest.param("R_A = R2 || RL", "right", id="the sign of parts side by side"),
        pytest.param("R_A* = 25k", "wrong-move", id="as if in line"),
        pytest.param("R_A* = 250 uohm", "wrong-move", id="conductance not inverted"),
        pytest.param("R_A* = 20k", "wrong-move", id="one left out"),
        pytest.param("R_A* = 4 V", "unit-wrong", id="another unit"),
        pytest.param("R_A = 9.1k", "wrong", id="nothing known"),
        pytest.param("R_Q* = 4k", "unreadable", id="not made of this circuit"),
        pytest.param("V_out = Vin·R_A*/(R1 + R_A*)", "right", id="a relation as the sheet prints it"),
        pytest.param("V_out = Vin*R_A**1/(R1 + R_A)", "right", id="a power of the name without its star"),
        pytest.param("V_out = Vin*(R2||RL)/(R1 + R2||RL)", "right", id="the parts themselves"),
        pytest.param("I_A* = 0.857 mA", "right", id="its current"),
        pytest.param("V_out/R_A* = (Vin - V_out)/R1", "right", id="an equation with it"),
        pytest.param("V_out = 3.43 V", "right", id="straight to what is asked"),
    ],
)
def test_what_is_said_of_a_resistance_taken_together(text: str, kind: str) -> None:
    _, verdict = ask(loaded_divider(), "V_out").begin().state(text)
    assert verdict.kind == kind, verdict.message


@pytest.mark.parametrize(
    ("text", "key"),
    [
        pytest.param("V_m* = 0.938 V", "divider-legs-swapped", id="other arm"),
        pytest.param("V_m* = 1.31 V", "loaded-voltage", id="with the load on"),
        pytest.param("R_m* = 32k", "source-not-a-wire", id="source left in"),
    ],
)
def test_wrong_moves_of_a_replaced_source(text: str, key: str) -> None:
    lesson = loaded_stage().lesson
    name, value = text.split(" = ")
    moves = {move.key: float(move.exact) for move in lesson.wrong_moves(lesson.quantity(name))}
    size = float(value.split()[0].replace("k", "e3"))
    assert moves[key] == pytest.approx(size, rel=0.01)
    verdict = ask(loaded_stage(), "V_out").check(name, value)
    assert verdict.kind in ("wrong-move", "unclear"), verdict.message


def test_an_own_resistance_is_followed_through() -> None:
    attempt, _ = ask(loaded_divider(), "V_out").begin().state("R_A* = 25k")
    _, verdict = attempt.state("V_out = 8.57 V")
    assert verdict.kind == "right-carried"


def test_work_that_never_names_what_is_taken_together_is_followed_through() -> None:
    attempt, _ = ask(loaded_divider(), "I_RL").begin().state("V_out = 4 V")
    _, verdict = attempt.state("I_RL = 0.8 mA")
    assert verdict.kind == "right-carried"


def test_the_sentence_that_brings_a_resistance_in_says_what_it_is() -> None:
    step = loaded_divider().walk("V_out")[0]
    assert step.written() == "R_A* = R2 || RL = 20\u2009kΩ || 5\u2009kΩ = 4\u2009kΩ"
    assert step.why == "R_A* is R2 and RL side by side: they share both of their ends."


def test_what_is_printed_in_plain_signs_can_be_typed() -> None:
    problem = ask(loaded_stage(), "V_out")
    for step in problem.steps:
        verdict = problem.check(step.quantity, step.relation.written(ascii=True))
        assert verdict.kind == "right", (step.relation.written(ascii=True), verdict.message)


def test_a_quantity_that_only_other_circuits_are_made_to_have_is_unknown() -> None:
    with pytest.raises(UnknownQuantity, match="R_A"):
        ask(loaded_divider(), "V_out").check("R_Q*", "1k")


def test_in_a_circuit_of_names_what_is_made_is_a_formula() -> None:
    circuit = Circuit(
        [
            VoltageSource("Vin", "in", "0"),
            Resistor("R1", "in", "out"),
            Resistor("R2", "out", "0"),
            Resistor("RL", "out", "0"),
        ]
    )
    problem = ask(circuit, "V_out")
    assert str(problem.answer("R_A*")) == "R2*RL/(R2 + RL)"
    assert problem.check("V_out", "Vin*R2*RL/(R1*R2 + R1*RL + R2*RL)").kind == "right"
    assert problem.check("R_A*", "R2*RL/(R2 + RL)").kind == "right"


def test_a_ladder_of_sixty_parts_is_walked_without_an_unknown_and_its_laws_grow_in_step() -> None:
    short, long = (Lesson.of(ladder(sections)) for sections in (10, 30))
    steps = long.walk((voltage("g30"),))
    assert all(step.role == "law" for step in steps)
    assert steps[-1].exact == long.values[voltage("g30")]
    assert len(long.laws.laws) < 3.5 * len(short.laws.laws)


def problems_with_reductions() -> list[Problem]:
    return [ask(loaded_divider(), "V_out"), ask(loaded_stage(), "V_out"), ask(Circuit(ladder(3).parts), "V_g3")]


def test_unrelated_wrong_values_are_seldom_given_a_cause() -> None:
    dice = random.Random(11)
    found = Counter(kind for problem in problems_with_reductions() for _, kind in judged_problem(problem, 100, dice))
    named, asked = shares(found)
    assert named <= 0.03
    assert asked <= 0.08


def test_quantities_made_have_units_of_their_own() -> None:
    lesson = loaded_stage().lesson
    made = [law.head for law in lesson.laws.defining]
    assert {quantity.kind: quantity.unit for quantity in made} == {"V": "V", "R": "ohm", "I": "A"}
    assert Quantity("R", "m*") in made


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        pytest.param("R_B*[V1] = 4k", "right", id="of one source alone"),
        pytest.param("V_m[V1] = V1*R_B*[V1]/(R1 + R_B*[V1])", "right", id="in a formula"),
        pytest.param("R_Q*[V1] = 4k", "unreadable", id="not made there"),
    ],
)
def test_what_is_made_with_one_source_on_is_read_by_its_source(text: str, kind: str) -> None:
    circuit = Circuit(
        [
            VoltageSource("V1", "a", "0", "10 V"),
            VoltageSource("V2", "b", "0", "4 V"),
            Resistor("R1", "a", "m", "10k"),
            Resistor("R2", "b", "m", "20k"),
            Resistor("R3", "m", "0", "5k"),
        ]
    )
    verdict = ask(circuit, "V_m", method="superposition").check("V_m", text)
    assert verdict.kind == kind, verdict.message
