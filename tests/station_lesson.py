"""One lesson that many tests share: the vane amplifier with the values of the circuit worked in the README."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from problems.answers.judge import judge
from problems.answers.verdict import Verdict
from problems.circuits.netlist import Netlist
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.potentiometer import Potentiometer
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource
from problems.derivation.lesson import Lesson
from problems.quantities import Quantity


@cache
def vane(k: str = "0.7", vin: str = "0.8 V", ri: str = "8.2k", rf: str = "33k", rg: str = "12k") -> Lesson:
    """Vin to Ri and to the track of Rp; wiper to pin 3; Rg from pin 2 to ground; Rf from pin 2 to the output."""
    return Lesson.of(
        Netlist(
            [
                VoltageSource("Vin", "in", "0", vin),
                Resistor("Ri", "in", "2", ri),
                Resistor("Rg", "2", "0", rg),
                Resistor("Rf", "2", "out", rf),
                Potentiometer("Rp", "in", "0", wiper="3", value="20k", setting=k),
                OpAmp("U1", plus="3", minus="2", out="out"),
            ]
        )
    )


@cache
def inverter(vin: str = "0.3 V", ri: str = "4.7k", rf: str = "22k") -> Lesson:
    """Vin through Ri to pin 2, Rf from pin 2 to the output, pin 3 on ground."""
    return Lesson.of(
        Netlist(
            [
                VoltageSource("Vin", "in", "0", vin),
                Resistor("Ri", "in", "2", ri),
                Resistor("Rf", "2", "out", rf),
                OpAmp("U1", plus="0", minus="2", out="out"),
            ]
        )
    )


@cache
def balanced(k: str = "0.5") -> Lesson:
    """The vane amplifier without Rg and with equal resistors: gain 2k - 1, so 0 at one half."""
    return Lesson.of(
        Netlist(
            [
                VoltageSource("Vin", "in", "0", "0.8 V"),
                Resistor("Ri", "in", "2", "10k"),
                Resistor("Rf", "2", "out", "10k"),
                Potentiometer("Rp", "in", "0", wiper="3", value="20k", setting=k),
                OpAmp("U1", plus="3", minus="2", out="out"),
            ]
        )
    )


def quantity(lesson: Lesson, name: str) -> Quantity:
    return lesson.netlist.names.read(name)


def said(lesson: Lesson, text: str, asked: str | None = None, **stated: str) -> Verdict:
    """The verdict on a statement, with earlier ones given as ``V_2="0.5"`` in SI units."""
    before = {quantity(lesson, name): Fraction(value) for name, value in stated.items()}
    return judge(lesson, text, quantity(lesson, asked) if asked else None, before)
