"""A worked derivation as lines of text: the sheet, then each step as a textbook writes it."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from typing import TYPE_CHECKING

from problems.derivation.cases import sections
from tutor import sheet
from tutor.words import say

if TYPE_CHECKING:
    from problems.derivation.step import Step
    from tutor.source import Task
    from tutor.terminal import Paper


def lines(task: Task, paper: Paper) -> Iterator[str]:
    """Title, statement, givens, drawing and numbered steps; the circuit in words where the drawing has no room."""
    yield from sheet.opening(task, paper)
    yield ""
    rows = sheet.shown(task.problem.begin(), paper)
    across = max(map(len, rows), default=0)
    if across > paper.across:
        yield from sheet.paragraphs(say("derive.narrow", columns=across), paper.columns)
        rows = ()
    yield from rows or sheet.described(task.problem, paper)
    yield from sheet.notes(task, paper)
    numbers = itertools.count(1)
    for source, steps in sections(task.problem.steps):
        yield from _heading(task, source, steps, paper)
        before = ""
        for step in steps:
            yield ""
            yield from _step(next(numbers), step, paper, step.why != before)
            before = step.why


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
    written, law = paper.spelled(step.written(ascii=not paper.unicode)), paper.spelled(f"   {step.name}")
    if len(margin + written + law) <= width:
        yield margin + written + law
    elif step.role == "close":
        first, *more = sheet.hung(written + law, width, " " * len(margin))
        yield margin + first.lstrip()
        yield from more
    else:
        head, *parts = written.split(" = ")
        yield f"{margin}{head} = {parts[0]}"
        for part in (*parts[1:-1], parts[-1] + law) if len(parts) > 1 else (law,):
            yield from sheet.hung(f"= {part}" if len(parts) > 1 else part, width, " " * (len(margin) + len(head) + 1))
    if with_why:
        yield from sheet.hung(paper.spelled(step.why), width, " " * len(margin))
