"""How long an exact solution takes, beside sympy and numpy on the same equations in the same run.

Run: ``python tests/bench/bench_solve.py``. Matrix building is included on all sides (the parts' stamps are evaluated
anew each time); conversion of results to sympy is left out on all sides. Times are medians.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve()
sys.path[:0] = [str(HERE.parents[2]), str(HERE.parents[1])]


import numpy as np
import sympy
from published_cases import circuit_of, published

from problems.circuits.equations import equations
from problems.circuits.feedback import feedback
from problems.circuits.netlist import Netlist
from problems.circuits.parts.base import Part
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource
from problems.circuits.solution import exact_values, solve
from problems.circuits.solver import flint_solve
from problems.formulas.ratio import Field

Task = Callable[[], Any]


def median(task: Task, seconds: float = 0.15, least: int = 3) -> float:
    """Median time of one call, in milliseconds."""
    task()
    times: list[float] = []
    stop = time.perf_counter() + seconds
    while len(times) < least or time.perf_counter() < stop:
        start = time.perf_counter()
        task()
        times.append((time.perf_counter() - start) * 1000)
    return statistics.median(times)


def exact(netlist: Netlist) -> Any:
    system = equations(netlist, netlist.values)
    right = {row: known for row, known in enumerate(system.right) if known}
    return flint_solve(system, [right])


def floating(netlist: Netlist) -> Any:
    system = equations(netlist, netlist.values)
    matrix = np.zeros((len(system.rows), len(system.unknowns)))
    for number, row in enumerate(system.rows):
        for column, entry in row.items():
            matrix[number, column] = entry
    return np.linalg.solve(matrix, np.array(system.right, dtype=float))


def by_sympy(netlist: Netlist, values: dict[str, Any]) -> Any:
    system = equations(netlist, values)
    symbols = sympy.symbols(f"x:{len(system.unknowns)}")
    lines = [
        sympy.Add(*(sympy.sympify(entry) * symbols[column] for column, entry in row.items())) - sympy.sympify(known)
        for row, known in zip(system.rows, system.right, strict=True)
    ]
    return sympy.solve(lines, symbols)


def named(netlist: Netlist) -> Netlist:
    """The same circuit with every value a name."""
    parts: list[Part] = []
    for part in netlist.parts:
        if isinstance(part, Resistor | VoltageSource):
            parts.append(type(part)(part.name, part.first, part.second))
        elif isinstance(part, OpAmp):
            parts.append(part)
        else:
            raise TypeError(part)
    return Netlist(parts)


def numbers() -> None:
    print(f"{'circuit':32}{'unknowns':>9}{'exact':>9}{'all':>9}{'feedback':>9}{'numpy':>9}{'sympy':>9}  ms")
    against_sympy, against_numpy = [], []
    for case in published("resistive"):
        netlist = circuit_of(case)
        size = len(equations(netlist, netlist.values).unknowns)
        ours, other = median(partial(exact, netlist)), median(partial(floating, netlist))
        slow = median(partial(by_sympy, netlist, dict(netlist.values)), 0.05)
        whole, sign = median(partial(exact_values, netlist)), median(partial(feedback, netlist))
        against_sympy.append(slow / ours)
        against_numpy.append(ours / other)
        print(f"{case['id']:32}{size:9}{ours:9.3f}{whole:9.3f}{sign:9.3f}{other:9.3f}{slow:9.2f}")
    print(
        f"sympy.solve / exact: median {statistics.median(against_sympy):.0f}, least {min(against_sympy):.0f}"
        f" (aim >= 100)\nexact / numpy: median {statistics.median(against_numpy):.2f},"
        f" most {max(against_numpy):.2f} (aim <= 10)"
    )


def formulas() -> None:
    print(f"\n{'all parts named':32}{'unknowns':>9}{'solve':>9}{'V_out':>9}{'sympy':>9}  ms")
    ratios = []
    for case in published("resistive"):
        try:
            netlist = named(circuit_of(case))
        except TypeError:
            continue
        if not netlist.opamps:
            continue
        solution = solve(netlist)
        size = len(equations(netlist, Field(netlist.units).generators).unknowns)
        ours = median(partial(solve, netlist))
        hand_out = median(partial(solution.voltage, "out"))
        values = {name: sympy.Symbol(name) for name in netlist.units}
        slow = median(partial(by_sympy, netlist, values), 0.05, 1)
        ratios.append(slow / ours)
        print(f"{case['id']:32}{size:9}{ours:9.3f}{hand_out:9.3f}{slow:9.2f}")
    print(f"sympy.solve / formulas: median {statistics.median(ratios):.0f}, least {min(ratios):.0f} (aim >= 20)")


if __name__ == "__main__":
    numbers()
    formulas()
