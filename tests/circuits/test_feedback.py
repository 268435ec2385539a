"""Whether the loop round an op-amp is negative."""

from __future__ import annotations

import pytest
from random_circuits import draw

from problems.circuits.equations import equations
from problems.circuits.feedback import driven, feedback
from problems.circuits.netlist import Netlist
from problems.circuits.parts import Part
from problems.circuits.parts.capacitor import Capacitor
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.potentiometer import Potentiometer
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource
from problems.circuits.solution import solve

VIN = VoltageSource("Vin", "in", "0", 1)


def howland(load: str | int | None, *values: str | None) -> list[Part]:
    first, second, third, fourth = values or (None,) * 4
    return [
        VIN,
        Resistor("R1", "in", "p", first),
        Resistor("R2", "p", "out", second),
        Resistor("R3", "n", "0", third),
        Resistor("R4", "out", "n", fourth),
        Resistor("RL", "p", "0", load),
        OpAmp("U1", "p", "n", "out"),
    ]


CASES: dict[str, tuple[list[Part], dict[str, str]]] = {
    "inverting": (
        [VIN, Resistor("R1", "in", "n", 1), Resistor("R2", "n", "out", 2), OpAmp("U1", "0", "n", "out")],
        {"U1": "negative"},
    ),
    "inputs the wrong way round": (
        [VIN, Resistor("R1", "in", "n", 1), Resistor("R2", "n", "out", 2), OpAmp("U1", "n", "0", "out")],
        {"U1": "positive"},
    ),
    "follower": ([VIN, OpAmp("U1", "in", "out", "out")], {"U1": "negative"}),
    "follower turned over": (
        [VIN, Resistor("R1", "in", "m", 1), OpAmp("U1", "out", "m", "out")],
        {"U1": "positive"},
    ),
    "no path back": (
        [VoltageSource("Vin", "in", "0", 0), Resistor("R1", "out", "0", 1), OpAmp("U1", "in", "0", "out")],
        {"U1": "none"},
    ),
    "a path back to both alike": (
        [
            VoltageSource("Vin", "in", "0", 0),
            Resistor("R1", "out", "p", 1),
            Resistor("R2", "p", "0", 1),
            Resistor("R3", "out", "n", 1),
            Resistor("R4", "n", "0", 1),
            OpAmp("U1", "p", "n", "out"),
        ],
        {"U1": "none"},
    ),
    "output on ground": (
        [VoltageSource("Vin", "in", "0", 0), Resistor("R1", "in", "n", 1), OpAmp("U1", "0", "n", "0")],
        {"U1": "none"},
    ),
    "a stage inside another's loop": (
        [
            VIN,
            Resistor("R1", "in", "n", 1),
            Resistor("R2", "n", "out", 1),
            OpAmp("U1", "n", "0", "mid"),
            Resistor("R3", "mid", "m", 1),
            Resistor("R4", "m", "out", 1),
            OpAmp("U2", "0", "m", "out"),
        ],
        {"U1": "negative", "U2": "negative"},
    ),
    "Howland pump with a load": (howland("1k", "10k", "10k", "10k", "10k"), {"U1": "negative"}),
    "Howland pump out of balance": (howland("1M", "10k", "1k", "10k", "10k"), {"U1": "positive"}),
    "Howland pump in names": (howland(None), {"U1": "negative"}),
    "polarity at any setting": (
        [
            VIN,
            Resistor("Ri", "in", "n", 1),
            Resistor("Rf", "n", "out", 1),
            Potentiometer("Rp", "in", "0", "p", 1),
            OpAmp("U1", "p", "n", "out"),
        ],
        {"U1": "negative"},
    ),
    "integrator": (
        [VIN, Resistor("R1", "in", "n", 1), Capacitor("C1", "n", "out"), OpAmp("U1", "0", "n", "out")],
        {"U1": "negative"},
    ),
    "beside sources that share their current in any way": (
        [
            VIN,
            VoltageSource("V2", "in", "0", 1),
            Resistor("R1", "in", "n", 1),
            Resistor("R2", "n", "out", 2),
            OpAmp("U1", "0", "n", "out"),
        ],
        {"U1": "negative"},
    ),
    "no op-amp": ([VIN, Resistor("R1", "in", "0", 1)], {}),
}


@pytest.mark.parametrize(("parts", "expected"), CASES.values(), ids=CASES.keys())
def test_feedback_is_told_by_the_sign_at_the_inputs(parts: list[Part], expected: dict[str, str]) -> None:
    assert feedback(Netlist(parts)) == expected


def test_a_circuit_without_negative_feedback_is_solved_and_said() -> None:
    solution = solve(Netlist(CASES["inputs the wrong way round"][0]))
    assert solution.voltage("out") == -2
    assert solution.feedback == {"U1": "positive"}


def test_one_solution_for_all_op_amps_agrees_with_the_test_done_in_full_for_each() -> None:
    compared = set()
    for seed in range(200):
        netlist = draw(seed)
        system = equations(netlist, netlist.values)
        quick = feedback(netlist)
        for amp in netlist.opamps:
            assert quick[amp.name] == driven(netlist, system, amp), seed
            compared.add(quick[amp.name])
    assert compared == {"negative", "positive", "none"}
