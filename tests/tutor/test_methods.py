"""Methods in the tutor: printed one by one or side by side, chosen for a session, changed midway."""

from __future__ import annotations

import io
import json
from dataclasses import replace

import pytest
from click.testing import CliRunner, Result

from problems import family
from tutor.commands.group import group
from tutor.derivation import BETWEEN, compared, lines
from tutor.session import Session, method_in
from tutor.source import Source, again
from tutor.terminal import ENDLESS, Paper

BOTH = ("laws", "nodes")


def run(*words: str) -> Result:
    return CliRunner().invoke(group, words, standalone_mode=False)


def printed(across: int, *methods: str) -> list[str]:
    source = Source("difference", seed=3)
    tasks = [replace(source, method=method).task() for method in methods]
    return list(compared(tasks, Paper(io.StringIO(), True, min(across, 100), across)))


def test_two_methods_stand_in_columns_where_the_terminal_has_room_for_both() -> None:
    shown = printed(150, *BOTH)
    beside = [line.split(BETWEEN.rstrip()) for line in shown if BETWEEN.rstrip() in line and "Law by law" in line]
    assert [side.strip() for side in beside[0]] == ["Law by law", "By node equations"]
    assert max(map(len, shown)) <= 150


@pytest.mark.parametrize("across", [80, ENDLESS], ids=["a narrow terminal", "no terminal"])
def test_two_methods_stand_one_after_the_other_elsewhere(across: int) -> None:
    shown = printed(across, *BOTH)
    assert shown.index("Law by law") < shown.index("By node equations")


def test_a_written_equation_stands_on_a_line_above_what_it_comes_to() -> None:
    task = Source("t-network", seed=3, method="nodes").task()
    shown = list(lines(task, Paper(io.StringIO(), True, 80, 80)))
    place = next(number for number, line in enumerate(shown) if "(V_2 − V_t)/R1 = 0   node equation at pin 2" in line)
    assert shown[place + 1].strip().startswith("V_t = V_2 + R1·(V_2 − Vin)/Ri = ")


@pytest.mark.parametrize("words", [("--method", "laws,nodes"), ("--method", "laws", "--method", "nodes")])
def test_several_methods_make_one_document(words: tuple[str, ...]) -> None:
    found = json.loads(run("derive", "inverting", "--seed", "7", "--json", *words).output)
    assert [way["method"] for way in found["derivations"]] == list(BOTH)
    ends = [{s["quantity"]: s["value"]["exact"] for s in way["steps"]} for way in found["derivations"]]
    assert ends[0]["V_out"] == ends[1]["V_out"]
    assert any(step["equation"] for step in found["derivations"][1]["steps"])


def test_a_method_that_is_not_there_among_several_is_refused_by_name() -> None:
    refused = run("derive", "inverting", "--method", "laws,guess")
    assert "guess" in str(refused.exception.format_message())  # type: ignore[union-attr]


def test_statements_are_checked_in_a_session_of_the_method() -> None:
    equation = "(V_2 - Vin)/Ri + (V_2 - V_out)/Rf = 0"
    found = run("check", "inverting", "--seed", "7", "--method", "nodes", "V_2 = 0 V", equation)
    assert "node equation at pin 2" in found.output


@pytest.mark.parametrize(
    ("text", "method"),
    [("method nodes", "nodes"), ("METHOD Nodes", "nodes"), ("method", ""), ("method a b", None), ("V_2 = 0", None)],
)
def test_the_word_that_changes_the_method_is_told_from_a_statement(text: str, method: str | None) -> None:
    assert method_in(text) == method


def test_what_is_stated_stays_when_the_method_changes() -> None:
    session = Session(family("t-network").problem(seed=3).begin())
    session, _ = session.state("V_2 = 0 V")
    after, reply = session.by_method("nodes")
    assert after.attempt.stated == session.attempt.stated
    assert after.attempt.next_step is not None
    assert after.attempt.next_step.law in {"ohm", "node"}
    assert "what is stated stays" in reply.lines[0]
    back, _ = after.back()
    assert back.attempt.problem.method == "nodes", "taking a statement back does not change the method"
    assert back.attempt.stated == {}


def test_a_method_that_is_not_there_changes_nothing() -> None:
    session = Session(family("inverting").problem(seed=3).begin())
    same, reply = session.by_method("guess")
    assert same == session
    assert "guess" in reply.lines[0]
    assert "superposition" in session.by_method("")[1].lines[0]


def test_a_hint_by_another_method_begins_at_the_first_rung() -> None:
    session = Session(family("inverting").problem(seed=3).begin())
    session, _ = session.hint(0.0)
    session, _ = session.hint(100.0)
    after, _ = session.by_method("nodes")
    _, reply = after.hint(200.0)
    assert reply.lines[0].startswith("1 of 4")


def test_the_command_that_brings_a_problem_back_names_its_method() -> None:
    source = Source("inverting", seed=7, method="nodes")
    assert again(source, source.task()).endswith("--method nodes")
