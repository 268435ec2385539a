"""Line mode in a process of its own, by pipe: what a screen reader, a record or a dumb terminal gets."""

from __future__ import annotations

import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from problems import families

ROOT = Path(__file__).resolve().parents[2]
MAIN = "from tutor.__main__ import main; main()"
FAMILY = ("practice", "adjustable-polarity-gain", "--seed", "7")
SET = ("Vin=0.8", "Ri=8.2k", "Rf=33k", "Rg=12k", "Rp=20k", "k=0.7")
HELD = tuple(word for pair in SET for word in ("--set", pair))


def run(*words: str, said: str | bytes = "", **environment: str) -> subprocess.CompletedProcess[bytes]:
    """``tworules`` with those words, fed from a pipe."""
    data = said.encode() if isinstance(said, str) else said
    env = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8", **environment}
    return subprocess.run(
        [sys.executable, "-c", MAIN, *words], input=data, capture_output=True, env=env, timeout=60, check=False
    )


def lines(*words: str, said: str = "", **environment: str) -> list[str]:
    """Lines printed by a session that ended well and said nothing on stderr."""
    done = run(*words, said=said, **environment)
    assert (done.returncode, done.stderr) == (0, b"")
    return done.stdout.decode().splitlines()


def test_the_first_command_without_a_terminal_ends_at_the_end_of_the_input() -> None:
    shown = lines()
    assert any(line.startswith("Find ") for line in shown)


def test_a_whole_session_reaches_the_output() -> None:
    said = (
        "V_3 = 0.56\nV_2 = V_3\nI_Ri = (0.8-0.56)/8.2k\nI_Rg = 46.7uA\nI_Rf = I_Ri - I_Rg\nVout = 0.56 + 17.4uA*33k\n"
    )
    shown = "\n".join(lines(*FAMILY, *HELD, "--lines", said=said))
    assert "right value, no unit" in shown
    assert shown.count("  right") == 6
    assert "All that was asked is found." in shown


def test_what_was_piped_is_repeated_after_the_prompt() -> None:
    assert "> V_2 = 0" in lines(*FAMILY, "--lines", said="V_2 = 0\n")


def test_nothing_is_ever_repainted() -> None:
    shown = run(*FAMILY, "--lines", said="hint\nworking\nwords\nV_2=0\nnext\nleave\n").stdout
    assert b"\x1b" not in shown
    assert b"\r" not in shown.replace(b"\r\n", b"\n")


WORDS = ["hint", "why", "counterexample", "back", "working", "drawing", "words", "problem", "next", "help"]


@pytest.mark.parametrize("word", WORDS)
def test_every_word_of_the_session_answers(word: str) -> None:
    plain = lines(*FAMILY, "--lines", said="leave\n")
    assert len(lines(*FAMILY, "--lines", said=f"{word}\nleave\n")) > len(plain)


def test_the_first_lines_say_how_to_get_help_and_how_to_leave() -> None:
    shown = " ".join(lines(*FAMILY, "--lines"))
    assert "help lists what else can be typed, leave ends the session." in shown


@pytest.mark.parametrize(
    ("word", "meant"),
    [("quit", "leave"), ("EXIT", "leave"), ("q", "leave"), ("undo", "back"), ("?", "help"), ("skip", "next")],
)
def test_a_word_of_another_program_is_answered_with_the_word_to_use(word: str, meant: str) -> None:
    shown = lines(*FAMILY, "--lines", said=f"{word}\nworking\n")
    assert shown[shown.index(f"> {word}") + 1].strip() == f"The word for that here is {meant}."


def test_the_circuit_is_told_in_words_one_fact_a_line() -> None:
    shown = lines(*FAMILY, *HELD, "--lines", said="words\nleave\n")
    facts = shown[shown.index("> words") + 1 : shown.index("> leave")]
    assert len(facts) >= 6
    assert any("Rf" in fact and "33" in fact for fact in facts)


def test_the_same_seed_and_its_code_bring_the_same_problem() -> None:
    by_number = lines(*FAMILY, "--lines")
    code = next(line for line in by_number if "Version " in line).partition("Version ")[2].rstrip(".")
    assert lines("practice", "adjustable-polarity-gain", "--seed", code, "--lines") == by_number


@pytest.mark.parametrize("said", ["", "leave\n", "next\n"], ids=["end of input", "leave", "next"])
def test_the_last_line_brings_the_same_problem_back(said: str) -> None:
    first = lines(*FAMILY, "--set", "Vin=0.8 V", "--find", "I_Ri", "--find", "V_3", "--lines", said=said)
    told, _, command = first[-1].partition("tworules ")
    assert told == "To have this problem again: "
    again = lines(*shlex.split(command), "--lines", said="leave\n")
    head = max(index for index, line in enumerate(first) if "Version " in line)
    assert again[:8] == first[head : head + 8]
    assert any(line.startswith("Find I_Ri, V_3.") for line in again)


def test_a_drawing_is_brought_back_by_its_file_and_values(tmp_path: Path) -> None:
    path = tmp_path / "my drawing.txt"
    path.write_text(
        "Vin o--[R1 1k]--+--o Vout\n                |\n               [R2 1k]\n                |\n               GND"
    )
    shown = lines("practice", str(path), "--set", "Vin=1 V", "--lines")
    assert shown[-1] == f"To have this problem again: tworules practice '{path}' --set 'Vin=1 V'"


