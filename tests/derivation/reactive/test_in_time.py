"""Circuits in time: walks to an instant after a step, judged by integrating the state equation in floating point."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import pytest
from complex_judge import phasors
from filters import netlist_of

from problems.circuits.netlist import Netlist
from problems.circuits.parts.capacitor import Capacitor
from problems.circuits.parts.inductor import Inductor
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource

CASES: list[tuple[str, str, dict[str, Any]]] = [
    ("an RC from rest", "V Vin in 0 5V | R R1 in out 10k | C C1 out 0 1u", {"t": "12ms"}),
    ("an RC from 2 V", "V Vin in 0 5V | R R1 in out 10k | C C1 out 0 1u", {"t": "4ms", "V_C1(0)": "2"}),
    ("a divided RC", "V Vin in 0 5V | R R1 in out 10k | R R2 out 0 30k | C C1 out 0 1u", {"t": "5ms", "V_C1(0)": "-1"}),
    (
        "a low-pass stage",
        "V Vin in 0 1V | R R1 in n 4.7k | R Rf n out 22k | C Cf n out 10n | O U1 0 n out",
        {"t": "0.1ms", "V_Cf(0)": "1"},
    ),
    (
        "a high-pass stage",
        "V Vin in 0 1V | R R1 in a 4.7k | C C1 a n 47n | R Rf n out 22k | O U1 0 n out",
        {"t": "0.3ms", "V_C1(0)": "-0.4"},
    ),
    (
        "an integrator",
        "V Vin in 0 0.4V | R R in n 47k | C Cf n out 220n | O U1 0 n out",
        {"t": "30ms", "V_Cf(0)": "-1"},
    ),
    ("an RL", "V Vin in 0 5V | R R1 in out 1k | L L1 out 0 10mH", {"t": "7us", "I_L1(0)": "1mA"}),
]


def integrated(netlist: Netlist, seconds: float, start: float) -> float:
    """Voltage of node out after a time: the state stepped on by Heun's rule, its rate from resistive node equations."""
    part = next(part for part in netlist.parts if isinstance(part, Capacitor | Inductor))
    value = float(netlist.values[part.symbol])
    steps = 4000
    width, state = seconds / steps, start
    for _ in range(steps):
        first = _rate(netlist, part, state) / value
        second = _rate(netlist, part, state + width * first) / value
        state += width * (first + second) / 2
    return _held(netlist, part, state)["out"].real


def _held(netlist: Netlist, part: Capacitor | Inductor, state: float) -> dict[str, complex]:
    """Node voltages while the capacitor's voltage, or the inductor's current, is ``state``.

    An inductor is a source of ``state`` behind a resistance so high that nothing else of it matters.
    """
    others = [other for other in netlist.parts if other is not part]
    symbols = {s: netlist.values[s] for s in netlist.values if s in {p.symbol for o in others for p in o.parameters}}
    if isinstance(part, Capacitor):
        stands_in: list[Any] = [VoltageSource(part.name, part.first, part.second, repr(state) if state else "0")]
    else:
        stands_in = [
            Resistor("Rhuge", part.first, "huge", "1e9"),
            VoltageSource("Vhuge", "huge", part.second, f"{-state * 1e9:.9f}"),
        ]
    return phasors(Netlist([*others, *stands_in], symbols), 0.0)


def _rate(netlist: Netlist, part: Capacitor | Inductor, state: float) -> float:
    """Current into the capacitor, or voltage across the inductor."""
    volts = _held(netlist, part, state)
    if isinstance(part, Inductor):
        return (volts[part.first] - volts[part.second]).real
    node, sign = (part.first, 1.0) if part.first != "0" and not _is_driven(netlist, part.first) else (part.second, -1.0)
    leaving = 0.0
    for other in netlist.parts:
        if isinstance(other, Resistor) and node in (other.first, other.second):
            far = other.second if other.first == node else other.first
            leaving += (volts[node] - volts[far]).real / float(netlist.values[other.symbol])
    return -sign * leaving


def _is_driven(netlist: Netlist, node: str) -> bool:
    return any(isinstance(part, OpAmp) and part.out == node for part in netlist.parts)


@pytest.mark.parametrize(("net", "values"), [case[1:] for case in CASES], ids=[case[0] for case in CASES])
def test_a_walk_in_time_ends_where_the_state_equation_leads(net: str, values: Mapping[str, Any]) -> None:
    circuit = netlist_of(net, values)
    start = float(next((circuit.values[name] for name in circuit.values if name.endswith("(0)")), 0))
    truth = integrated(circuit, float(circuit.values["t"]), start)
    step = circuit.walk("V_out")[-1]
    assert step.quantity == "V_out"
    assert float(step.exact) == pytest.approx(truth, rel=2e-5, abs=1e-6)


def test_the_steps_are_start_final_value_time_constant_and_then_the_instant() -> None:
    _, net, values = CASES[3]
    steps = netlist_of(net, values).walk("V_out")
    assert [step.quantity for step in steps][-4:] == ["V_out(t=0)", "R_seen", "tau", "V_out"]
    assert any(step.quantity == "V_out(t=inf)" for step in steps)
    by_name = {step.quantity: float(step.exact) for step in steps}
    assert by_name["V_out(t=0)"] == -1
    assert by_name["tau"] == pytest.approx(220e-6)


def test_an_integrator_moves_evenly_from_where_it_starts() -> None:
    _, net, values = CASES[5]
    steps = {step.quantity: float(step.exact) for step in netlist_of(net, values).walk("V_out")}
    assert steps["I_Cf(t=0)"] == pytest.approx(0.4 / 47e3)
    assert steps["slope"] == pytest.approx(-0.4 / (47e3 * 220e-9))
    assert steps["V_out"] == pytest.approx(1 - 0.4 * 0.03 / (47e3 * 220e-9))


def test_a_differentiator_answers_to_the_slope_alone() -> None:
    net = "V Vin in 0 0.9V | C C1 in n 47n | R R n out 33k | O U1 0 n out"
    steps = netlist_of(net, {"slope_Vin": "150"}).walk("V_out")
    assert [step.law for step in steps] == ["capacitor", "same-current", "equal-inputs", "hop"]
    assert float(steps[-1].exact) == pytest.approx(-33e3 * 47e-9 * 150)


def test_after_five_time_constants_little_is_left_of_the_start() -> None:
    net = "V Vin in 0 5V | R R1 in out 10k | C C1 out 0 1u"
    step = netlist_of(net, {"t": "50ms", "V_C1(0)": "2"}).walk("V_out")[-1]
    assert float(step.exact) == pytest.approx(5 - 3 * math.exp(-5))
