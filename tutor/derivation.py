"""A worked derivation as lines of text: the sheet, then each step as a textbook writes it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

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
    for number, step in enumerate(task.problem.steps, 1):
        yield ""
        yield from _step(number, step, paper)


def _step(number: int, step: Step, paper: Paper) -> Iterator[str]:
    """One step: the relation in names, with numbers, the value; then the law's name and one sentence of why."""
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
    yield from sheet.hung(paper.spelled(step.why), width, " " * len(margin))
