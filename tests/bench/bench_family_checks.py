"""Every check of every family over many variants: what fails, and how long it takes.

Run: ``python tests/bench/bench_family_checks.py [SEEDS] [FAMILY …]``; two hundred seeds and every resistive family
where nothing is said. The suite runs the same checks on a few seeds. Seconds are per check over all seeds; ``failed``
counts the complaints, which stand below the table.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[up]) for up in (2, 1)]

from family_checks import OF_ANSWERS, OF_TEMPLATES, cases, complaints
from resistive_families import resistive_families


def main(seeds: int, names: list[str]) -> int:
    """One row a family; the number of complaints."""
    checks = (*OF_TEMPLATES, *OF_ANSWERS)
    for number, check in enumerate(checks, 1):
        print(f"{number}: {check.__name__.replace('_', ' ')}")
    print(f"{'family':26} {'made':>6} " + " ".join(f"{number:6}" for number in range(1, len(checks) + 1)) + " failed")
    found: list[str] = []
    for name in names:
        began = time.perf_counter()
        cases(name, seeds)
        times = [time.perf_counter() - began]
        failed = []
        for check in checks:
            began = time.perf_counter()
            failed += complaints(check, name, seeds)
            times.append(time.perf_counter() - began)
        cases.cache_clear()
        print(f"{name:26} " + " ".join(f"{seconds:6.2f}" for seconds in times) + f" {len(failed):6}", flush=True)
        found += failed
    print(f"{len(names)} families, {seeds} seeds each, {len(found)} complaints")
    print("\n".join(found))
    return len(found)


if __name__ == "__main__":
    given = sys.argv[1:]
    count = int(given.pop(0)) if given and given[0].isdigit() else 200
    sys.exit(bool(main(count, given or [known.name for known in resistive_families()])))
