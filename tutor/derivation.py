"""A worked derivation as lines of text: the sheet, then each step as a textbook writes it."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import zip_longest
from typing import TYPE_CHECKING

from problems.derivation.cases import sections
from tutor import sheet
from tutor.terminal import ENDLESS, WIDEST
from tutor.words import say

if TYPE_CHECKING:
    from problems.asks.question import Question
    from problems.derivation.step import Step
    from tutor.source import Task
    from tutor.terminal import Paper

BETWEEN = "  │  "
NARROWEST = 56
"""Columns that a derivation needs at least to stand beside another."""


def lines(task: Task, paper: Paper) -> Iterator[str]:
    """Title, statement, givens, drawing and numbered steps; the circuit in words where the drawing has no room."""
    yield from _opening(task, paper)
    yield from _worked(task, paper)


def compared(tasks: Sequence[Task], paper: Paper) -> Iterator[str]:
    """One problem by several methods: two in columns on a terminal that has room for them, else one after another."""
    yield from _opening(tasks[0], paper)
    half = (paper.across - len(BETWEEN)) // 2
    if len(tasks) == 2 and half >= NARROWEST and paper.across < ENDLESS:
        column = replace(paper, columns=min(half, WIDEST), across=half)
        left, right = (list(_by_method(task, column)) for task in tasks)
        wide = max(map(len, left))
        for one, other in zip_longest(left, right, fillvalue=""):
            yield f"{one:{wide}}{BETWEEN}{other}".rstrip()
    else:
        for task in tasks:
            yield from _by_method(task, paper)


def _by_method(task: Task, paper: Paper) -> Iterator[str]:
    yield ""
    yield from sheet.paragraphs(say(f"method.{task.problem.method}"), paper.columns)
    yield from _worked(task, paper)


def _opening(task: Task, paper: Paper) -> Iterator[str]:
    yield from sheet.opening(task, paper)
    yield ""
    rows = sheet.shown(task.problem.begin(), paper)
    across = max(map(len, rows), default=0)
    if across > paper.across:
        yield from sheet.paragraphs(say("derive.narrow", columns=across), paper.columns)
        rows = ()
    yield from rows or sheet.described(task.problem, paper)
    yield from sheet.notes(task, paper)


def _worked(task: Task, paper: Paper) -> Iterator[str]:
    """The numbered steps."""
    numbers = itertools.count(1)
    for source, steps in sections(task.problem.steps):
        yield from _heading(task, source, steps, paper)
        before = ""
        for step in steps:
            yield ""
            yield from _step(next(numbers), step, paper, step.why != before)
            before = step.why
    for posed in task.problem.posed:
        yield from _question(posed.question, paper)


def _question(question: Question, paper: Paper) -> Iterator[str]:
    """A question as it is put, and its answer."""
    yield ""
    for line in (question.text, *question.lines, *question.solution):
        yield from sheet.hung(paper.spelled(line), paper.columns)


def _heading(task: Task, source: str, steps: tuple[Step, ...], paper: Paper) -> Iterator[str]:
    """What stands above the steps of one source: what switching the others off means, and the circuit that is left."""
    several = any(step.target.source for step in task.problem.steps)
    if not source:
        yield from ("", *sheet.paragraphs(say("derive.together"), paper.columns)) if several else ()
        return
    case = task.problem.lesson.case(source)
    yield ""
    yield from sheet.paragraphs(paper.spelled(say("derive.alone", source=source)), paper.columns)
    for sentence in case.off:
        yield from sheet.paragraphs(paper.spelled(sentence), paper.columns)
    if case.changed:
        yield ""
        yield from sheet.switched(case, steps, paper)


def _step(number: int, step: Step, paper: Paper, with_why: bool) -> Iterator[str]:
    """One step: the relation in names, with numbers, the value; then the law's name and one sentence of why.

    with_why: whether that sentence is news after the step before.
    """
    margin, width = f"{number:2}  ", paper.columns
    plain, law = not paper.unicode, paper.spelled(f"   {step.name}")
    if step.note:
        yield from sheet.paragraphs(paper.spelled(step.note), width)
    if step.begins:
        yield from _hung(margin, paper.spelled(step.equation(plain)) + law, width)
        margin, law = " " * len(margin), ""
    solved = paper.spelled(step.solved(plain))
    yield from _hung(margin, solved + law, width) if step.role == "close" else _equals(margin, solved, law, width)
    if with_why:
        yield from sheet.hung(paper.spelled(step.why), width, " " * len(margin))


def _hung(margin: str, text: str, width: int) -> Iterator[str]:
    first, *more = sheet.hung(text, width, " " * len(margin))
    yield margin + first.lstrip()
    yield from more


def _equals(margin: str, written: str, law: str, width: int) -> Iterator[str]:
    """``V_out = … = … = 1 V`` and the law, in one line if that holds it; else each side on a line of its own."""
    if len(margin + written + law) <= width:
        yield margin + written + law
        return
    head, *parts = written.split(" = ")
    if not parts:
        yield from _hung(margin, written + law, width)
        return
    yield from _hung(margin, f"{head} = {parts[0]}", width)
    for part in (*parts[1:-1], parts[-1] + law) if len(parts) > 1 else (law,):
        yield from sheet.hung(f"= {part}" if len(parts) > 1 else part, width, " " * (len(margin) + len(head) + 1))
