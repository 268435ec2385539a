"""The one test command, ``python -m tests``: lint, format, types, layers and tests, each run whatever the others say.

Words after the command are handed to pytest. Exit status: the worst of all.
"""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PYTHON = sys.executable
CHECKS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("lint", ("-m", "ruff", "check", ".")),
    ("format", ("-m", "ruff", "format", "--check", ".")),
    ("types", ("-m", "mypy")),
    # import-linter has no module to run with -m
    ("layers", ("-c", "import importlinter.cli as c, sys; sys.exit(c.lint_imports_command())")),
    ("tests", ("-m", "pytest", "-q", "-n", "auto")),
)


def main(words: list[str]) -> int:
    """Run every check in turn, print one line for each at the end, return the worst exit status."""
    results: list[tuple[str, int, float]] = []
    for name, command in CHECKS:
        print(f"== {name}", flush=True)
        began = time.perf_counter()
        more = words if name == "tests" else []
        status = subprocess.run([PYTHON, *command, *more], cwd=ROOT, stdin=subprocess.DEVNULL, check=False).returncode
        results.append((name, status, time.perf_counter() - began))
    print()
    for name, status, took in results:
        print(f"{name:8} {'ok' if status == 0 else f'not yet (exit status {status})'}  {took:.1f} s")
    return max(abs(status) for _, status, _ in results)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
