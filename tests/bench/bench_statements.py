"""Generated statements, true and false, in every written form: are the true ones accepted and the false ones refused?

Run: ``python tests/bench/bench_statements.py [COUNT]``; COUNT true ones and as many false, 100,000 unless said. Truth
is decided by a float solver on two sets of values.
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).parents[1]))

from generated_statements import Case, cases
from statement_beds import beds
from statement_verdicts import is_mistaken, judged

SHOWN = 12
"""Mistaken verdicts printed, of each form."""


def main(count: int) -> None:
    circuits = beds(400)
    times: list[float] = []
    begun = perf_counter()
    for is_true in (True, False):
        forms: Counter[str] = Counter()
        kinds: Counter[str] = Counter()
        mistaken: dict[str, list[tuple[Case, str]]] = {}
        for case in cases(count, is_true, circuits):
            start = perf_counter()
            verdict = judged(case)
            times.append(perf_counter() - start)
            forms[case.form] += 1
            kinds[verdict.kind] += 1
            if is_mistaken(case, verdict):
                mistaken.setdefault(case.form, []).append((case, verdict.kind))
        report(is_true, forms, kinds, mistaken)
    times.sort()
    print(f"{2 * count} statements about {len(circuits)} circuits in {perf_counter() - begun:.0f} s")
    print(f"a verdict: median {times[len(times) // 2] * 1e3:.2f} ms, p95 {times[int(len(times) * 0.95)] * 1e3:.2f} ms")


def report(
    is_true: bool, forms: Counter[str], kinds: Counter[str], mistaken: dict[str, list[tuple[Case, str]]]
) -> None:
    count = forms.total()
    print(f"{'true' if is_true else 'false'}: {count}, mistaken {sum(map(len, mistaken.values()))}")
    for form, number in forms.items():
        print(f"  {form:12} {number:7} ({number / count:.1%})   mistaken {len(mistaken.get(form, ()))}")
    print("  " + ", ".join(f"{kind} {number}" for kind, number in kinds.most_common()))
    for form, found in mistaken.items():
        for case, kind in found[:SHOWN]:
            place = case.bed.netlist
            print(f"    {form}: {case.text!r} asked {case.asked!r} -> {kind}; {dict(place.values)} {place.parts}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)
