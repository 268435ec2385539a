"""A part of a new type, in one file of its own, is solved without a change to the solver; and what loading costs."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

import sympy

from problems.circuits.netlist import Netlist
from problems.circuits.parts import Branch, Equation, Parameter, Part
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource
from problems.circuits.solution import exact_values, solve
from problems.quantities import current, voltage

ROOT = Path(__file__).parents[2]


@dataclass(frozen=True)
class Transformer(Part):
    """An ideal transformer: two branches, V_primary = n · V_secondary and n · I_primary + I_secondary = 0."""

    letter = "T"
    kind = "toy-transformer"

    one: str
    two: str
    three: str
    four: str

    @property
    def nodes(self) -> tuple[str, ...]:
        return (self.one, self.two, self.three, self.four)

    @property
    def branches(self) -> tuple[Branch, ...]:
        return (
            Branch(f"{self.name}.primary", self.one, self.two),
            Branch(f"{self.name}.secondary", self.three, self.four),
        )

    @property
    def parameters(self) -> tuple[Parameter, ...]:
        return (Parameter(self.name, "", None),)

    def stamp(self, value: Mapping[str, Any]) -> tuple[Equation, ...]:
        turns, one = value[self.name], Fraction(1)
        return (
            Equation(
                {
                    voltage(self.one): one,
                    voltage(self.two): -one,
                    voltage(self.three): -turns,
                    voltage(self.four): turns,
                }
            ),
            Equation({current(f"{self.name}.primary"): turns, current(f"{self.name}.secondary"): one}),
        )


def circuit() -> Netlist:
    return Netlist(
        [
            VoltageSource("V1", "in", "x", "10 V"),
            VoltageSource("V2", "x", "0", "0 V"),
            Transformer("T1", "in", "x", "out", "x"),
            Resistor("RL", "out", "0", "8"),
        ]
    )


def test_a_part_with_two_branches_of_its_own_is_solved_in_numbers_and_in_names() -> None:
    values = exact_values(circuit().with_values({"T1": 5}))
    assert values[voltage("out")] == 2
    assert values[current("RL")] == Fraction(1, 4)
    assert values[current("T1.primary")] == Fraction(1, 20)
    turns = sympy.Symbol("T1")
    solution = solve(circuit())
    assert solution.voltage("out") == 10 / turns
    assert sympy.simplify(sum(solution.power(name) for name in ("V1", "V2", "T1", "RL"))) == 0


def test_nothing_heavy_is_loaded_before_a_circuit_is_solved() -> None:
    code = "import problems.circuits.solution, sys; print([m for m in ('flint', 'sympy', 'numpy') if m in sys.modules])"
    run = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


def test_numbers_never_load_sympy() -> None:
    code = """
import sys
from problems.circuits.netlist import Netlist
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource
from problems.circuits.solution import exact_values, feedback
exact_values(net := Netlist([VoltageSource("V1", "a", "0", "1 V"), Resistor("R1", "a", "0", "1k")]))
feedback(net)
print("sympy" in sys.modules)
"""
    run = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "False"
