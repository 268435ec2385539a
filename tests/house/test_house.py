"""The house rules that a reader relies on: what a start may load, what the README promises, what the layers allow."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

import problems

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text("utf-8")
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "tutor", "problems", "tests", "content"}
HEAVY = {"textual", "rich", "sympy", "flint", "numpy"}


def loaded_after(code: str) -> set[str]:
    """Top-level modules loaded after that code ran in a fresh interpreter."""
    shown = f"{code}\nimport sys; print(*{{name.partition('.')[0] for name in sys.modules}})"
    done = subprocess.run([sys.executable, "-c", shown], cwd=ROOT, capture_output=True, text=True, check=True)
    return set(done.stdout.splitlines()[-1].split())


@pytest.mark.parametrize(
    "code",
    [
        pytest.param("import tutor.commands", id="the command line"),
        pytest.param(
            "from tutor.commands.group import group, COMMANDS; [group.get_command(None, c) for c in COMMANDS]",
            id="every command",
        ),
        pytest.param("from problems import families; families()", id="the list of families"),
    ],
)
def test_a_start_loads_nothing_heavy(code: str) -> None:
    assert loaded_after(code) & HEAVY == set()


def test_a_first_verdict_waits_for_no_algebra_system() -> None:
    code = "from problems import family; family('inverting').problem(seed=1).begin().state('V_out = 1 V')"
    assert loaded_after(code) & (HEAVY - {"flint"}) == set()


def test_line_mode_needs_no_screen_library() -> None:
    assert loaded_after("import tutor.lines, tutor.session, tutor.sheet") & {"textual", "rich"} == set()


def test_the_top_level_is_the_agreed_one() -> None:
    found = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert found - {"build", "dist"} - {name for name in found if name.endswith(".egg-info")} == TOP


def command_below(marker: str) -> str:
    """The first line of the first fence below a marker of the README."""
    found = re.search(rf"<!-- {marker} -->.*?```\w*\n(.*?)\n", README, re.DOTALL)
    assert found, marker
    return found[1]


@pytest.mark.parametrize("marker", ["first command", "test command"])
def test_a_readme_command_makes_its_own_environment_from_pinned_versions(marker: str) -> None:
    command = command_below(marker)
    assert command.startswith("python3 -m venv .venv && ")
    assert "-c .ci/constraints.txt" in command
    assert command.count("\n") == 0


def test_the_test_command_ends_in_the_module_that_runs_all_checks() -> None:
    assert command_below("test command").endswith("-m tests")
    assert (ROOT / "tests" / "__main__.py").is_file()


@pytest.mark.skipif(sys.platform == "win32", reason="the script is for a POSIX shell")
def test_ci_runs_the_same_commands(tmp_path: Path) -> None:
    """The script, in a copy whose commands only leave word that they ran, up to the first thing it does by itself."""
    text, log = README, tmp_path / "log"
    for marker in ("first command", "test command"):
        text = text.replace(f"\n{command_below(marker)}\n", f"\necho {marker} >> {log}\n")
    copy, stub = tmp_path / "copy", tmp_path / "stub"
    (copy / ".ci").mkdir(parents=True)
    (copy / "README.md").write_text(text, "utf-8")
    shutil.copy(ROOT / ".ci" / "run", copy / ".ci" / "run")
    stub.mkdir()
    (stub / "python3").write_text("#!/bin/sh\nexit 42\n", "utf-8")
    (stub / "python3").chmod(0o755)
    path = f"{stub}{os.pathsep}{os.environ['PATH']}"
    done = subprocess.run(
        ["bash", copy / ".ci" / "run"], env={**os.environ, "PATH": path}, capture_output=True, check=False
    )
    assert done.returncode == 42, done.stderr
    assert log.read_text("utf-8").splitlines() == ["first command", "test command"]


def test_every_dependency_is_pinned_within_its_bounds() -> None:
    pins = dict(
        re.findall(r"^([\w.-]+)==([\w.]+)", (ROOT / ".ci" / "constraints.txt").read_text("utf-8"), re.MULTILINE)
    )
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    wanted = project["dependencies"] + project["optional-dependencies"]["test"]
    names = {re.split(r"[<>=;\[ ]", line, maxsplit=1)[0] for line in wanted}
    assert names - set(pins) == set()


def test_both_packages_say_that_they_are_typed() -> None:
    assert (ROOT / "problems" / "py.typed").is_file()
    assert (ROOT / "tutor" / "py.typed").is_file()


def test_nothing_committed_names_a_machine() -> None:
    """No path of one machine and no address of a package mirror stands in a file that others read."""
    git = shutil.which("git")
    listed = git and subprocess.run([git, "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=False)
    if not listed or listed.returncode or not listed.stdout:
        pytest.skip("not a checkout, so nothing tells what is committed")
    for name in filter(None, listed.stdout.split("\0")):
        path = ROOT / name
        if path.is_file():
            text = path.read_bytes().decode("utf-8", "replace")
            # brackets, so that this line is not its own finding
            assert not re.search(r"index[-]url|find[-]links|/[r]oot/|/[h]ome/", text), path


def test_the_fixed_interface_hands_on_every_name_it_lists() -> None:
    assert all(getattr(problems, name) is not None for name in problems.__all__)
    assert set(problems.__all__) <= set(dir(problems))
