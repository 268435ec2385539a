"""Circuits at a frequency: walks in phasors, judged by complex nodal analysis in floating point."""

from __future__ import annotations

from fractions import Fraction

import pytest
from complex_judge import phasors
from filters import NETS, filter_circuit

from problems.formulas.phasor import Phasor

FREQUENCIES = ("10 Hz", "720 Hz", "15 kHz")


@pytest.mark.parametrize("frequency", FREQUENCIES)
@pytest.mark.parametrize("name", NETS)
def test_a_walk_ends_at_the_phasor_of_the_judge(name: str, frequency: str) -> None:
    circuit = filter_circuit(name, {"f": frequency})
    truth = phasors(circuit, float(circuit.values["f"]))["out"]
    step = circuit.walk("V_out")[-1]
    assert step.quantity == "V_out"
    assert complex(step.exact) == pytest.approx(truth, rel=1e-9)


@pytest.mark.parametrize("method", ["superposition", "nodes"])
@pytest.mark.parametrize("name", NETS)
def test_other_methods_end_at_the_same_phasor(name: str, method: str) -> None:
    circuit = filter_circuit(name, {"f": "720 Hz"})
    truth = phasors(circuit, 720.0)["out"]
    assert complex(circuit.walk("V_out", method=method)[-1].exact) == pytest.approx(truth, rel=1e-9)


@pytest.mark.parametrize("name", NETS)
def test_every_step_of_a_walk_is_true(name: str) -> None:
    circuit = filter_circuit(name, {"f": "1.3 kHz"})
    truth = phasors(circuit, 1300.0)
    for step in circuit.walk("V_out"):
        if step.target.kind == "V" and isinstance(step.exact, Phasor | Fraction):
            assert complex(step.exact) == pytest.approx(truth[step.target.of], rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("name", ["low-pass", "second-order"])
def test_a_value_is_exact_and_prints_as_size_and_phase(name: str) -> None:
    step = filter_circuit(name, {"f": "1 kHz"}).walk("V_out")[-1]
    assert isinstance(step.exact, Phasor)
    assert isinstance(step.exact.real, Fraction)
    assert " at " in step.shown()
    assert step.shown().endswith("°")


@pytest.mark.parametrize("name", ["low-pass", "high-pass", "low-pass follower", "all-pass", "RL"])
def test_the_corner_is_where_the_judge_finds_three_decibels_or_a_right_angle(name: str) -> None:
    """At the corner of a first-order low- or high-pass the gain is down by the root of 2; an all-pass turns by 90°."""
    circuit = filter_circuit(name)
    corner = float(circuit.lesson.values[circuit.names.read("f_c")])
    at_corner = phasors(circuit, corner)["out"] / float(circuit.values["Vin"])
    passing = max(abs(phasors(circuit, hertz)["out"]) for hertz in (corner / 1e4, corner * 1e4)) / float(
        circuit.values["Vin"]
    )
    if name == "all-pass":
        assert abs(at_corner.real) < 1e-9
    else:
        assert abs(at_corner) == pytest.approx(passing / 2**0.5, rel=1e-6)


@pytest.mark.parametrize(("state", "hertz"), [("f=0", 1e-6), ("f=inf", 1e12)])
@pytest.mark.parametrize(
    "name", ["low-pass", "high-pass", "low-pass follower", "high-pass non-inverting", "all-pass", "RL"]
)
def test_a_limit_is_what_the_judge_comes_close_to(name: str, state: str, hertz: float) -> None:
    circuit = filter_circuit(name)
    step = circuit.walk(f"gain({state})")[-1]
    truth = phasors(circuit, hertz)["out"] / float(circuit.values["Vin"])
    assert float(step.exact) == pytest.approx(truth.real, rel=1e-6, abs=1e-5)
    assert abs(truth.imag) < 1e-4


def test_size_and_phase_are_asked_as_quantities_of_their_own() -> None:
    circuit = filter_circuit("low-pass", {"f": "1.5 kHz"})
    truth = phasors(circuit, 1500.0)["out"]
    size, phase = circuit.walk("|V_out|")[-1], circuit.walk("phase V_out")[-1]
    assert float(size.exact) == pytest.approx(abs(truth))
    assert float(phase.exact) == pytest.approx(115.747, abs=1e-3)
    assert (size.unit, phase.unit) == ("V", "deg")


def test_dc_is_a_walk_in_the_circuit_with_its_capacitor_open() -> None:
    steps = filter_circuit("low-pass", {"s": 0}).walk("V_out")
    assert [step.law for step in steps] == ["equal-inputs", "ohm", "same-current", "hop"]
    assert steps[-1].exact == Fraction(-220, 47)


@pytest.mark.parametrize("name", ["low-pass", "high-pass", "RL"])
def test_a_wrong_move_speaks_of_the_parts_that_are_there(name: str) -> None:
    """With an inductor no sentence names a capacitor; none is left with a blank, in a corner, a gain or a phase."""
    lesson = filter_circuit(name, {"f": "720 Hz"}).lesson
    names = ("V_out", "gain", "|gain|", "phase gain", "|V_out|", "phase V_out", "f_c")
    moves = [move for text in names for move in lesson.wrong_moves(lesson.netlist.names.read(text))]
    assert {"phase-sign", "time-constant-over-two-pi"} <= {move.key for move in moves}
    said = [part for move in moves for part in (move.name, move.why, move.ask)]
    assert not [text for text in said if "{" in text or (name == "RL" and "capacitor" in text)]
