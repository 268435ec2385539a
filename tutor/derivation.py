"""A worked derivation as lines of text: the sheet, then each step as a textbook writes it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from tutor import sheet
from tutor.words import say

if TYPE_CHECKING:
    from problems.derivation.step import Step
    from tutor.source import Task


def lines(task: Task, width: int, unicode: bool = True) -> Iterator[str]:
    """Title, statement, givens, drawing and numbered steps, wrapped to a width."""
    yield sheet.heading(task)
    statement = sheet.flowed(task.problem.statement)
    if statement:
        yield from sheet.paragraphs(statement, width)
    found = say("lines.find", asks=", ".join(task.problem.asks))
    yield from sheet.folded((found, *sheet.givens(task.problem)), width)
    yield ""
    rows = sheet.drawing(task.problem.begin(), unicode=unicode, known=False)
    yield from ("".join(span.text for span in row).rstrip() for row in rows)
    if not rows:
        yield from sheet.description(task.problem)
    for sentence in sheet.meanings(task):
        yield from sheet.paragraphs(sentence, width)
    for number, step in enumerate(task.problem.steps, 1):
        yield ""
        yield from _step(number, step, width, unicode)


def _step(number: int, step: Step, width: int, unicode: bool) -> Iterator[str]:
    """One step: the relation in names, with numbers, the value; then the law's name and one sentence of why."""
    margin = f"{number:2}  "
    written, law = step.written(ascii=not unicode), f"   {step.name}"
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
    yield from sheet.hung(step.why, width, " " * len(margin))
