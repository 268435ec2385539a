"""How long the next hint takes from any set of statements, over all families: python tests/bench/bench_hints.py

For random subsets of the true quantities of each family's variants, some with a true equation stated:
the next step and its first rung, in processor time, since a machine may be shared. The circuits that were published
stand for those whose walk needs an unknown. The aim is 10 ms at the 95th percentile.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from time import process_time

sys.path.insert(0, str(Path(__file__).parents[1]))

from published_cases import circuit_of, published
from resistive_families import resistive_families
from stated_subsets import standings

from problems import Attempt, Circuit, Problem, ask
from problems.derivation.affine import Affine
from problems.derivation.step import Step
from problems.quantities import Quantity, canonical

SEEDS = 6
SUBSETS = 12


def timed(attempt: Attempt) -> float:
    fresh = replace(attempt)
    begun = process_time()
    fresh.hint()
    return (process_time() - begun) * 1e3


def main() -> None:
    dice = random.Random(0)
    taught = [family.problem(seed=seed) for family in resistive_families() for seed in range(SEEDS)]
    report("families", taught, dice)
    report("published circuits", list(asked_of_published()), dice)


def asked_of_published() -> Iterator[Problem]:
    for case in published("resistive"):
        netlist, expect = circuit_of(case), case["expect"][0]
        kind = "I" if expect["quantity"] == "current" else "V"
        with suppress(ValueError):
            yield ask(Circuit(netlist.parts, netlist.values), canonical(Quantity(kind, expect["of"])))


def report(title: str, problems: list[Problem], dice: random.Random) -> None:
    times: list[float] = []
    carried = 0
    for problem in problems:
        problem.begin().hint()
        for attempt in standings(problem, SUBSETS, dice):
            times.append(timed(attempt))
            step = attempt.next_step
            carried += isinstance(step, Step) and (step.role != "law" or isinstance(step.exact, Affine))
    times.sort()
    count = len(times)
    figures = f"median {times[count // 2]:.2f}, p95 {times[int(count * 0.95)]:.2f}, worst {times[-1]:.2f} ms"
    print(f"{title}: {count} standings, {carried} of which rest on an unknown: {figures}")


if __name__ == "__main__":
    main()
