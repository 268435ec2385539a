"""First- and second-order circuits for the tests, from the textbook (common practice), as netlists."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from problems.circuits.parts import Part
from problems.circuits.parts.capacitor import Capacitor
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.inductor import Inductor
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource
from problems.problem import Circuit

NETS = {
    "integrator": "V Vin in 0 1V | R R in n 47k | C Cf n out 220n | O U1 0 n out",
    "differentiator": "V Vin in 0 1V | C C1 in n 47n | R R n out 33k | O U1 0 n out",
    "low-pass": "V Vin in 0 1V | R R1 in n 4.7k | R Rf n out 22k | C Cf n out 10n | O U1 0 n out",
    "high-pass": "V Vin in 0 1V | R R1 in a 4.7k | C C1 a n 47n | R Rf n out 22k | O U1 0 n out",
    "low-pass follower": "V Vin in 0 2V | R R1 in p 10k | C C1 p 0 15n | O U1 p out out",
    "low-pass non-inverting": "V Vin in 0 1V | R R1 in p 10k | C C1 p 0 15n | R Ra n 0 10k | R Rb out n 33k"
    " | O U1 p n out",
    "high-pass non-inverting": "V Vin in 0 1V | C C1 in p 15n | R R1 p 0 10k | R Ra n 0 10k | R Rb out n 33k"
    " | O U1 p n out",
    "all-pass": "V Vin in 0 1V | R R1 in n 10k | R R2 n out 10k | R R3 in p 8.2k | C C1 p 0 22n | O U1 p n out",
    "gain of a cornered stage": "V Vin in 0 1V | R R1 n 0 10k | R Rf n out 47k | C Cf n out 1n | O U1 in n out",
    "RL": "V Vin in 0 1V | R R1 in out 1k | L L1 out 0 10mH",
    "lead-lag": "V Vin in 0 1V | R R1 in n 10k | C C1 in n 10n | R Rf n out 22k | C Cf n out 1n | O U1 0 n out",
    "second-order": "V Vin in 0 1V | R R1 in x 10k | R R2 x p 15k | C C1 x out 33n | C C2 p 0 10n | O U1 p out out",
    "multiple feedback": "V Vin in 0 1V | R R1 in x 10k | R R2 x out 22k | R R3 x n 8.2k | C C1 x 0 33n"
    " | C C2 n out 2.2n | O U1 0 n out",
    "RLC": "V Vin in 0 1V | R R1 in a 100 | L L1 a out 10mH | C C1 out 0 100n",
}


def filter_circuit(name: str, values: Mapping[str, Any] | None = None) -> Circuit:
    """The circuit of that name; ``values`` gives a condition such as ``f``, and other values."""
    return netlist_of(NETS[name], values)


def netlist_of(net: str, values: Mapping[str, Any] | None = None) -> Circuit:
    """A circuit written part by part: letter, name, nodes, value; an op-amp has +, - and output."""
    return Circuit([_part(*row.split()) for row in net.split(" | ")], values)


def _part(letter: str, name: str, *rest: str) -> Part:
    if letter == "O":
        return OpAmp(name, plus=rest[0], minus=rest[1], out=rest[2])
    kinds: dict[str, Any] = {"R": Resistor, "C": Capacitor, "L": Inductor, "V": VoltageSource, "I": CurrentSource}
    return kinds[letter](name, *rest)  # type: ignore[no-any-return]
