"""A second way to solve a circuit at one frequency: complex floating point, node voltages and source currents.

Modified nodal analysis written anew; nothing is shared with the engine but the parts' names, nodes and values.
At 0 Hz it solves a resistive circuit.
"""

from __future__ import annotations

import numpy as np

from problems.circuits.netlist import Netlist
from problems.circuits.parts.capacitor import Capacitor
from problems.circuits.parts.inductor import Inductor
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource


def phasors(netlist: Netlist, hertz: float) -> dict[str, complex]:
    """Node to its voltage at a frequency, source values being amplitudes with phase 0."""
    return _solved(netlist, 2j * np.pi * hertz)


def _solved(netlist: Netlist, s: complex) -> dict[str, complex]:
    nodes = {node: number for number, node in enumerate(netlist.nodes[1:])}
    extra = [part for part in netlist.parts if isinstance(part, VoltageSource | OpAmp | Inductor)]
    size = len(nodes) + len(extra)
    matrix, right = np.zeros((size, size), complex), np.zeros(size, complex)

    def put(row: str | int, column: str | int, value: complex) -> None:
        if "0" not in (row, column):
            matrix[
                row if isinstance(row, int) else nodes[row], column if isinstance(column, int) else nodes[column]
            ] += value

    for part in netlist.parts:
        if isinstance(part, Resistor | Capacitor):
            value = float(netlist.values[part.symbol])
            siemens = s * value if isinstance(part, Capacitor) else 1 / value
            for one, two in ((part.first, part.second), (part.second, part.first)):
                put(one, one, siemens)
                put(one, two, -siemens)
    for number, part in enumerate(extra, len(nodes)):
        if isinstance(part, OpAmp):
            put(part.out, number, 1)
            put(number, part.plus, 1)
            put(number, part.minus, -1)
            continue
        first, second = part.nodes
        put(first, number, 1)
        put(second, number, -1)
        put(number, first, 1)
        put(number, second, -1)
        if isinstance(part, Inductor):
            matrix[number, number] -= s * float(netlist.values[part.symbol])
        else:
            right[number] = float(netlist.values[part.symbol])
    found = np.linalg.solve(matrix, right)
    return {"0": 0j, **{node: complex(found[number]) for node, number in nodes.items()}}