def test_the_help_says_what_counts_as_right_and_how_figures_are_printed() -> None:
    said = " ".join(" ".join(lines(*FAMILY, "--lines", said="help\n")).split())
    assert "within 1 % of the true one, limits included; where a law gives 0, only 0 is." in said
    assert "rounded to three" in said


def test_without_a_seed_problems_differ() -> None:
    assert len({tuple(lines("practice", "inverting", "--lines")) for _ in range(4)}) > 1


def test_next_brings_another_problem() -> None:
    shown = lines(*FAMILY, "--lines", said="next\n")
    assert sum("Version " in line for line in shown) == 2


@pytest.mark.parametrize("encoding", ["ascii", "latin-1"])
def test_without_utf_8_everything_is_spelled_in_ascii(encoding: str) -> None:
    done = run(*FAMILY, *HELD, "--lines", said="hint\nwords\nV_3 = 0.56 V\nworking\n", PYTHONIOENCODING=encoding)
    assert done.returncode == 0
    shown = done.stdout.decode("ascii")
    assert "?" not in shown.replace("? ", "").replace("?\n", ""), "every sign has a spelling"
    assert "kohm" in shown


@pytest.mark.skipif(sys.platform == "win32", reason="a console there has no such locale")
@pytest.mark.parametrize("locale", [{"LC_ALL": "C"}, {"LC_ALL": "", "LANG": "C"}, {"LC_ALL": "POSIX"}], ids=str)
def test_in_the_locale_c_everything_is_spelled_in_ascii(locale: dict[str, str]) -> None:
    done = run(*FAMILY, *HELD, "--lines", said="V_3 = 0.56 V\n", PYTHONIOENCODING="", **locale)
    assert (done.returncode, done.stderr) == (0, b"")
    assert "Ri 8.2 kohm" in done.stdout.decode("ascii")


@pytest.mark.parametrize("family", [found.name for found in families()])
def test_no_line_of_prose_is_wider_than_the_terminal_when_it_is_spelled_in_ascii(family: str) -> None:
    for words in (("derive", family, "--seed", "7"), ("practice", family, "--seed", "7", "--lines")):
        said = "hint\nworking\nV_out = 1 V\nwords\n" if words[0] == "practice" else ""
        shown = run(*words, said=said, PYTHONIOENCODING="ascii").stdout.decode("ascii").splitlines()
        assert all(len(line) <= 80 or line.startswith("To have this problem again") for line in shown)
        assert not any(line.endswith(("kohm;", "kohm")) and line.split()[0] == "kohm" for line in shown if line.split())


def test_a_drawing_wider_than_the_terminal_is_told_in_words_unless_it_is_asked_for() -> None:
    words = ("practice", "cascade", "--seed", "7", "--lines")
    shown = lines(*words, said="drawing\n", COLUMNS="40")
    told, drawn = shown[: shown.index("> drawing")], shown[shown.index("> drawing") :]
    assert "Type drawing to have it all the same." in " ".join(told)
    assert not any("[R1]" in line for line in told)
    assert any(line.strip().startswith("R1, ") for line in told)
    assert any("[R1]" in line for line in drawn)
    assert all(len(line) <= 40 for line in told)
    assert any("[R1]" in line for line in lines(*words, COLUMNS="64")), "it is 64 columns wide"
    derived = run("derive", "cascade", "--seed", "7", COLUMNS="40").stdout.decode()
    assert "here is the circuit in words" in " ".join(derived.split())
    assert "[R1]" not in derived


@pytest.mark.parametrize("words", [("derive",), ("practice", "--lines")], ids=["derive", "practice"])
def test_the_caution_of_a_family_is_printed_by_both(words: tuple[str, ...]) -> None:
    shown = " ".join(run(*words, "inverting", "--seed", "7").stdout.decode().split())
    assert "Study values only." in shown


@pytest.mark.parametrize(
    "said",
    [
        pytest.param(b"\xff\xfe\x00V_2\n", id="no text"),
        pytest.param(b"\x1b[31mV_2 = 0\n", id="an escape sequence"),
        pytest.param("V_2 = \u202e0\n".encode(), id="a direction mark"),
        pytest.param(b"(" * 5000 + b"\n", id="5000 brackets"),
        pytest.param(b"9" * 5000 + b"\n", id="5000 digits"),
        pytest.param(b"9^9^9\n", id="a tower of powers"),
        pytest.param(b"1e400\n", id="a number beyond all bounds"),
        pytest.param(b"V_2 = 0,5 V\n", id="a decimal comma"),
        pytest.param(b"\n \n\t\r\n", id="nothing"),
    ],
)
def test_no_input_ends_a_session_or_steers_the_terminal(said: bytes) -> None:
    done = run(*FAMILY, *HELD, "--lines", said=said + b"V_3 = 0.56 V\n")
    assert done.returncode == 0
    assert done.stderr == b""
    assert b"\x1b" not in done.stdout
    assert b"  right" in done.stdout
