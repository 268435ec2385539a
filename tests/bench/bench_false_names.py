"""How often unrelated wrong values are given a cause, printed: python tests/bench/bench_false_names.py"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

from resistive_families import resistive_families

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

from wrong_values import counted, shares

SEEDS, EACH = range(5), 30


def main() -> None:
    counts = counted(resistive_families(), SEEDS, EACH, seed=1)
    whole: Counter[str] = sum(counts.values(), Counter())
    named, asked = shares(whole)
    print(f"{sum(whole.values())} unrelated values at {len(counts)} steps: {named:.1%} named, {asked:.1%} asked about")
    print("the twelve steps with most")
    for (family, quantity), found in sorted(counts.items(), key=lambda item: -sum(shares(item[1])))[:12]:
        named, asked = shares(found)
        print(f"{named + asked:7.1%}  {named:6.1%} named {asked:6.1%} asked  {quantity:8} {family}")


if __name__ == "__main__":
    main()
