"""The command line: what each command prints and how it ends."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from tutor.commands.group import COMMANDS, group
from tutor.source import Source

ROOT = Path(__file__).resolve().parents[2]
MAIN = "from tutor.__main__ import main; main()"
GOOD = """
               +----[Rf=20k]----+
               |                |
               |     |\\         |
 Vin o-[Ri=10k]+-----|-\\        |
                     |U1>-------+--o Vout
                 +---|+/
                GND  |/
"""


def run(*words: str) -> Result:
    return CliRunner().invoke(group, words)


def document(*words: str) -> Any:
    done = run(*words, "--json")
    assert done.exit_code in {0, 1}, done.output
    return json.loads(done.stdout)


@pytest.fixture
def drawing(tmp_path: Path) -> str:
    path = tmp_path / "mine.txt"
    path.write_text(GOOD, "utf-8")
    return str(path)


def test_help_lists_every_command_with_a_line_of_its_own() -> None:
    shown = run("--help").output
    for name in COMMANDS:
        assert any(line.strip().startswith(f"{name} ") and "..." not in line for line in shown.splitlines())


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help(name: str) -> None:
    done = run(name, "--help")
    assert done.exit_code == 0
    assert len(done.output.splitlines()) > 4


@pytest.mark.parametrize(
    ("words", "part"),
    [
        pytest.param(("practise",), "Did you mean 'practice'?", id="a command mistyped"),
        pytest.param(("derive",), "FAMILY|FILE", id="no family"),
        pytest.param(("derive", "invertign"), "inverting", id="a family mistyped"),
        pytest.param(("derive", "INVERTING"), "Families: inverting, non-inverting", id="a family in capitals"),
        pytest.param(("derive", ""), "there is nothing in it", id="an empty name"),
        pytest.param(("derive", "no/such/file"), "no/such/file", id="no such file"),
        pytest.param(("derive", "no/such.toml"), "no/such.toml", id="no such family file"),
        pytest.param(("practice", "no/such.txt"), "no/such.txt", id="no such drawing to practise"),
        pytest.param(("check", "no/such.toml", "V_out = 1 V"), "no/such.toml", id="no such file to check"),
        pytest.param(("author", "proofread", "no/such.toml"), "no/such.toml", id="no such family file to proofread"),
        pytest.param(("author", "proofread", "no/such.txt"), "no/such.txt", id="no such drawing to proofread"),
        pytest.param(("author", "preview", "no/such.toml"), "no/such.toml", id="no such family file to preview"),
        pytest.param(("author", "new", "no/such/my.toml"), "cannot be written", id="no such folder to write into"),
        pytest.param(("derive", str(ROOT)), "is a folder", id="a folder"),
        pytest.param(("author", "proofread", str(ROOT)), "is a folder", id="a folder to proofread"),
        pytest.param(("derive", "inverting", "--set", "Rf=0"), "hold another value", id="a value that a rule excludes"),
        pytest.param(("derive", "inverting", "--seed", "x"), "version code", id="a bad seed"),
        pytest.param(("derive", "inverting", "--set", "Ri=0"), "cannot move its − input", id="a pin held"),
        pytest.param(("derive", "inverting", "--set", "k"), "k=0.6", id="a setting without a value"),
        pytest.param(("derive", "inverting", "--set", "Rx=1k"), "Rx", id="a value of no part"),
        pytest.param(("derive", "inverting", "--set", "Rf=1 V"), "Rf", id="a value with the wrong unit"),
        pytest.param(("derive", "adjustable-polarity", "--set", "k=1.5"), "k", id="a setting outside 0 to 1"),
        pytest.param(("derive", "inverting", "--set", "Rf=-1k"), "Rf", id="a negative resistance"),
        pytest.param(("derive", "inverting", "--set", "Rf=1e400"), "Rf", id="a value beyond all bounds"),
        pytest.param(("derive", "inverting", "--find", "V_nowhere"), "V_nowhere", id="no such quantity"),
        pytest.param(("derive", "inverting", "--method", "guess"), "laws", id="no such method"),
        pytest.param(("derive", "\x1b[31m"), "[31m", id="an escape sequence"),
        pytest.param(("check", "inverting", "--seed", "7"), "statement", id="nothing to check"),
        pytest.param(("check", "inverting", "V_out = 1 V"), "--seed", id="nothing says which problem"),
        pytest.param(("--wrong",), "--wrong", id="no such option"),
    ],
)
def test_a_command_line_that_is_not_right_ends_with_2_and_says_what_to_mend(words: tuple[str, ...], part: str) -> None:
    done = run(*words)
    assert done.exit_code == 2, done.output
    assert part in done.output
    assert "Traceback" not in done.output
    assert "\x1b" not in done.output


@pytest.mark.parametrize(
    ("words", "told"),
    [
        pytest.param(("derive",), "FAMILY|FILE is missing. See tworules derive --help.", id="nothing to derive"),
        pytest.param(
            ("derive", "--seed"), "--seed needs a value behind it. See tworules derive --help.", id="no value"
        ),
        pytest.param(("families", "--json=3"), "--json takes no value. See tworules families --help.", id="a value"),
        pytest.param(("derive", "a", "b c"), "there is too much at its end: b c. See tworules derive", id="too much"),
        pytest.param(
            ("check", "--fnd"), "there is no option --fnd. Did you mean '--find'? See tworules check", id="near"
        ),
        pytest.param(
            ("author", "foo"), "there is no command 'foo'; there are new, preview, proofread. See", id="author"
        ),
        pytest.param(("derive", "a", "--seed", "x"), "--seed: 'x' is neither a whole number from 0 nor", id="bad seed"),
        pytest.param(("--\x1b[31m",), "there is no option --\ufffd[31m. See tworules --help.", id="an escape sequence"),
    ],
)
def test_a_command_line_that_cannot_be_taken_apart_is_told_in_one_plain_sentence(
    words: tuple[str, ...], told: str
) -> None:
    done = run(*words)
    assert done.exit_code == 2
    assert done.stdout == ""
    assert done.stderr.startswith(f"That command line does not fit: {told}")
    assert len(done.stderr.splitlines()) == 1


def test_families_lists_name_and_title() -> None:
    entries = document("families")["families"]
    assert len(entries) >= 12
    assert all(set(entry) == {"name", "title", "topic"} for entry in entries)
    shown = run("families").output
    assert all(entry["name"] in shown and entry["title"] in shown for entry in entries)


def test_families_are_listed_under_their_topics_within_eighty_columns() -> None:
    topics = list(dict.fromkeys(entry["topic"] for entry in document("families")["families"]))
    rows = run("families").output.splitlines()
    assert [row for row in rows if row and not row.startswith("  ")] == topics
    assert max(map(len, rows)) <= 80


def test_derive_ends_at_the_ask_with_exact_values() -> None:
    found = document("derive", "adjustable-polarity", "--set", "k=0.5", "--seed", "7")
    assert found["steps"][-1]["quantity"] == found["asks"][-1] == "V_out"
    assert found["givens"]["k"] == {"exact": "1/2", "float": 0.5, "unit": ""}
    value = found["steps"][-1]["value"]
    assert set(value) == {"exact", "float", "unit"}
    assert value["unit"] == "V"
    assert all(len(step["hints"]) == 4 and step["why"] for step in found["steps"])


def test_derive_of_one_seed_is_the_same_each_time_and_without_one_brings_its_code() -> None:
    assert document("derive", "inverting", "--seed", "7") == document("derive", "inverting", "--seed", "7")
    fresh = document("derive", "inverting")
    assert document("derive", "inverting", "--seed", fresh["version"]) == fresh


def test_derive_finds_what_is_asked_for() -> None:
    assert document("derive", "inverting", "--seed", "7", "--find", "I_Rf")["asks"] == ["I_Rf"]


def test_derive_prints_the_drawing_and_every_relation() -> None:
    found = document("derive", "t-network", "--seed", "7")
    shown = run("derive", "t-network", "--seed", "7").output
    for step in found["steps"]:
        assert step["relation"] in shown
        assert step["why"].split()[0] in shown


def test_a_bare_drawing_is_derived_checked_and_practised(drawing: str) -> None:
    found = document("derive", drawing, "--set", "Vin=1 V")
    assert found["steps"][-1]["value"] == {"exact": "-2", "float": -2.0, "unit": "V"}
    assert run("check", drawing, "--set", "Vin=1 V", "V_out = -2 V").exit_code == 0
    done = run("practice", drawing, "--set", "Vin=1 V", "--lines")
    assert done.exit_code == 0
    assert done.output.startswith("Circuit of mine.txt\n")


@pytest.mark.parametrize(
    "words",
    [("derive",), ("check",), ("practice",), ("author", "proofread"), ("author", "preview")],
    ids=["derive", "check", "practice", "proofread", "preview"],
)
def test_an_input_without_a_value_is_asked_for_in_every_command(words: tuple[str, ...], drawing: str) -> None:
    told = f"{drawing}:5:2: Vin drives nothing. Give it a value, --set Vin=1V, or ask for it, --find V_in."
    statement = ("V_out = 1 V",) if words == ("check",) else ()
    done = run(*words, drawing, *statement)
    assert done.exit_code == (1 if words[0] == "author" else 2)
    assert told in done.output
    assert done.output.splitlines()[-1].strip() == "^"


def test_an_author_gives_a_drawing_its_values_and_what_to_find(drawing: str) -> None:
    proofread = run("author", "proofread", drawing, "--set", "Vin=1V")
    assert (proofread.exit_code, "nothing to mend" in proofread.output) == (0, True), proofread.output
    preview = run("author", "preview", drawing, "--set", "Vin=1V", "--find", "I_Rf")
    assert preview.exit_code == 0
    assert "Find I_Rf." in preview.output
    assert run("author", "proofread", drawing, "--set", "Vx=1V").exit_code == 2
    assert run("author", "proofread", drawing, "--set", "Vin=1V", "--find", "V_x").exit_code == 2


def test_a_held_value_that_a_file_s_rule_excludes_is_the_command_line_s_fault(tmp_path: Path) -> None:
    path = tmp_path / "my.toml"
    assert run("author", "new", str(path)).exit_code == 0
    done = run("author", "preview", str(path), "--set", "Rf=100M")
    assert done.exit_code == 2
    assert "the rule abs(V_out) <= 10 V" in done.output


def test_families_are_listed_easy_ones_first_and_the_first_problem_is_of_the_first() -> None:
    names = [entry["name"] for entry in document("families")["families"]]
    listed = [line.split()[0] for line in run("families").output.splitlines() if line.startswith("  ")]
    assert listed == names
    first = Source(seed=5).task()
    assert first.name == names[0]
    later = {Source(seed=seed, last=first.name).chosen for seed in range(600)}
    assert later == set(names[1:])


def test_check_judges_each_statement_in_turn() -> None:
    found = document("derive", "inverting", "--seed", "7")
    right = [f"{step['quantity']} = {step['value']['exact']} {step['value']['unit']}" for step in found["steps"]]
    judged = document("check", "inverting", "--seed", "7", *right)
    assert judged["right"] is True
    assert judged["done"] is True
    assert {verdict["kind"] for verdict in judged["verdicts"]} == {"right"}


def test_a_wrong_answer_ends_with_1() -> None:
    done = run("check", "inverting", "--seed", "7", "V_out = 123 V")
    assert done.exit_code == 1
    assert "not yet" in done.output
    assert document("check", "inverting", "--seed", "7", "V_out = 123 V")["right"] is False


def test_a_drawing_at_fault_ends_with_1_and_names_the_place(tmp_path: Path) -> None:
    path = tmp_path / "bad.txt"
    path.write_text(GOOD.replace("[Rf=20k]----+", "[Rf=20k]--  +"), "utf-8")
    done = run("derive", str(path), "--set", "Vin=1")
    assert done.exit_code == 1
    assert f"{path}:2:30: " in done.output
    assert done.output.splitlines()[-1].index("^") == done.output.splitlines()[-2].index("--  +") + 1


@pytest.mark.parametrize(
    "data", [b"", b"\xff\xfe", b"\x00" * 100, b"title = ["], ids=["empty", "no text", "zeros", "toml cut off"]
)
@pytest.mark.parametrize("suffix", [".txt", ".toml"])
@pytest.mark.parametrize("words", [("derive",), ("author", "proofread"), ("author", "preview")], ids=" ".join)
def test_a_file_that_is_no_circuit_is_a_plain_fault(
    tmp_path: Path, words: tuple[str, ...], suffix: str, data: bytes
) -> None:
    path = tmp_path / f"bad{suffix}"
    path.write_bytes(data)
    done = run(*words, str(path))
    assert done.exit_code == 1, done.output
    assert len(done.output) > 10
    assert "Traceback" not in done.output


def test_the_starter_family_has_nothing_to_mend_and_is_never_overwritten(tmp_path: Path) -> None:
    path = tmp_path / "my.toml"
    assert run("author", "new", str(path)).exit_code == 0
    proofread = run("author", "proofread", str(path))
    assert (proofread.exit_code, "nothing to mend" in proofread.output) == (0, True), proofread.output
    preview = run("author", "preview", str(path), "--seed", "7")
    assert preview.exit_code == 0
    assert "V_out" in preview.output
    path.write_text("mine", "utf-8")
    assert run("author", "new", str(path)).exit_code == 1
    assert path.read_text("utf-8") == "mine"


@pytest.mark.skipif(sys.platform == "win32", reason="closes a pipe as POSIX shells do")
@pytest.mark.parametrize(
    "words", [("families",), ("derive", "inverting"), ("--help",), ("practice", "inverting", "--lines")], ids=" ".join
)
def test_a_closed_pipe_is_no_fault(words: tuple[str, ...]) -> None:
    read, write = os.pipe()
    os.close(read)
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        [sys.executable, "-c", MAIN, *words],
        stdin=subprocess.DEVNULL,
        stdout=write,
        stderr=subprocess.PIPE,
        env=env,
        timeout=60,
        check=False,
    )
    os.close(write)
    assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs the device that is always full")
@pytest.mark.parametrize(
    "words",
    [
        ("families",),
        ("derive", "inverting"),
        ("--help",),
        ("check", "inverting", "--seed", "7", "V_out = 1 V"),
        ("practice", "inverting", "--lines"),
    ],
    ids=" ".join,
)
def test_output_that_cannot_be_written_ends_with_one_line_and_1(words: tuple[str, ...]) -> None:
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            [sys.executable, "-c", MAIN, *words],
            stdin=subprocess.DEVNULL,
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            env=env,
            timeout=60,
            check=False,
        )
    assert done.returncode == 1
    assert done.stderr == "The output could not be written: No space left on device.\n"


STOPPED_AT = """
import importlib.abc, sys
class Stop(importlib.abc.MetaPathFinder):
    def find_spec(self, name, path=None, target=None):
        if name == {module!r}:
            raise KeyboardInterrupt
