"""How long a verdict takes, printed: python tests/bench/bench_answers.py (with the repository on the path)."""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).parents[1]))

from station_lesson import said, vane

STATEMENTS = (
    "V_3 = 0.56 V",
    "V_2 = 0 V",
    "V_2 = V_3",
    "I_Ri = (0.8-0.56)/8.2k",
    "I_Rf = 29.3 uA",
    "I_Rg = 46.7 uA down to ground",
    "V_out = 0.56 - 17.4uA*33k",
    "V_out = 1.5 V",
    "V_out = Vin*(k*(1+Rf/Ri+Rf/Rg)-Rf/Ri)",
    "(Vin - V_2)/Ri = V_2/Rg + (V_2 - V_out)/Rf",
)
LONGEST: dict[str, str] = {
    "10,000 brackets": "(" * 10_000,
    "10,000 digits": "9" * 10_000,
    "10,000 spaces": " " * 10_000,
    "1,000 brackets": "(" * 1000,
    "two meanings at every piece": ("2k+" * 99)[:-1],
    "two meanings under every slash": ("1/2 k " * 45).strip(),
    "powers of sums": "*".join(["(1.23456789+Vin)^12"] * 40),
    "meanings, then a fault": "V_2 = " + "2k+" * 98 + ")",
    "long divisions": "V_2=" + "/".join(["(Vin+V_3*1.2345)"] * 45),
    "many units": "V_2 = " + " + ".join(["1.25 mV"] * 90),
    "spaces and words": "V_2 = 1" + " to" * 330,
    "fifty letters of direction": "I_Ri = 1 " + "down " * 190,
    "signs": "V_2 = " + "-" * 900,
    "equation with two meanings": "2k+" * 49 + "1 = " + "2k+" * 49 + "1",
}


def times(act: Callable[[], object], repeats: int) -> list[float]:
    """Milliseconds of each run, sorted."""
    found = []
    for _ in range(repeats):
        begun = perf_counter()
        act()
        found.append((perf_counter() - begun) * 1e3)
    return sorted(found)


def main() -> None:
    lesson = vane()
    print(f"cold: {times(lambda: said(lesson, STATEMENTS[0]), 1)[0]:.2f} ms (one verdict, laws and words included)")
    warm: list[float] = []
    for text in STATEMENTS:
        said(lesson, text, V_3="0.55")
        runs = times(partial(said, lesson, text, V_3="0.55"), 50)
        warm += runs
        print(f"{runs[25]:7.2f} ms median  {text}")
    warm.sort()
    print(f"warm, all: median {warm[len(warm) // 2]:.2f} ms, p95 {warm[int(len(warm) * 0.95)]:.2f} ms (aim 5 ms)")
    for name, text in LONGEST.items():
        runs = times(partial(said, vane(), text, "V_2", V_3="0.55"), 5)
        print(f"{runs[-1]:7.2f} ms worst of 5  {name} (aim 50 ms)")


if __name__ == "__main__":
    main()
