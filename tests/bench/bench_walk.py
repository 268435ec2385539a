"""How long a walk takes, structure included, against the exact solution of the same circuit in the same run.

Run: ``python tests/bench/bench_walk.py``. The aim for a walk is 3 ms at the 95th percentile.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from published_cases import circuit_of, published

from problems.circuits.equations import unvalued
from problems.circuits.netlist import Netlist
from problems.circuits.solution import exact_values
from problems.derivation import lawset
from problems.derivation.lesson import Lesson
from problems.quantities import Quantity
from problems.templates.library import families


def cold_walk(netlist: Netlist, targets: tuple[Quantity, ...]) -> float:
    """Seconds for laws, search and evaluation, nothing kept from before."""
    lawset._KEPT.clear()
    start = time.perf_counter()
    Lesson.of(netlist).walk(targets)
    return time.perf_counter() - start


def warm_walk(netlist: Netlist, targets: tuple[Quantity, ...]) -> float:
    start = time.perf_counter()
    Lesson.of(netlist).walk(targets)
    return time.perf_counter() - start


def solve(netlist: Netlist, targets: tuple[Quantity, ...]) -> float:
    start = time.perf_counter()
    exact_values(netlist)
    return time.perf_counter() - start


def main() -> None:
    cases: list[tuple[str, Netlist, tuple[Quantity, ...]]] = []
    for family in families():
        for seed in range(20):
            problem = family.problem(seed=seed)
            cases.append((family.name, problem.circuit, problem.asked))
    for case in published("resistive"):
        netlist = circuit_of(case)
        expect = case["expect"][0]
        kind = "I" if expect["quantity"] == "current" else "V"
        cases.append(("published", netlist, (Quantity(kind, expect["of"]),)))
    ours = [case for case in cases if case[0] != "published"]
    numbers = [case for case in ours if not unvalued(case[1])]
    names = len({case[0] for case in numbers})
    report(f"{names} families; of {len(ours)} variants {len(ours) - len(numbers)} in names or s left out", numbers)
    known = [case for case in cases if case[0] == "published"]
    carried = sum(any(step.role == "assume" for step in Lesson.of(n).walk(t)) for _, n, t in known)
    report(f"published cases (a voltage called unknown in {carried} of {len(known)})", known)


def report(title: str, cases: list[tuple[str, Netlist, tuple[Quantity, ...]]]) -> None:
    print(title)
    base = quantiles([min(solve(n, t) for _ in range(3)) for _, n, t in cases])
    for name, run in (
        ("exact solution", solve),
        ("walk, structure included", cold_walk),
        ("walk, structure kept", warm_walk),
    ):
        median, high = quantiles([min(run(n, t) for _ in range(3)) for _, n, t in cases])
        times = f"median {median * 1e3:7.3f} ms   p95 {high * 1e3:7.3f} ms"
        print(f"  {name:26} {times}   {median / base[0]:5.1f} x the solution")


def quantiles(times: list[float]) -> tuple[float, float]:
    ordered = sorted(times)
    return ordered[len(ordered) // 2], ordered[int(len(ordered) * 0.95)]


if __name__ == "__main__":
    main()
