"""How long an accepted variant takes once its family is compiled, and how many draws it needs.

Run: ``python tests/bench/bench_families.py``

Times are means in milliseconds over the same seeds; ``problem`` is the variant with its circuit and its sentences made.
``first`` is the first variant, compiling included. Nothing here is judged; the aim is 1 ms for an accepted variant.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path

from resistive_families import resistive_families

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from problems.templates.maker import FamilyMaker, maker_of
from problems.templates.sample import Sampler, draw

WARM, SEEDS = 100, 400


def mean(task: Callable[[int], object]) -> float:
    """Milliseconds of one call, over the seeds after those that warm up."""
    began = time.perf_counter()
    for seed in range(WARM, WARM + SEEDS):
        task(seed)
    return (time.perf_counter() - began) / SEEDS * 1000


def draws_needed(sampler: Sampler, seed: int) -> int:
    """Draws up to the one that is taken."""
    counter = 0
    while sampler.judge(draw(sampler.definition, seed, counter, {})) is not None:
        counter += 1
    return counter + 1


def main() -> None:
    """One row a family, and the mean of all."""
    print(f"{'family':26} {'first':>8} {'variant':>8} {'problem':>8} {'draws':>6}")
    total = 0.0
    for family in resistive_families():
        maker = maker_of(family.text, family.name, family.file)
        assert isinstance(maker, FamilyMaker)
        began = time.perf_counter()
        maker.sampler.variant(0)
        first = (time.perf_counter() - began) * 1000
        for seed in range(WARM):
            maker.sampler.variant(seed)
        variant, problem = mean(maker.sampler.variant), mean(lambda seed, made=maker: made.problem(seed, {}, ()))  # type: ignore[misc]
        draws = sum(draws_needed(maker.sampler, seed) for seed in range(WARM)) / WARM
        total += variant
        print(f"{family.name:26} {first:8.1f} {variant:8.3f} {problem:8.3f} {draws:6.2f}")
    print(f"{'mean':26} {'':8} {total / len(resistive_families()):8.3f}")


if __name__ == "__main__":
    main()
