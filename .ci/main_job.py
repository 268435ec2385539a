"""The main job with nothing but the installed command: derive every family, check its answers, practise it by pipe."""

from __future__ import annotations

import json
import subprocess
from typing import Any

SEED = "7"
MOST_FIGURES = 40


def run(*words: str, said: str = "", status: int = 0) -> str:
    """What ``tworules`` prints; fails unless it ends with that exit status and without a traceback."""
    done = subprocess.run(["tworules", *words], input=said, capture_output=True, encoding="utf-8", check=False)
    assert done.returncode == status, (words, done.returncode, done.stdout, done.stderr)
    assert "Traceback" not in done.stderr, done.stderr
    return done.stdout


def stated(step: dict[str, Any]) -> str:
    """A step as a student types it: exactly, unless that has more figures than anybody types."""
    value = step["value"]
    figures = value["exact"] if len(value["exact"]) <= MOST_FIGURES else repr(value["float"])
    return f"{step['quantity']} = {figures} {value['unit']}"


def main() -> None:
    names = [entry["name"] for entry in json.loads(run("families", "--json"))["families"]]
    assert len(names) >= 12, names
    for name in names:
        run("derive", name, "--seed", SEED)
        steps = json.loads(run("derive", name, "--seed", SEED, "--json"))["steps"]
        right = [stated(step) for step in steps if step["value"]["float"] is not None] or [stated(steps[-1])]
        run("check", name, "--seed", SEED, *right)
        run("check", name, "--seed", SEED, f"{steps[-1]['quantity']} = 123456 V", status=1)
        shown = run("practice", name, "--seed", SEED, "--lines", said="hint\n" + "\n".join(right) + "\nleave\n")
        assert shown.count("  right") >= 1, shown
        print(f"{name}: {len(steps)} steps derived, checked and practised")
    run("author", "new", "mine.toml")
    run("author", "proofread", "mine.toml")
    run("author", "preview", "mine.toml", "--seed", SEED)
    run("practice", "mine.toml", "--seed", SEED, said="hint\n")
    run("derive", "no-such-family", status=2)
    assert "Find " in run()
    print("a family of one's own written, proofread, previewed and practised")


if __name__ == "__main__":
    main()
