"""The walk is the one a teacher gives: law by law, in order, every value true."""

from __future__ import annotations

import pytest
from published_cases import circuit_of, published
from random_circuits import draw
from wrong_move_catalogue import NETS, entries

from problems import Capacitor, Circuit, ask
from problems.circuits.faults import NoSolution
from problems.circuits.netlist import Netlist
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource
from problems.derivation.affine import Affine
from problems.derivation.faults import MethodNotBuilt, NoNegativeFeedback, NoWalk
from problems.derivation.lesson import Lesson
from problems.derivation.step import Step
from problems.formulas.expression import Name, keys
from problems.quantities import Quantity, current, voltage

ORDERS = {
    "inv": "V_n I_R1 I_Rf V_out",
    "noninv": "V_p V_n I_R1 I_Rf V_out",
    "buf": "V_p V_out",
    "invbias": "V_n I_R1 I_Rf V_out",
    "sum": "V_n I_R1 I_R2 I_R3 I_Rf V_out",
    "diff": "V_p V_n I_R1 I_R2 V_out",
    "nisum": "V_p V_n I_R1 I_Rf V_out",
    "pol": "V_p V_n I_R1 I_Rf V_out",
    "casc": "V_n1 I_R1 I_Rf1 V_o1 V_n2 I_R2 I_Rf2 V_out",
    "tnet": "V_n I_R1 I_R2 V_x I_R4 I_R3 V_out",
    "iv": "I_Rf V_n V_out",
}
"""The order in which a teacher finds the output, written from the circuits by hand."""


def lessons() -> dict[str, Lesson]:
    found: dict[str, Lesson] = {}
    for entry in entries():
        if entry.circuit in ORDERS and entry.net == NETS[entry.circuit]:
            found.setdefault(entry.circuit, Lesson.of(entry.netlist))
    return found


LESSONS = lessons()


def is_true(step: Step, lesson: Lesson) -> bool:
    """Whether a step states what the exact solution says; one with an unknown must agree once that is put in."""
    truth = lesson.values[step.target]
    if not isinstance(step.exact, Affine):
        return bool(step.exact == truth)
    letters = ((s.rule.relation, s.target) for s in lesson.walk((step.target,)) if s.role == "assume")
    assumed = {str(letter.key): lesson.values[target] for letter, target in letters if isinstance(letter, Name)}
    total = step.exact.constant + sum(slope * assumed[name] for name, slope in step.exact.slopes.items())
    return bool(total == truth)


@pytest.mark.parametrize("name", ORDERS)
def test_the_walk_to_the_output_goes_in_a_teacher_s_order(name: str) -> None:
    steps = LESSONS[name].walk((voltage("out"),))
    assert " ".join(step.quantity for step in steps) == ORDERS[name]


@pytest.mark.parametrize("name", ORDERS)
def test_every_step_of_a_walk_is_true(name: str) -> None:
    lesson = LESSONS[name]
    for quantity in lesson.values:
        if isinstance(quantity, Quantity) and quantity != voltage("0"):
            steps = lesson.walk((quantity,))
            assert steps[-1].target == quantity
            assert all(is_true(step, lesson) for step in steps)


@pytest.mark.parametrize("case", published("resistive"), ids=lambda case: case["id"])
def test_a_published_case_is_walked_with_every_step_true(case: dict) -> None:  # type: ignore[type-arg]
    netlist = circuit_of(case)
    lesson = Lesson.of(netlist)
    for expect in case["expect"]:
        target = current(expect["of"]) if expect["quantity"] == "current" else voltage(expect["of"])
        steps = lesson.walk((target,))
        assert steps[-1].target == target
        assert all(step.exact == lesson.values[step.target] for step in steps if not isinstance(step.exact, Affine))


def test_a_follower_needs_no_step_between_its_inputs_and_its_output() -> None:
    (step,) = LESSONS["buf"].walk((voltage("out"),))[1:]
    assert (step.law, str(step.relation)) == ("equal-inputs", "V_out = V_p")


def test_a_step_found_on_the_way_to_one_ask_is_not_given_twice() -> None:
    steps = LESSONS["pol"].walk((current("Rf"), voltage("out")))
    names = [step.quantity for step in steps]
    assert len(names) == len(set(names))
    assert names[-1] == "V_out"


