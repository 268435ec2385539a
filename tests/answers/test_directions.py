"""Directions named beside a current, on a drawing: left and right, up and down, from and to."""

from __future__ import annotations

import pytest
from station_lesson import said

from problems.circuits.drawing import read_drawing
from problems.circuits.netlist import Netlist
from problems.derivation.lesson import Lesson

DRAWING = r"""
 Vin o--+---[Ri]----+-----+----[Rf]----+--o Vout
        |           |     |            |
        |          [Rg]   |  |\        |
        |           |     +--|-\       |
       [Rp]<---+   GND       |U1>------+
        |      +-------------|+/
       GND                   |/
"""
VALUES = {"Vin": "0.8 V", "Ri": "8.2k", "Rf": "33k", "Rg": "12k", "Rp": "20k", "k": "0.7"}
READ = read_drawing(DRAWING)
LESSON = Lesson.of(Netlist(READ.parts(VALUES), VALUES, drawing=READ))

ALONG = [
    "I_Ri = 29.3 uA left to right",
    "I_Ri = 29.3 uA to the right",
    "I_Ri = 29.3 uA, rightwards",
    "I_Ri = 29.3 uA (right)",
    "I_Ri = 29.3 uA from Vin to pin 2",
    "I_Ri = 29.3 uA flowing into pin 2",
    "I_Ri = 29.3 uA out of Vin",
    "I_Rg = 46.7 uA down",
    "I_Rg = 46.7 uA downwards to ground",
    "I_Rg = 46.7 uA top to bottom",
    "I_Rf = 17.4 uA right to left",
    "I_Rf = 17.4 uA from the output",
    "I_Rf = -17.4 uA to the output",
    "I_Rp.top = 40 uA down",
    "I_U1 = 17.4 uA out of pin 6",
    "I_U1 = 17.4 uA out of the pin",
    "I_U1 = 17.4 uA out of the output",
    "I_U1 = 17.4 uA from U1",
    "I_U1 = 17.4 uA out of the op-amp",
    "I_U1 = 17.4 uA to Vout",
    "I_U1 = 17.4 uA from the output pin to Vout",
    "I_U1 = -17.4 uA into the pin",
]
AGAINST = [
    "I_Ri = 29.3 uA right to left",
    "I_Rg = 46.7 uA up",
    "I_Rg = 46.7 uA from ground",
    "I_Rf = 17.4 uA left to right",
    "I_U1 = 17.4 uA into the output",
    "I_U1 = 17.4 uA into the pin",
    "I_U1 = 17.4 uA to U1",
    "I_U1 = 17.4 uA from Vout",
    "I_U1 = 17.4 uA into pin 6",
]
UNCLEAR = [
    "I_Ri = 29.3 uA down",
    "I_Rg = 46.7 uA left",
    "I_Ri = 29.3 uA to ground",
    "I_Ri = 29.3 uA from Vin to ground",
    "I_Ri = 29.3 uA left to right from pin 2",
    "I_Ri = 29.3 uA from nowhere",
    "I_U1 = 17.4 uA from U1 to pin 6",
    "I_U1 = 17.4 uA out of pin 2",
]


@pytest.mark.parametrize("text", ALONG)
def test_a_direction_that_fits_is_right(text: str) -> None:
    verdict = said(LESSON, text)
    assert verdict.kind == "right", verdict.message


@pytest.mark.parametrize("text", AGAINST)
def test_the_right_size_the_other_way_costs_no_try(text: str) -> None:
    verdict = said(LESSON, text)
    assert not verdict.right
    assert verdict.kind in {"wrong-move", "unclear", "sign"}, verdict.message
    assert not verdict.costs_a_try


@pytest.mark.parametrize("text", UNCLEAR)
def test_a_direction_that_says_nothing_is_asked_about(text: str) -> None:
    verdict = said(LESSON, text)
    assert verdict.kind == "unreadable"
    assert "does not say which way" in verdict.message
