"""A second way to solve a circuit, as judge of the exact one: floating point, node voltages as the only unknowns.

Nothing here is shared with the engine but the parts' names, nodes and values. Resistors enter as conductances, nodes
joined by voltage sources are summed into one (a supernode), op-amp outputs take the place of KCL; source and op-amp
currents are worked out afterwards from what the resistors leave over at each node.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from problems.circuits.netlist import Netlist
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.potentiometer import Potentiometer
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource


@dataclass(frozen=True)
class Judged:
    """Node voltages, branch currents and the condition number of the node equations."""

    voltages: dict[str, float]
    currents: dict[str, float]
    condition: float


class Undecided(Exception):
    """The node equations are singular, or so nearly that floating point cannot judge."""


def judge(netlist: Netlist, limit: float = 1e12) -> Judged:
    """The circuit by float nodal analysis. limit: condition number beyond which it is Undecided."""
    circuit = _Floats(netlist)
    matrix, right = circuit.node_equations()
    if matrix.shape[0] != matrix.shape[1]:
        raise Undecided
    scale = np.abs(matrix).max(axis=1, keepdims=True)
    if not scale.all():
        raise Undecided
    matrix, right = matrix / scale, right / scale[:, 0]
    condition = float(np.linalg.cond(matrix))
    if not condition < limit:
        raise Undecided
    solution = np.linalg.solve(matrix, right)
    # One round of refinement, so that the judge is good to the last digits even where the equations are stiff.
    solution = solution + np.linalg.solve(matrix, right - matrix @ solution)
    return Judged(circuit.named(solution), circuit.currents(solution), condition)


class _Floats:
    def __init__(self, netlist: Netlist):
        self.index = {node: number for number, node in enumerate(netlist.nodes[1:])}
        self.conductances: list[tuple[str, str, str, float]] = []
        self.volts: list[tuple[str, str, str, float]] = []
        self.amps: list[tuple[str, str, str, float]] = []
        self.opamps = [part for part in netlist.parts if isinstance(part, OpAmp)]
        self.loops: list[str] = []
        for part in netlist.parts:
            if isinstance(part, Resistor):
                self._resistance(part.name, part.first, part.second, float(netlist.values[part.symbol]))
            elif isinstance(part, Potentiometer):
                track, share = float(netlist.values[part.symbol]), float(netlist.values[part.share])
                self._resistance(f"{part.name}.top", part.top, part.wiper, (1 - share) * track)
                self._resistance(f"{part.name}.bottom", part.wiper, part.bottom, share * track)
            elif isinstance(part, VoltageSource):
                self.volts.append((part.name, part.first, part.second, float(netlist.values[part.symbol])))
            elif isinstance(part, CurrentSource):
                self.amps.append((part.name, part.first, part.second, float(netlist.values[part.symbol])))

    def _resistance(self, name: str, first: str, second: str, ohms: float) -> None:
        if first == second:
            self.loops.append(name)
        elif ohms:
            self.conductances.append((name, first, second, 1 / ohms))
        else:
            self.volts.append((name, first, second, 0.0))

    def _supernodes(self) -> dict[str, str]:
        """Node to the one that stands for all nodes joined to it by voltage sources."""
        chief = {node: node for node in ("0", *self.index)}

        def find(node: str) -> str:
            while chief[node] != node:
                node = chief[node]
            return node

        for _, first, second, _ in self.volts:
            chief[find(first)] = find(second)
        return {node: find(node) for node in chief}

    def _leaving(self) -> tuple[np.ndarray, np.ndarray]:
        """Per node but ground: matrix and vector with matrix @ v + vector = what resistors and sources take away."""
        size = len(self.index)
        matrix, vector = np.zeros((size, size)), np.zeros(size)
        for _, first, second, siemens in self.conductances:
            for here, there in ((first, second), (second, first)):
                if here != "0":
                    matrix[self.index[here], self.index[here]] += siemens
                    if there != "0":
                        matrix[self.index[here], self.index[there]] -= siemens
        for _, first, second, amperes in self.amps:
            for node, sign in ((first, 1.0), (second, -1.0)):
                if node != "0":
                    vector[self.index[node]] += sign * amperes
        return matrix, vector

    def node_equations(self) -> tuple[np.ndarray, np.ndarray]:
        leaving, vector = self._leaving()
        chiefs = self._supernodes()
        silent = {chiefs["0"], *(chiefs[amp.out] for amp in self.opamps)}
        rows, right = [], []
        for chief in dict.fromkeys(chiefs.values()):
            if chief not in silent:
                members = [number for node, number in self.index.items() if chiefs[node] == chief]
                rows.append(leaving[members].sum(axis=0))
                right.append(-vector[members].sum())
        for first, second, volts in [
            *((first, second, volts) for _, first, second, volts in self.volts),
            *((amp.plus, amp.minus, 0.0) for amp in self.opamps),
        ]:
            row = np.zeros(len(self.index))
            for node, sign in ((first, 1.0), (second, -1.0)):
                if node != "0":
                    row[self.index[node]] += sign
            rows.append(row)
            right.append(volts)
        return np.array(rows), np.array(right)

    def named(self, solution: np.ndarray) -> dict[str, float]:
        return {"0": 0.0} | {node: float(solution[number]) for node, number in self.index.items()}

    def currents(self, solution: np.ndarray) -> dict[str, float]:
        v = self.named(solution)
        found = {name: (v[first] - v[second]) * siemens for name, first, second, siemens in self.conductances}
        found |= {name: amperes for name, _, _, amperes in self.amps} | dict.fromkeys(self.loops, 0.0)
        supplied = [(name, first, second) for name, first, second, _ in self.volts]
        supplied += [(amp.name, "0", amp.out) for amp in self.opamps]
        if supplied:
            # KCL at every node: what voltage sources and op-amps carry away makes up for all the rest.
            leaving, vector = self._leaving()
            incidence = np.zeros((len(self.index), len(supplied)))
            for column, (_, first, second) in enumerate(supplied):
                for node, sign in ((first, 1.0), (second, -1.0)):
                    if node != "0":
                        incidence[self.index[node], column] += sign
            answer, _, rank, _ = np.linalg.lstsq(incidence, -(leaving @ solution + vector), rcond=None)
            if rank < len(supplied):
                raise Undecided
            found |= {name: float(value) for (name, _, _), value in zip(supplied, answer, strict=True)}
        return found
