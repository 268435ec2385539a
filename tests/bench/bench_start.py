"""How long a start and a key take in a true terminal, with bare Python as the measure.

Run: ``python tests/bench/bench_start.py``

Prints medians and 95th percentiles; nothing here is judged. A pseudo-terminal is needed, so not on Windows.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from pathlib import Path

import pexpect

ROOT = Path(__file__).resolve().parents[2]
TWORULES = ("-c", "from tutor.commands import main; main()")
FAMILY = "adjustable-polarity-gain"
STARTS, KEYS = 9, 20
ENVIRONMENT = os.environ | {"TERM": "xterm-256color", "PYTHONPATH": str(ROOT), "LC_ALL": "C.UTF-8"}


def run_time(*words: str) -> float:
    """Seconds of one run of this Python with those words."""
    began = time.perf_counter()
    subprocess.run([sys.executable, *words], cwd=ROOT, env=ENVIRONMENT, stdout=subprocess.DEVNULL, check=True)
    return time.perf_counter() - began


def median_of_runs(*words: str) -> float:
    """Median of several runs, one to warm up left out."""
    run_time(*words)
    return statistics.median(run_time(*words) for _ in range(2 * STARTS))


def screen() -> tuple[float, float, list[float]]:
    """One start of the screen: seconds to the first paint, to the whole sheet, and from each key to the first byte."""
    began = time.perf_counter()
    child = pexpect.spawn(
        sys.executable,
        [*TWORULES, "practice", FAMILY, "--seed", "7"],
        env=ENVIRONMENT,
        dimensions=(40, 120),
        cwd=str(ROOT),
    )
    child.delaybeforesend = None
    child.expect("opening the problem")
    painted = time.perf_counter() - began
    child.expect("step 1 of")
    whole = time.perf_counter() - began
    time.sleep(1.0)  # the warm-up is done by then; its keys are measured apart
    waits = [key_wait(child, sign) for sign in ("0.123456789 " * 2)[:KEYS]]
    child.close(force=True)
    return painted, whole, waits


def key_wait(child: pexpect.spawn, sign: str) -> float:
    """Seconds from a key to the first byte that answers it."""
    drain(child)
    began = time.perf_counter()
    child.send(sign)
    child.read_nonblocking(1 << 16, timeout=2)
    took = time.perf_counter() - began
    time.sleep(0.05)
    return took


def drain(child: pexpect.spawn) -> None:
    """Read away what is still on its way, such as the cursor's blink."""
    try:
        while True:
            child.read_nonblocking(1 << 16, timeout=0.02)
    except pexpect.TIMEOUT:
        pass


def main() -> None:
    """Measure and print."""
    bare = median_of_runs("-c", "pass")
    print(f"bare Python                {bare * 1000:6.0f} ms")
    for name, words in (
        ("--help", ("--help",)),
        ("families", ("families",)),
        ("derive", ("derive", FAMILY, "--seed", "7")),
        ("check", ("check", FAMILY, "--seed", "7", "V_2 = V_3")),
    ):
        took = median_of_runs(*TWORULES, *words)
        print(
            f"tworules {name:12}      {took * 1000:6.0f} ms   {(took - bare) * 1000:+.0f} ms, {took / bare:.1f} times"
        )
    paints, wholes, keys = zip(*(screen() for _ in range(STARTS)), strict=True)
    waits = sorted(wait for run in keys for wait in run)
    for name, times in (("start to first paint", paints), ("start to whole sheet", wholes)):
        took = statistics.median(times)
        print(f"{name:26} {took * 1000:6.0f} ms   {took / bare:.1f} times bare Python")
    print(f"key to paint, median       {statistics.median(waits) * 1000:6.1f} ms")
    print(f"key to paint, 95th of 100  {waits[int(len(waits) * 0.95)] * 1000:6.1f} ms   ({len(waits)} keys)")


if __name__ == "__main__":
    main()
