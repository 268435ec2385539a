"""What one source gives, typed, asked, judged and helped with like any other quantity."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

import pytest
from wrong_move_catalogue import CATALOGUE, NETS, built, value_of

from problems import Circuit, CurrentSource, OpAmp, Resistor, VoltageSource, ask, family
from problems.derivation.faults import MethodNotBuilt
from problems.derivation.lesson import Lesson
from problems.problem import Attempt
from problems.quantities import UnknownQuantity


@cache
def difference() -> Circuit:
    """A difference stage: V_out[V1] = −4.7 V, V_out[V2] = 7.8375 V."""
    return Circuit(
        [
            VoltageSource("V1", "a", "0", "1 V"),
            VoltageSource("V2", "b", "0", "2 V"),
            Resistor("R1", "a", "2", "10k"),
            Resistor("R2", "2", "out", "47k"),
            Resistor("R3", "b", "3", "10k"),
            Resistor("R4", "3", "0", "22k"),
            OpAmp("U1", plus="3", minus="2", out="out"),
        ]
    )


@cache
def fed_both_ways() -> Circuit:
    """A voltage source and a current source into one summing point: V_out[V1] = −3 V, V_out[I1] = −2 V."""
    return Circuit(
        [
            VoltageSource("V1", "a", "0", "1 V"),
            CurrentSource("I1", "0", "n", "0.2 mA"),
            Resistor("R1", "a", "n", "3.3333k"),
            Resistor("Rf", "n", "out", "10k"),
            OpAmp("U1", plus="0", minus="n", out="out"),
        ]
    )


def after(*statements: str, method: str = "laws", circuit: Circuit | None = None) -> Attempt:
    attempt = ask(circuit or difference(), "V_out", method=method).begin()
    for statement in statements:
        attempt, _ = attempt.state(statement)
    return attempt


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        pytest.param("V_out[V1] = -4.7 V", "right", id="as the engine writes it"),
        pytest.param("Vout[V1] = -4.7 V", "right", id="without the underscore"),
        pytest.param("v_{out}[v1] = -4.7 V", "right", id="in braces and small letters"),
        pytest.param("V_out [V1] = -4.7 V", "right", id="with a blank before the brackets"),
        pytest.param("V_out[ V1 ]: -4.7 V", "right", id="with a colon and blanks inside"),
        pytest.param("V_out[V1] = -R2/R1*V1", "right", id="as a formula"),
        pytest.param("V_out[V1] = 4.7 V", "wrong-move", id="sign lost"),
        pytest.param("V_out[V1] = -4700 V", "power-of-ten", id="off by a power of ten"),
        pytest.param("V_out[V1] = -4.7", "unit-missing", id="without its unit"),
        pytest.param("V_out[V1] = -4.7 mA", "unit-wrong", id="in another unit"),
        pytest.param("I_R1[V2] = -137.5 uA", "right", id="a current"),
        pytest.param("V_R1[V2] = -1.375 V", "right", id="a drop"),
        pytest.param("V_2,out[V1] = 4.7 V", "right", id="between two nodes"),
        pytest.param("V_+[V2] = 1.375 V", "right", id="at a pin by its sign"),
        pytest.param("I_V2[V1] = 0", "right", id="in the wire that stands for a source"),
        pytest.param("V_b[V1] = 0", "right", id="at the end of that wire"),
        pytest.param("V_out = V_out[V1] + V_out[V2]", "right", id="the sum before its parts"),
        pytest.param("V_out - V_out[V2] = V_out[V1]", "right", id="the sum the other way"),
        pytest.param("V_out[V1] = V_out[V2]", "wrong", id="an equation that is false"),
        pytest.param("V_out[V3] = 1 V", "unreadable", id="no such source"),
        pytest.param("V_out[R1] = 1 V", "unreadable", id="a part that is no source"),
    ],
)
def test_a_contribution_is_read_and_judged(text: str, kind: str) -> None:
    _, verdict = ask(difference(), "V_out").begin().state(text)
    assert verdict.kind == kind, verdict.message


def test_brackets_round_no_source_name_the_sources() -> None:
    _, verdict = ask(difference(), "V_out").begin().state("2*V_out[V9] = 1 V")
    assert verdict.kind == "unreadable"
    assert "V9" in verdict.message
    assert "V1, V2" in verdict.message


@pytest.mark.parametrize("text", ["V_out = V1[2k-1]", "V_out = 3[V1 + 0]", "R1[1 + R2/R1]"])
def test_square_brackets_elsewhere_stay_brackets(text: str) -> None:
    _, verdict = ask(difference(), "V_out").begin().state(text)
    assert "in the brackets" not in verdict.message


def test_a_name_with_a_source_is_read_and_written() -> None:
    names = difference().names
    assert names.read("V_out[V2]") == names.read("V_out").by("V2")
    assert names.write(names.read("vout[v2]")) == "V_out[V2]"
    with pytest.raises(UnknownQuantity) as raised:
        names.read("V_out[V7]")
    assert raised.value.known == ("V_out[V1]", "V_out[V2]")


def test_the_copies_of_a_split_source_are_read() -> None:
    circuit = family("adjustable-polarity").problem(seed=7).circuit
    problem = ask(circuit, "V_out")
    names = ("V_out[Vin:Ri]", "V_out[ Vin : Rp ]")
    parts = [problem.answer(name) for name in names]
    assert sum(parts) == problem.answer("V_out") == problem.answer("V_out[Vin]")
    assert problem.check("V_out", "V_out[Vin:Ri] + V_out[Vin:Rp]").right


def test_contributions_are_asked_answered_and_checked() -> None:
    problem = ask(difference(), "V_out[V1]", "V_out[V2]", "V_out")
    assert problem.asks == ("V_out[V1]", "V_out[V2]", "V_out")
    assert problem.answer("V_out[V1]") == -Fraction(47, 10)
    assert problem.check("V_out[V1]", "-4.7 V").right
    assert [step.quantity for step in problem.steps][-1] == "V_out"


@pytest.mark.parametrize(
    ("name", "text", "move"),
    [
        pytest.param("V_out[V1]", "3.1375 V", "source-left-on", id="the other source left on"),
        pytest.param("V_out[V2]", "1.375 V", "voltage-source-opened", id="opened instead of made a wire"),
        pytest.param("V_out[V1]", "-3.23125 V", "factor-of-silent-path", id="divider of the silent source"),
        pytest.param("V_out[V1]", "7.8375 V", "contribution-of-other-source", id="what the other source gives"),
        pytest.param("V_out[V1]", "5.7 V", "non-inverting-formula", id="formula of the + path"),
        pytest.param("V_out", "7.8375 V", "contribution-left-out", id="one part left out"),
        pytest.param("V_out", "-12.5375 V", "contribution-sign", id="one part with the other sign"),
        pytest.param("V_out", "12.5375 V", "contribution-size-only", id="sizes added"),
        pytest.param("V_out", "1.56875 V", "contributions-averaged", id="averaged"),
    ],
)
def test_a_wrong_move_of_superposition_is_named(name: str, text: str, move: str) -> None:
    verdict = ask(difference(), "V_out[V1]", "V_out[V2]", "V_out").check(name, text)
    assert (verdict.kind, verdict.wrong_move) == ("wrong-move", move), verdict.message


def test_a_current_source_made_a_wire_is_named() -> None:
    circuit = Circuit(
        [
            VoltageSource("V1", "a", "0", "6 V"),
            CurrentSource("I1", "0", "b", "1 mA"),
            Resistor("R1", "a", "b", "1k"),
            Resistor("R2", "b", "c", "2k"),
            Resistor("R3", "c", "0", "3k"),
        ]
    )
    assert ask(circuit, "I_R1[V1]").answer("I_R1[V1]") == Fraction(1, 1000)
    assert ask(circuit, "I_R1[V1]").check("I_R1[V1]", "6 mA").wrong_move == "current-source-shorted"


def test_a_sum_of_own_wrong_contributions_is_carried() -> None:
    attempt = after("V_out[V1] = -4.2 V", "V_out[V2] = 7.84 V", method="superposition")
    _, verdict = attempt.state("V_out = 3.64 V")
    assert verdict.kind == "right-carried"
    assert "V_out[V1]" in verdict.message


def test_a_step_inside_a_sub_circuit_is_carried_from_own_values_there() -> None:
    attempt = after("V_3[V2] = 1.2 V", "V_2[V2] = 1.2 V", "I_R1[V2] = -120 uA", method="superposition")
    _, verdict = attempt.state("V_out[V2] = 6.84 V")
    assert verdict.kind == "right-carried"
    assert "V_3[V2]" in verdict.message


def test_help_goes_source_by_source() -> None:
    attempt = after(method="superposition")
    order = []
    while (step := attempt.next_step) is not None:
        order.append(step.quantity)
        for _ in range(4):
            attempt, _ = attempt.hint()
    assert attempt.done
    assert order == [step.quantity for step in difference().walk("V_out", "superposition")]
    assert order[-1] == "V_out"


def test_help_starts_from_what_is_stated_of_a_source() -> None:
    attempt = after("V_out[V1] = -4.7 V", "V_2[V2] = 1.375 V", method="superposition")
    assert attempt.next_step is not None
    assert attempt.next_step.quantity == "I_R1[V2]"


def test_a_change_of_method_keeps_what_is_stated() -> None:
    attempt = after("V_3 = 1.375 V", "V_out[V1] = -4.7 V")
    assert attempt.next_step is not None
    assert attempt.next_step.quantity == "V_2"
    changed = attempt.with_method("superposition")
    assert changed.stated == attempt.stated
    assert changed.next_step is not None
    assert changed.next_step.quantity == "V_3[V2]"
    back = changed.with_method("laws")
    assert back.next_step is not None
    assert back.next_step.quantity == "V_2"
    with pytest.raises(MethodNotBuilt):
        attempt.with_method("guess")


def test_two_kinds_of_source_are_superposed() -> None:
    attempt = after("V_out[V1] = -3 V", "V_out[I1] = -2 V", circuit=fed_both_ways())
    assert set(attempt.stated) == {"V_out[V1]", "V_out[I1]"}
    _, verdict = attempt.state("V_out = -5 V")
    assert verdict.right


def test_a_plain_problem_solves_no_sub_circuit() -> None:
    lesson = Lesson.of(difference())
    assert not any(getattr(key, "source", "") for key in lesson.values)
    assert lesson.holding((lesson.netlist.names.read("V_out"),)) is lesson


CONTRIBUTIONS = {"Vout_V1_only": "V_out[V1]", "Vout_V2_only": "V_out[V2]"}


@pytest.mark.parametrize(
    "move", [move for move in CATALOGUE["move"] if move["step"] in CONTRIBUTIONS], ids=lambda move: move["id"]
)
def test_the_catalogue_s_slips_of_one_source_come_from_a_misuse(move: dict[str, str]) -> None:
    example = next(circuit["example"] for circuit in CATALOGUE["circuit"] if circuit["id"] == move["circuit"])
    netlist = built(NETS[move["circuit"]], {name: Fraction(repr(value)) for name, value in example.items()})
    lesson = Lesson.of(netlist).superposed
    quantity = netlist.names.read(CONTRIBUTIONS[move["step"]])
    assert float(lesson.values[quantity]) == pytest.approx(value_of(move["correct"], example))
    wrong = value_of(move["wrong"], example)
    assert any(float(found.exact) == pytest.approx(wrong, rel=1e-6) for found in lesson.wrong_moves(quantity))
