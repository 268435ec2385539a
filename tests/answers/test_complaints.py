"""The eight complaints of people who have to enter numbers into a checker, one test each.

They were gathered from public threads; each is what a student said went wrong, and the test is what happens here.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from station_lesson import inverter, said, vane

import problems
import tutor
from problems import families


@pytest.mark.parametrize("unit", ["A", "ohm", "mA", "s"])
def test_1_zero_with_any_unit_does_not_pass(unit: str) -> None:
    assert said(inverter(), f"V_2 = 0 {unit}").kind == "unit-wrong"
    assert said(inverter(), "V_2 = 0 mV").kind == "right"


@pytest.mark.parametrize("text", ["I_Rf = -17.4 uA", "I_Rf = −17.4 µA", "I_Rf = -1.74e-5 A", "I_Rf = -17.4uA"])
def test_2_a_negative_value_with_a_unit_is_read(text: str) -> None:
    assert said(vane(), text).kind == "right"


@pytest.mark.parametrize("text", ["0.24 V", "0.24V", "240 mV", "240mV", "0.02927 mA kohm * 8.2", "0.02927mA*8.2kohm"])
def test_3_units_run_together_or_apart_are_read_alike_and_nothing_fails(text: str) -> None:
    assert said(vane(), f"V_Ri = {text}").kind == "right"


@pytest.mark.parametrize("value", [0.56, 0.8, 5.6, 0.6, 0.123])
def test_4_the_same_value_gets_the_same_message_in_every_prefix(value: float) -> None:
    texts = [
        f"V_3 = {value:.6g} V",
        f"V_3 = {value * 1e3:.6g} mV",
        f"V_3 = {value / 1e3:.6g} kV",
        f"V_3 = {value:.6e} V",
    ]
    verdicts = [said(vane(), text) for text in texts]
    assert len({(verdict.kind, verdict.message) for verdict in verdicts}) == 1


def test_5_a_unit_left_out_is_a_remark_and_costs_nothing() -> None:
    verdict = said(vane(), "0.56", "V_3")
    assert (verdict.kind, verdict.value is not None, verdict.costs_a_try) == ("unit-missing", True, False)
    assert "right value, no unit" in verdict.message


@pytest.mark.parametrize(
    "text", ["V_out/Vin = 1.417", "V_out/Vin = 1.417 V/V", "V_out = 1.417*Vin", "V_3 = 70 % * Vin"]
)
def test_6_a_pure_number_takes_no_unit_and_one_that_cancels_is_not_refused(text: str) -> None:
    assert said(vane(), text).kind == "right"


def test_7_no_example_in_a_prompt_is_an_answer() -> None:
    """Examples name quantities that no family asks for."""
    folders = (Path(module.__file__ or "").parent for module in (problems, tutor))
    shown = "\n".join((folder / "words.toml").read_text("utf-8") for folder in folders)
    examples = re.findall(r"\b([VI]_\w+) ?= ?[\d.]+ ?\w+", shown)
    asked = {name for family in families() for name in family.problem(seed=1).asks}
    assert examples
    assert not asked & set(examples)


def test_8_the_right_size_with_the_wrong_sign_is_remarked_on() -> None:
    current, voltage = said(vane(), "I_Ri = -29.3 uA"), said(vane(), "V_3 = -0.56 V")
    assert not current.costs_a_try
    assert "arrow" in current.message
    assert voltage.kind in {"sign", "wrong-move"}
    assert "other sign" in voltage.message or "0 V" in voltage.message
