"""How random circuits are walked by each method, printed: ``python tests/bench/bench_methods.py [circuits]``.

One output voltage a circuit. Every walk must end at the right value; its steps are compared with the exact solution.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

from random_circuits import draw

from problems.circuits.faults import NoSolution
from problems.derivation.affine import Affine
from problems.derivation.faults import NoNegativeFeedback
from problems.derivation.lesson import Lesson
from problems.derivation.step import Step
from problems.quantities import Quantity, voltage


def circuits(count: int) -> Iterator[tuple[Lesson, Quantity]]:
    """That many random circuits with a solution and negative feedback."""
    seed = found = 0
    while found < count:
        netlist = draw(seed)
        seed += 1
        try:
            lesson = Lesson.of(netlist)
            lesson.check_rules_hold()
            lesson.check_consistent()
        except (NoSolution, NoNegativeFeedback):
            continue
        found += 1
        yield lesson, voltage(netlist.opamps[-1].out)


def way(steps: tuple[Step, ...], method: str) -> str:
    """How a walk went."""
    assumed = [step for step in steps if step.role == "assume"]
    # a walk by laws that has turned to node equations calls the unknowns by their own names
    if method == "laws" and any(step.rule.fields.get("variant") == "named" for step in assumed):
        return "node equations"
    unknowns = len(assumed)
    return {0: "one law at a time", 1: "one unknown", 2: "two unknowns"}.get(unknowns, "more")


def untrue(steps: tuple[Step, ...], lesson: Lesson) -> int:
    """How many steps without an unknown state another value than the exact solution, and a wrong end."""
    return sum(not isinstance(step.exact, Affine) and step.exact != lesson.values[step.target] for step in steps)


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 500
    for method in ("laws", "nodes"):
        ways: Counter[str] = Counter()
        wrong, times = 0, []
        for lesson, target in circuits(count):
            begun = time.perf_counter()
            steps = lesson.walk((target,), method)
            times.append((time.perf_counter() - begun) * 1e3)
            ways[way(steps, method)] += 1
            wrong += untrue(steps, lesson) + (steps[-1].target != target)
        times.sort()
        print(f"{method}: {count} circuits, {wrong} untrue steps or ends")
        for name, number in ways.most_common():
            print(f"  {number / count:6.1%}  {name}")
        print(f"  search, structure new: median {times[count // 2]:.1f} ms, p95 {times[int(count * 0.95)]:.1f} ms")


if __name__ == "__main__":
    main()