def test_a_step_has_four_rungs_the_last_of_which_shows_the_value() -> None:
    step = LESSONS["inv"].walk((current("R1"),))[-1]
    assert len(step.hints) == 4
    assert step.hints[2] == "I_R1 = (Vin − V_n)/R1"
    assert step.hints[3] == "I_R1 = (Vin − V_n)/R1 = (0.3\u2009V − 0\u2009V)/4.7\u2009kΩ = 63.8\u2009µA"


def test_positive_feedback_is_refused_by_name() -> None:
    netlist = Netlist(
        [
            VoltageSource("Vin", "in", "0", "1 V"),
            Resistor("R1", "in", "p", "1k"),
            Resistor("R2", "p", "out", "10k"),
            OpAmp("U7", plus="p", minus="0", out="out"),
        ]
    )
    with pytest.raises(NoNegativeFeedback, match="U7 is not under negative feedback"):
        Lesson.of(netlist).walk((voltage("out"),))


def test_an_input_that_a_source_holds_is_told_from_feedback_of_the_wrong_sign() -> None:
    netlist = Netlist(
        [
            VoltageSource("Vin", "in", "0", "1 V"),
            Resistor("Ri", "in", "m", "0 ohm"),
            Resistor("Rf", "m", "out", "10k"),
            OpAmp("U7", plus="0", minus="m", out="out"),
        ]
    )
    with pytest.raises(NoNegativeFeedback, match="U7 cannot move its − input"):
        Lesson.of(netlist).walk((voltage("out"),))


def test_a_quantity_that_nothing_determines_has_no_walk() -> None:
    netlist = Netlist([VoltageSource("V1", "a", "0", "1 V"), VoltageSource("V2", "a", "0", "1 V")])
    with pytest.raises(NoWalk, match="I_V1"):
        Lesson.of(netlist).walk((current("V1"),))


def test_a_method_that_is_not_taught_is_refused_by_name() -> None:
    with pytest.raises(MethodNotBuilt, match="'magic'"):
        LESSONS["inv"].walk((voltage("out"),), "magic")


def test_random_circuits_are_walked_and_every_step_is_true() -> None:
    walked = 0
    for seed in range(60):
        netlist = draw(seed)
        lesson = Lesson.of(netlist)
        target = voltage(netlist.opamps[-1].out)
        try:
            steps = lesson.walk((target,))
        except (NoSolution, NoNegativeFeedback):
            continue
        for step in steps:
            if not isinstance(step.exact, Affine):
                assert step.exact == lesson.values[step.target]
        walked += 1
    assert walked > 10


def test_a_circuit_with_a_capacitor_in_its_feedback_is_derived_and_judged_in_s() -> None:
    circuit = Circuit(
        [
            VoltageSource("V1", "in", "0", "1 V"),
            Resistor("R1", "in", "n", "10k"),
            Resistor("Rf", "n", "out", "20k"),
            Capacitor("C1", "n", "out", "1u"),
            OpAmp("U1", plus="0", minus="n", out="out"),
        ]
    )
    problem = ask(circuit, "V_out")
    assert problem.check("V_out", "-V1*Rf/R1/(1+s*Rf*C1)").kind == "right"
    assert not problem.check("V_out", "-V1*Rf/R1").right


def test_an_attempt_on_a_circuit_of_names_comes_to_its_end() -> None:
    circuit = Circuit(
        [
            VoltageSource("V1", "in", "0"),
            Resistor("R1", "in", "n"),
            Resistor("R2", "n", "out"),
            OpAmp("U1", plus="0", minus="n", out="out"),
        ]
    )
    attempt = ask(circuit, "V_out").begin()
    attempt, verdict = attempt.state("V_out = -V1*R2/R1")
    assert (verdict.kind, attempt.done) == ("right", True)
    assert str(attempt.stated["V_out"]) == "-R2*V1/R1"
    assert attempt.state("V_out = -V1*R2/R1")[1].kind == "known"


def test_no_wrong_move_of_a_step_rests_on_its_own_answer() -> None:
    for lesson in LESSONS.values():
        for quantity in lesson.values:
            if isinstance(quantity, Quantity):
                assert all(quantity not in keys(misuse.relation) for misuse in lesson.misuses(quantity))
