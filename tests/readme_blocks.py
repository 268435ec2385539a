"""The blocks of the README that are captured from the program: ``python -m tests.readme_blocks`` puts them in anew."""

from __future__ import annotations

import asyncio
import os
import re
import subprocess
import sys
from pathlib import Path

from tutor.screens.app import Tutor
from tutor.source import Source
from tutor.widgets.answer import Answer

ROOT = Path(__file__).resolve().parents[1]
README = ROOT / "README.md"
VALUES = {"Vin": "0.8", "Ri": "8.2k", "Rf": "33k", "Rg": "12k", "Rp": "20k", "k": "0.7"}
FAMILY = "adjustable-polarity-gain"
SAID = ("V_3 = k*Vin", "V_2 = V_3", "I_Ri = 29.3 uA", "I_Rg = 46.7 uA", "I_Rf = 29.3 uA")
TYPED = "I_Rf = 29.3uA - 46.7uA"
SIZE = (110, 21)


def picture() -> str:
    """The screen after a few statements, as it is painted."""
    return asyncio.run(_painted())


async def _painted() -> str:
    app = Tutor(Source(FAMILY, 7, VALUES))
    async with app.run_test(size=SIZE) as pilot:
        for text in SAID:
            await pilot.pause()
            app.screen.query_one(Answer).value = text
            await pilot.press("enter")
        app.screen.query_one(Answer).value = TYPED
        await pilot.pause()
        rows = [strip.text.rstrip() for strip in app.screen._compositor.render_strips()]
    return "\n".join(rows)


def worked() -> str:
    """What ``tworules derive`` prints for the same problem."""
    words = [word for name, value in VALUES.items() for word in ("--set", f"{name}={value}")]
    command = [sys.executable, "-c", "from tutor.commands import main; main()", "derive", FAMILY, "--seed", "7", *words]
    env = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8", "COLUMNS": "100"}
    done = subprocess.run(command, env=env, capture_output=True, check=True)
    return done.stdout.decode().rstrip("\n")


def block(text: str, name: str) -> str:
    """The fenced block below a marker."""
    found = re.search(rf"<!-- {name} -->\n```\w*\n(.*?)\n?```", text, re.DOTALL)
    if found is None:
        raise LookupError(name)
    return found[1]


def renewed(text: str) -> str:
    """The README with the captured blocks as the program gives them now."""
    for name, made in (("picture", picture()), ("worked", worked())):
        head = f"<!-- {name} -->\n```text\n"
        text = text.replace(f"{head}{block(text, name)}\n```", f"{head}{made}\n```").replace(
            f"{head}```", f"{head}{made}\n```"
        )
    return text


if __name__ == "__main__":
    README.write_text(renewed(README.read_text("utf-8")), "utf-8")
