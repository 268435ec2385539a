"""Answers at a frequency: however a phasor is typed, and what is said where half of it is off."""

from __future__ import annotations

import pytest
from complex_judge import phasors
from filters import filter_circuit

from problems.problem import ask

CIRCUIT = filter_circuit("low-pass", {"f": "1.5 kHz"})
PROBLEM = ask(CIRCUIT, "V_out")
TRUTH = phasors(CIRCUIT, 1500.0)["out"]
"""2.0334 V at 115.747°, -0.88331 V + j·1.8315 V."""


def test_the_figures_typed_below_are_those_of_the_judge() -> None:
    assert pytest.approx(-0.883 + 1.83j, rel=2e-3) == TRUTH


@pytest.mark.parametrize(
    "text",
    [
        "2.03 V at 115.7 deg",
        "2.03 V at 115.7°",
        "2.03∠115.7° V",
        "2.03 V ∠ 115.7",
        "2.03 V, 115.7 deg",
        "2.03 V at 2.02 rad",
        "2.03 V at -244.3 deg",
        "-0.883+1.83j V",
        "-0.883 + j1.83 V",
        "(-0.883 + 1.83j) V",
        "-883+1830j mV",
        "-0.883 V + j*1.83 V",
        "V_out = -(Rf/R1)*Vin/(1+s*Rf*Cf)",
        "V_out = -Rf/R1*Vin/(1 + j*2*pi*f*Rf*Cf)",
    ],
)
def test_a_right_phasor_is_right_in_every_form(text: str) -> None:
    assert PROBLEM.check("V_out", text).kind == "right"


@pytest.mark.parametrize(
    ("text", "move"),
    [
        ("2.03 V", "size-alone"),
        ("2.03 V at -115.7 deg", "phase-sign"),
        ("2.03 V at 2.02 deg", "radians-given"),
    ],
)
def test_a_slip_in_writing_it_down_is_named(text: str, move: str) -> None:
    verdict = PROBLEM.check("V_out", text)
    assert (verdict.kind, verdict.wrong_move) == ("wrong-move", move)


def test_hertz_taken_for_radians_is_named() -> None:
    mistaken = phasors(CIRCUIT, 1500.0 / (2 * 3.141592653589793))["out"]
    verdict = PROBLEM.check("V_out", f"{mistaken.real:.4f} + j*{mistaken.imag:.4f} V")
    assert verdict.wrong_move == "hertz-for-radians"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2.03 V at 80 deg", "The size is right, the phase is not."),
        ("3.1 V at 115.7 deg", "The phase is right, the size"),
    ],
    ids=["phase off", "size off"],
)
def test_which_half_is_off_is_said(text: str, said: str) -> None:
    verdict = PROBLEM.check("V_out", text)
    assert verdict.kind == "wrong"
    assert said in verdict.message


@pytest.mark.parametrize(
    ("degrees", "right"),
    [("116.2", True), ("115.3", True), ("116.4", False), ("115.1", False), ("475.7", True)],
)
def test_a_phase_has_room_of_half_a_degree_on_the_circle(degrees: str, right: bool) -> None:
    assert PROBLEM.check("V_out", f"2.033 V at {degrees} deg").right is right
    assert PROBLEM.check("phase V_out", f"{degrees} deg").right is right


@pytest.mark.parametrize(("size", "right"), [("2.05", True), ("2.015", True), ("2.06", False), ("2.01", False)])
def test_a_size_has_room_of_one_per_cent(size: str, right: bool) -> None:
    assert PROBLEM.check("V_out", f"{size} V at 115.75 deg").right is right
    assert PROBLEM.check("|V_out|", f"{size} V").right is right


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("|V_out| = 2.03 V", "right"),
        ("phase V_out = 115.7 deg", "right"),
        ("phase(V_out) = 2.02 rad", "right"),
        ("gain = 2.03 at 115.7", "right"),
        ("V_out(f=0) = -4.68 V", "right"),
        ("gain(f=inf) = 0", "right"),
        ("f_c = 723 Hz", "right"),
        ("f_c = 4.55 kHz", "wrong-move"),
        ("f_c = 1/(2*pi*Rf*Cf)", "right"),
        ("I_Rf + I_Cf = I_R1", "right"),
    ],
)
def test_other_quantities_are_stated_by_their_names(text: str, kind: str) -> None:
    assert PROBLEM.check("V_out", text).kind == kind


def test_an_attempt_in_phasors_ends_with_what_is_asked() -> None:
    problem = ask(CIRCUIT, "|V_out|", "phase V_out")
    attempt, first = problem.begin().state("V_out = 2.03 V at 115.7 deg")
    attempt, second = attempt.state("|V_out| = 2.03 V")
    attempt, third = attempt.state("phase V_out = 115.7 deg")
    assert [first.kind, second.kind, third.kind] == ["right"] * 3
    assert attempt.done
