"""Published worked examples, solved; each case in ``cases.toml`` names its source."""

from __future__ import annotations

import cmath
import math
from typing import Any

import pytest
import sympy
from published_cases import circuit_of, published

from problems.circuits.netlist import Netlist
from problems.circuits.parts import Part
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.potentiometer import Potentiometer
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource
from problems.circuits.solution import Solution, solve

RESISTIVE = published("resistive")
IN_S = published("first-order", "ac")


def test_all_resistive_cases_are_here() -> None:
    assert len(RESISTIVE) == 47
    assert all(case["source"] for case in RESISTIVE)


def stated(solution: Solution, expect: dict[str, Any]) -> Any:
    """The quantity that a case states, as solved."""
    if expect["quantity"] == "gain":
        return solution.transfer(expect["of"], expect["source"])
    if expect["quantity"] == "current":
        return solution.current(expect["of"])
    return solution.voltage(expect["of"])


@pytest.mark.parametrize("case", RESISTIVE, ids=lambda case: case["id"])
def test_a_published_resistive_case_comes_out_as_printed(case: dict[str, Any]) -> None:
    solution = solve(circuit_of(case))
    for expect in case["expect"]:
        value = stated(solution, expect)
        assert isinstance(value, sympy.Rational)
        assert float(value) == pytest.approx(expect["value"], rel=expect["tolerance"])


@pytest.mark.parametrize("case", RESISTIVE, ids=lambda case: case["id"])
def test_powers_of_a_published_case_add_up_to_nothing(case: dict[str, Any]) -> None:
    circuit = circuit_of(case)
    solution = solve(circuit)
    assert sum(solution.power(part.name) for part in circuit.parts) == 0


@pytest.mark.parametrize("case", IN_S, ids=lambda case: case["id"])
def test_a_published_case_with_capacitors_comes_out_as_printed(case: dict[str, Any]) -> None:
    circuit = circuit_of(case)
    judged = 0
    for expect in case["expect"]:
        if expect["quantity"] == "value":
            continue
        frequency = expect.get("frequency", case["given"].get("frequency"))
        at_frequency = solve(circuit).at(s=2 * sympy.pi * sympy.Float(frequency) * sympy.I)
        if expect["quantity"] == "phase":
            found = math.degrees(cmath.phase(complex(at_frequency.transfer(expect["of"], expect["source"]))))
        elif expect["quantity"] == "gain":
            found = abs(complex(at_frequency.transfer(expect["of"], expect["source"])))
        else:
            found = abs(complex(at_frequency.voltage(expect["of"])))
        assert found == pytest.approx(expect["value"], rel=expect["tolerance"])
        judged += 1
    assert judged


def polarity(setting: str, ri: str, rf: str, rg: str | None = None) -> Netlist:
    """Source to Ri and to a potentiometer whose wiper feeds the + input; Rg, if any, from the - input to ground."""
    parts: list[Part] = [
        VoltageSource("Vin", "in", "0", "1 V"),
        Resistor("Ri", "in", "n", ri),
        Resistor("Rf", "n", "out", rf),
        Potentiometer("Rp", "in", "0", "p", "10k", setting),
        OpAmp("U1", "p", "n", "out"),
    ]
    if rg is not None:
        parts.append(Resistor("Rg", "n", "0", rg))
    return Netlist(parts)


@pytest.mark.parametrize(("setting", "gain"), [("0", -1), ("1/2", 0), ("1", 1)], ids=["bottom", "middle", "top"])
def test_adjustable_polarity_with_equal_resistors_runs_from_minus_one_to_one(setting: str, gain: int) -> None:
    """Common practice: the sign-changing amplifier with one potentiometer."""
    assert solve(polarity(setting, "10k", "10k")).transfer("out", "Vin") == gain


@pytest.mark.parametrize(
    ("setting", "gain"),
    [("0", sympy.Integer(-3)), ("1/2", sympy.Integer(0)), ("1", sympy.Integer(3)), ("0.65", sympy.Rational(9, 10))],
    ids=["bottom", "middle", "top", "0.65"],
)
def test_adjustable_polarity_with_gain_is_symmetric_with_the_right_third_resistor(
    setting: str, gain: sympy.Rational
) -> None:
    """Common practice: a third resistor from the - input to ground makes the two ends equal and opposite."""
    assert solve(polarity(setting, "10k", "30k", "15k")).transfer("out", "Vin") == gain


def test_the_third_resistor_in_parallel_with_rf_equals_ri() -> None:
    """Common practice: the condition for gain(k=1) = -gain(k=0), found from formulas alone."""
    circuit = Netlist(
        [
            VoltageSource("Vin", "in", "0"),
            Resistor("Ri", "in", "n"),
            Resistor("Rf", "n", "out"),
            Resistor("Rg", "n", "0"),
            Potentiometer("Rp", "in", "0", "p"),
            OpAmp("U1", "p", "n", "out"),
        ]
    )
    solution = solve(circuit)
    gains = [solution.at(k=k).transfer("out", "Vin") for k in (0, 1)]
    ri, rf, rg = sympy.symbols("Ri Rf Rg")
    (condition,) = sympy.solve(sympy.Eq(gains[1], -gains[0]), ri)
    assert sympy.simplify(condition - rf * rg / (rf + rg)) == 0
