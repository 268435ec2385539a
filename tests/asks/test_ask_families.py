"""Asks of other kinds in a family's file: read, proofread with place and remedy, posed, answered in every front end."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from problems import Problem, family
from problems.asks.question import FRESH, Question
from problems.templates.faults import Fault
from problems.templates.library import load_family
from problems.templates.proofread import faults_of
from problems.templates.sample import lot
from tutor import sheet
from tutor.commands.group import group
from tutor.screens.app import Tutor
from tutor.screens.practice import PracticeScreen
from tutor.source import Source
from tutor.widgets.answer import Answer

HEAD = """\
title = "Trial"
drawing = '''
 Vin o---[Ri]---+------[Rf]------+
                |                |
                |     |\\         |
                +-----|-\\        |
                      |U1>-------+---o Vout
                +-----|+/        |
                |     |/        [RL]
               GND               |
                                GND
'''
[values]
Vin = { unit = "V", choose = ["0.5", "1", "2"] }
Ri = { unit = "ohm", series = "E12", from = "4.7k", to = "22k" }
Rf = { unit = "ohm", series = "E12", from = "4.7k", to = "47k" }
RL = "2k"
"""
SLIP = '[[ask]]\nslip = "V_out"\n'
WAY = '[[ask]]\nwhich-way = "V_out"\nwhen = "Rf"\n'
PATH = '[[ask]]\npath = ["in", "2", "out"]\n'
FIND = '[[ask]]\nfind = "V_out"\n'
FOLLOWER = """\
title = "Follower"
drawing = '''
           |\\
        +--|-\\
        |  |U1>--+--o Vout
 Vin o--)--|+/   |
        |  |/    |
        +--------+
'''
[values]
Vin = { unit = "V", choose = ["0.5", "1"] }
""".replace("o--)--", "o--|--")


def problem(tmp_path: Path, *asks: str, seed: int = 4) -> Problem:
    return load_family(written(tmp_path, *asks)).problem(seed=seed)


def written(tmp_path: Path, *asks: str) -> Path:
    path = tmp_path / "trial.toml"
    path.write_text(HEAD + "".join(asks), "utf-8")
    return path


def faults(*asks: str, head: str = HEAD) -> tuple[Fault, ...]:
    return faults_of(head + "".join(asks), "trial", "trial.toml", 200)


@pytest.mark.parametrize(
    ("asks", "names"),
    [
        pytest.param((SLIP,), ("slip V_out",), id="find the slip"),
        pytest.param((WAY,), ("which-way V_out Rf",), id="which way"),
        pytest.param((PATH,), ("path in-2-out",), id="path sum"),
        pytest.param((WAY, FIND, SLIP), ("which-way V_out Rf", "V_out", "slip V_out"), id="in the order of the file"),
    ],
)
def test_a_family_may_ask_in_several_ways(tmp_path: Path, asks: tuple[str, ...], names: tuple[str, ...]) -> None:
    assert faults(*asks) == ()
    assert problem(tmp_path, *asks).asks == names
    assert load_family(written(tmp_path, *asks)).asks == names


@pytest.mark.parametrize(
    ("asks", "at", "says", "remedy"),
    [
        pytest.param((WAY.replace("Rf", "Rz"),), "ask 1.which-way", "value called Rz", "Vin, Ri, Rf, RL", id="no part"),
        pytest.param((WAY.replace("V_out", "V_z"),), "ask 1.which-way", "no quantity V_z", "", id="no quantity"),
        pytest.param((WAY.replace('when = "Rf"\n', ""),), "ask 1", "key when is missing", "Add it", id="a key missing"),
        pytest.param((WAY + "way = 1\n",), "ask 1.way", "no key way", "which-way", id="a key too many"),
        pytest.param((PATH.replace('"2", ', ""),), "ask 1.path", "from in to out", "From in lead", id="not connected"),
        pytest.param((PATH.replace('"2"', '"x"'),), "ask 1.path", "called x", "Nodes and parts", id="no such node"),
        pytest.param((PATH.replace('"in"', "7"),), "ask 1.path 1", "must be a text", "", id="no text"),
        pytest.param((FIND, SLIP.replace("out", "q")), "ask 2.slip", "no quantity V_q", "", id="the second ask"),
        pytest.param(('[[ask]]\nshow = "V_out"\n',), "ask 1.show", "not built yet", "Use find", id="a kind not built"),
    ],
)
def test_a_mistake_is_told_with_place_and_remedy(asks: tuple[str, ...], at: str, says: str, remedy: str) -> None:
    (fault,) = faults(*asks)
    assert fault.at == at
    assert says in fault.says
    assert remedy in fault.remedy
    assert fault.line > HEAD.count("\n")


def test_a_slip_that_nothing_fits_is_told_of() -> None:
    (fault,) = faults(SLIP, head=FOLLOWER)
    assert fault.at == "ask 1"
    assert "well-known wrong move" in fault.says
    assert "Ask another quantity" in fault.remedy


def test_the_seed_chooses_the_slip_and_the_same_seed_the_same(tmp_path: Path) -> None:
    lines = {seed: problem(tmp_path, SLIP, seed=seed).posed[0].question.lines for seed in range(12)}
    assert lines == {seed: problem(tmp_path, SLIP, seed=seed).posed[0].question.lines for seed in range(12)}
    assert len({lot("trial", seed, 0) for seed in range(12)}) == 12


def run(*words: str, text: str = "") -> Result:
    return CliRunner().invoke(group, list(words), input=text)


def test_check_takes_answers_in_order(tmp_path: Path) -> None:
    asked = problem(tmp_path, FIND)
    value = f"V_out = {float(asked.lesson.values[asked.asked[0]])!r} V"
    path = str(written(tmp_path, WAY, PATH, FIND))
    answers = ("falls", "Vin - I_Ri*Ri - I_Rf*Rf - V_out = 0", value)
    done = run("check", path, "--seed", "4", "--json", *answers)
    assert done.exit_code == 0, done.output
    said = json.loads(done.output)
    assert [verdict["kind"] for verdict in said["verdicts"]] == ["right", "right", "right"]
    assert said["done"] is True
    assert said["asks"] == ["which-way V_out Rf", "path in-2-out", "V_out"]
    assert run("check", path, "--seed", "4", "stays").exit_code == 1


def test_derive_shows_questions_with_their_answers(tmp_path: Path) -> None:
    path = str(written(tmp_path, WAY, PATH, SLIP))
    shown = " ".join(run("derive", path, "--seed", "4").output.split())
    asked = problem(tmp_path, WAY, PATH, SLIP).posed
    for posed in asked:
        for line in (posed.question.text, *posed.question.lines, *posed.question.solution):
            assert " ".join(line.split()) in shown, line
    questions = json.loads(run("derive", path, "--seed", "4", "--json").output)["questions"]
    assert [question["ask"] for question in questions] == [posed.question.name for posed in asked]
    assert [question["solution"] for question in questions] == [list(posed.question.solution) for posed in asked]


def test_line_mode_poses_each_question_when_it_is_its_turn(tmp_path: Path) -> None:
    path = str(written(tmp_path, WAY, SLIP))
    text = "rises\nfalls\nback\nfalls\nhint\nworking\nleave\n"
    said = run("practice", path, "--seed", "4", "--lines", text=text).output
    flat = " ".join(said.split())
    way, slip = (posed.question for posed in problem(tmp_path, WAY, SLIP).posed)
    before, after = flat.split("Taken back: falls")
    assert way.text in before
    assert slip.text in before, "posed once the first is answered"
    assert slip.text in after, "and again when it is answered again"
    assert slip.rungs[0].text in after
    for line in slip.lines:
        assert " ".join(line.split()) in after.split("> working")[1]


async def test_the_screen_shows_the_working_with_the_slip_before_and_after_the_answer(tmp_path: Path) -> None:
    app = Tutor(Source(str(written(tmp_path, SLIP)), 4))
    asked = problem(tmp_path, SLIP).posed[0].question
    right = next(n for n, _ in enumerate(asked.lines, 1) if "first that" in answer(asked, f"line {n}"))
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        screen = app.screen
        assert isinstance(screen, PracticeScreen)
        for text, done in ((f"line {right}", False), ("kcl kvl ohm", False)):
            screen.query_one("#answer", Answer).value = text
            await pilot.press("enter")
            assert screen.session.attempt.done is done
            assert set(asked.lines) <= {entry.left for entry in sheet.working(screen.session.attempt)}
        for _ in asked.rungs:
            screen.session, _ = screen.session.hint(1e9)
            screen.session = replace(screen.session, opens_at=float("-inf"))
        assert screen.session.attempt.done
        assert set(asked.lines) <= {entry.left for entry in sheet.working(screen.session.attempt)}


def answer(asked: Question, text: str) -> str:
    found = asked.judge(text, FRESH)
    assert found is not None
    return found.verdict.message if found.verdict.right else ""


def test_a_command_may_ask_in_other_ways_of_any_source() -> None:
    done = run("check", "inverting", "--seed", "7", "--find", "which-way V_out RL", "stays")
    assert done.exit_code == 0, done.output
    assert "holds its output" in " ".join(done.output.split())


def test_a_plain_find_still_drives_the_walk(tmp_path: Path) -> None:
    asked = problem(tmp_path, PATH, FIND)
    assert asked.steps[-1].target in asked.targets
    assert asked.begin().hint()[1] is not None
    assert family("bench-path").asks[-1] == "V_out"
