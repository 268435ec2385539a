"""A circuit told in words says what the drawing shows."""

from __future__ import annotations

from drawings import GOOD

from problems.circuits.describe import describe
from problems.circuits.drawing import read_drawing
from problems.circuits.netlist import Netlist
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.resistor import Resistor


def test_a_drawn_circuit_is_told_one_fact_a_line() -> None:
    drawing = read_drawing(GOOD["adjustable polarity"].text)
    values = {"Vin": "0.8 V", "Ri": "8.2k", "Rp": "20k", "k": "0.7"}
    assert describe(Netlist(drawing.parts(values), values, drawing=drawing)) == (
        "Vin, 0.8 V, drives the terminal of that name against ground.",
        "Ri, 8.2 kΩ, from Vin to pin 2 of U1.",
        "Rf, from pin 2 of U1 to Vout.",
        "Rp, 20 kΩ, a potentiometer, top at Vin, bottom at ground.",
        "The wiper of Rp goes to pin 3 of U1.",
        "k is the share of Rp below the wiper: 0.7.",
        "U1 is an op-amp: pin 2 is its - input, pin 3 its + input, pin 6 its output.",
        "Pin 6 of U1 is at Vout.",
        "At Vin meet Ri and Rp.",
        "At pin 2 of U1 meet Ri and Rf.",
        "At Vout meet Rf and pin 6 of U1.",
        "At pin 3 of U1 there is only the wiper of Rp.",
    )


def test_a_grounded_pin_is_said_to_be_on_ground() -> None:
    drawing = read_drawing(GOOD["mirrored"].text)
    assert "Pin 3 of U1 is on ground." in describe(Netlist(drawing.parts({"Vin": None}), drawing=drawing))


def test_a_circuit_without_a_drawing_is_told_by_its_node_names() -> None:
    netlist = Netlist([CurrentSource("I1", "0", "a", "1 mA"), Resistor("R1", "a", "0", "2k")])
    assert describe(netlist) == (
        "I1, 1 mA, a current source; its current runs through it from ground to node a.",
        "R1, 2 kΩ, from node a to ground.",
        "At node a meet I1 and R1.",
    )