sys.meta_path.insert(0, Stop())
from tutor.__main__ import main
main()
"""


@pytest.mark.parametrize("module", ["tutor.commands", "click", "problems.templates"])
def test_an_interrupt_while_the_program_is_being_loaded_ends_the_same_way(module: str) -> None:
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    words = [sys.executable, "-c", STOPPED_AT.format(module=module), "families"]
    done = subprocess.run(words, env=env, capture_output=True, text=True, timeout=20, check=False)
    assert (done.returncode, done.stdout, done.stderr.strip()) == (130, "", "Stopped.")


@pytest.mark.skipif(sys.platform == "win32", reason="sends the signal of ctrl-C")
def test_an_interrupt_at_the_prompt_ends_with_a_word_and_130() -> None:
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    child = subprocess.Popen(
        [sys.executable, "-c", MAIN, "practice", "inverting", "--lines"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=env,
    )
    assert child.stdout is not None
    while b"help lists" not in child.stdout.readline():
        pass
    time.sleep(0.2)
    child.send_signal(signal.SIGINT)
    _, said = child.communicate(timeout=20)
    assert child.returncode == 130
    assert said.decode().strip() == "Stopped."


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        pytest.param("tworules de", "plain,derive", id="a command"),
        pytest.param("tworules practice t-n", "plain,t-network", id="a family"),
        pytest.param("tworules derive inverting --fi", "plain,--find", id="an option"),
        pytest.param("tworules derive ./my", "file,./my", id="a file"),
    ],
)
def test_a_tab_press_offers_what_fits(typed: str, offered: str) -> None:
    place = str(len(typed.split()) - 1)
    env = {**os.environ, "PYTHONPATH": str(ROOT), "_TWORULES_COMPLETE": "bash_complete"}
    env |= {"COMP_WORDS": typed, "COMP_CWORD": place}
    done = subprocess.run([sys.executable, "-c", MAIN], env=env, capture_output=True, text=True, check=False)
    assert offered in done.stdout.splitlines()
