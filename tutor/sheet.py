"""What stands on the sheet: head, givens, drawing and working of an attempt, as plain pieces for both front ends."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import TYPE_CHECKING, Any, NamedTuple

from tutor.words import say

if TYPE_CHECKING:
    from problems import Attempt, Problem
    from problems.answers.line import Line
    from problems.asks.question import Question
    from problems.circuits.drawing import Marks, Row
    from problems.derivation.cases import Case
    from problems.derivation.law import Place
    from problems.derivation.step import Step
    from tutor.source import Task
    from tutor.terminal import Paper


class Entry(NamedTuple):
    """One line of the working. left: ``I_Ri = (Vin − V_2)/Ri``. value: ``29.3 µA``, empty for the step asked now."""

    left: str
    value: str = ""
    note: str = ""


def goal(task: Task, attempt: Attempt) -> str:
    """Right end of the head: what to find, and how far it has come."""
    asked, now = finds(task.problem), question(attempt)
    if attempt.done:
        return say("sheet.found", ask=asked[-1]) if asked else say("sheet.answered")
    if now is not None:
        return now.title
    last = next(place for place, step in enumerate(task.problem.steps) if step.quantity == asked[-1])
    steps = task.problem.steps[: last + 1]
    done = sum(step.quantity in attempt.stated for step in steps)
    return say("sheet.goal", ask=asked[-1], step=min(done + 1, len(steps)), of=len(steps))


def finds(problem: Problem) -> tuple[str, ...]:
    """Names of the quantities to find."""
    from problems.quantities import canonical

    return tuple(canonical(quantity) for quantity in problem.asked)


def asks(problem: Problem) -> str:
    """What is asked, in a sentence or two."""
    titles = ", ".join(posed.question.title for posed in problem.posed)
    said = [say("lines.find", asks=", ".join(finds(problem)))] if problem.asked else []
    if titles:
        said.append(say("lines.then" if said else "lines.asked", titles=titles))
    return " ".join(said)


def question(attempt: Attempt) -> Question | None:
    """The question that is open now, where what is asked is no quantity to find."""
    from problems.asks.question import Asked

    step = attempt.next_step
    return step.question if isinstance(step, Asked) else None


def heading(task: Task) -> str:
    """What stands above a problem that is printed: its title, and the code that brings it back where there is one."""
    return say("sheet.heading", title=task.title, code=task.code) if task.code else task.title


def opening(task: Task, paper: Paper) -> Iterator[str]:
    """The lines above a drawing that is printed: title, statement, what to find and the givens."""
    yield from paragraphs(paper.spelled(heading(task)), paper.columns)
    statement = flowed(task.problem.statement)
    if statement and statement != task.title:
        yield from paragraphs(paper.spelled(statement), paper.columns)
    pieces = (asks(task.problem), *givens(task.problem))
    yield from folded(tuple(map(paper.spelled, pieces)), paper.columns)


def notes(task: Task, paper: Paper) -> Iterator[str]:
    """The lines below a drawing that is printed: what the settings mean, and the caution."""
    for sentence in (*meanings(task), flowed(task.problem.caution)):
        if sentence:
            yield from paragraphs(paper.spelled(sentence), paper.columns)


def shown(attempt: Attempt, paper: Paper) -> tuple[str, ...]:
    """The drawing in lines as it is printed; none where there is none."""
    rows = drawing(attempt, unicode=paper.unicode, known=False)
    return tuple("".join(span.text for span in row).rstrip() for row in rows)


def givens(problem: Problem, meaning: bool = False) -> tuple[str, ...]:
    """``Vin 0.8 V``, ``Ri 8.2 kΩ`` …: sources first, settings last, the rest as the circuit lists it.

    meaning: whether a setting says what it is the share of.
    """
    from problems.formulas.printers import engineering

    circuit = problem.circuit
    order = {"V": 0, "A": 0, "": 2}
    symbols = sorted((s for s in circuit.units if s in circuit.values), key=lambda s: order.get(circuit.units[s], 1))
    pieces = {symbol: f"{symbol} {engineering(circuit.values[symbol], circuit.units[symbol])}" for symbol in symbols}
    if meaning:
        for symbol, part in settings(problem).items():
            if symbol in pieces:
                pieces[symbol] = say("sheet.given-setting", given=pieces[symbol], part=part)
    return tuple(pieces.values())


def settings(problem: Problem) -> dict[str, str]:
    """Symbol of each potentiometer's setting to the potentiometer's name."""
    from problems import Potentiometer

    return {part.setting_symbol: part.name for part in problem.circuit.parts if isinstance(part, Potentiometer)}


def folded(pieces: tuple[str, ...], width: int, gap: str = "   ") -> tuple[str, ...]:
    """Pieces set side by side in lines of at most that width; only a piece that is wider itself is broken."""
    lines: list[str] = []
    for piece in pieces:
        if lines and len(lines[-1]) + len(gap) + len(piece) <= width:
            lines[-1] += gap + piece
        else:
            lines += textwrap.wrap(piece, max(width, 12), break_on_hyphens=False)
    return tuple(lines)


def meanings(task: Task) -> tuple[str, ...]:
    """What the settings of the circuit's potentiometers mean, a sentence each; the family's own words come first."""
    if task.problem.setting:
        return (flowed(task.problem.setting),)
    return tuple(say("sheet.setting", setting=symbol, part=part) for symbol, part in settings(task.problem).items())


def flowed(text: str) -> str:
    """Prose from a file as one line; the thin spaces of its values stay, so that no unit is torn from its number."""
    return " ".join(word for word in re.split("[ \t\r\n]+", text) if word)


def paragraphs(text: str, width: int) -> list[str]:
    """Prose wrapped to a width, its own line breaks kept between paragraphs."""
    lines: list[str] = []
    for line in text.splitlines() or [""]:
        lines += textwrap.wrap(line, max(width, 20), break_long_words=True, break_on_hyphens=False) or [""]
    return lines


def marks(attempt: Attempt, place: Place | None = None, known: bool = True) -> Marks:
    """Marks of the drawing: arrows and polarities of what the steps find, values that are known, what a hint lights.

    known: whether values stand on the drawing (line mode prints it once, so there they would go stale).
    """
    from problems.circuits.drawing import Marks
    from problems.quantities import is_made

    names = attempt.problem.circuit.names
    currents: dict[str, str] = {}
    drops: set[str] = set()
    voltages: dict[str, str] = {}
    for name in dict.fromkeys((*(step.quantity for step in attempt.problem.steps), *attempt.stated)):
        quantity = names.read(name)
        if is_made(quantity) or quantity.when:
            continue
        stands = known and name in attempt.stated and not quantity.source
        text = value_text(attempt.stated[name], quantity.unit) if stands else ""
        text = "" if attempt.problem.circuit.regime == "s" and "s" in text else text  # a formula has no room there
        if quantity.kind == "I":
            currents[quantity.of] = text
        elif quantity.kind == "D":
            drops.add(quantity.of)
        elif quantity.kind == "V" and text:
            voltages[quantity.of] = text
    parts, pins, nets = (
        (frozenset(place.parts), frozenset(place.pins), frozenset(place.nodes)) if place else (frozenset(),) * 3
    )
    return Marks(currents=currents, drops=frozenset(drops), voltages=voltages, parts=parts, pins=pins, nets=nets)


def drawing(attempt: Attempt, place: Place | None = None, unicode: bool = True, known: bool = True) -> tuple[Row, ...]:
    """Rows of spans of the circuit's drawing; none for a circuit built without one."""
    from problems.circuits.drawing import render

    circuit = attempt.problem.circuit
    if circuit.drawing is None:
        return ()
    return render(circuit.drawing, circuit, marks(attempt, place, known), unicode=unicode, values="none")


def switched(case: Case, steps: Iterable[Step], paper: Paper) -> Iterator[str]:
    """A circuit with one source on as it is printed: redrawn, in words where it has no drawing or no room.

    steps: those found in it, whose currents have their arrows.
    """
    from problems.circuits.drawing import Drawing, Marks, render

    drawn = case.drawn
    drawing = drawn.drawing if drawn is not None else None
    if drawn is not None and isinstance(drawing, Drawing):
        arrows = {step.target.of: "" for step in steps if step.target.kind == "I"}
        rows = render(drawing, drawn, Marks(currents=arrows), unicode=paper.unicode, values="none")
        lines = ["".join(span.text for span in row).rstrip() for row in rows]
        if max(map(len, lines)) <= paper.across:
            yield from lines
            return
    for fact in case.description:
        yield from paragraphs(paper.spelled(fact), paper.columns)


def description(problem: Problem) -> tuple[str, ...]:
    """The circuit in words, one fact a line."""
    from problems.circuits.drawing import describe

    return tuple(describe(problem.circuit))


def described(problem: Problem, paper: Paper) -> Iterator[str]:
    """The circuit in words as it is printed."""
    for fact in description(problem):
        yield from paragraphs(paper.spelled(fact), paper.columns)


def value_text(value: Any, unit: str) -> str:
    """A value to three figures with its unit; a value that is still a formula prints as one."""
    from problems.formulas.phasor import Phasor
    from problems.formulas.printers import engineering

    return engineering(value, unit) if isinstance(value, Fraction | Phasor) else str(value)


def working(attempt: Attempt) -> tuple[Entry, ...]:
    """The working so far, and the left side of the step that is asked now."""
    entries = [_entry(line) for line in attempt.working]
    step, now = attempt.next_step, question(attempt)
    last = next((posed.question for posed in reversed(attempt.problem.posed)), None)
    if attempt.done and last is not None:
        return (*entries, *map(Entry, last.lines))  # what the last reply speaks of stays in sight
    if now is not None:
        return (*entries, *map(Entry, now.lines or (say("sheet.open", title=now.title),)))
    if step is not None and all(line.quantity != step.quantity for line in attempt.working):
        entries.append(Entry(f"{step.label} = …"))
    return tuple(entries)


def _entry(line: Line) -> Entry:
    """A line of the working; one that is not right yet does not give the relation away."""
    if line.status == "right":
        return Entry(line.relation, line.value, line.law)
    note = say(f"sheet.{line.status.replace(' ', '-')}", law=line.law)
    return Entry(line.label if line.status == "not yet" else line.relation, line.value, note)


def columns(entries: tuple[Entry, ...], width: int) -> list[str]:
    """Entries as lines, the values beneath each other where all lines have room; else each as short as it is."""
    wide = max((len(entry.left) for entry in entries if entry.value), default=0)
    values = max((len(entry.value) for entry in entries), default=0)
    notes = max((len(entry.note) for entry in entries), default=0)
    if wide + values + notes + 5 > width:
        return [line for entry in entries for line in _stacked(entry, width)]
    return [
        line
        for entry in entries
        for line in (
            [f"{entry.left:{wide}} = {entry.value:{values}}  {entry.note}".rstrip()]
            if entry.value
            else hung(entry.left, width)
        )
    ]


def _stacked(entry: Entry, width: int) -> list[str]:
    """An entry on a narrow sheet: in one line if that holds it, else its value and law on the next."""
    right = f"= {entry.value}  {entry.note}".rstrip() if entry.value else ""
    whole = f"{entry.left} {right}".rstrip()
    if len(whole) <= width:
        return [whole]
    return [*hung(entry.left, width), *(hung(right, width, "  ") if right else [])]


def hung(text: str, width: int, margin: str = "") -> list[str]:
    """Text wrapped to a width behind a margin, its further lines a little deeper."""
    deeper = margin + "  "
    room = max(width, len(deeper) + 12)
    return textwrap.wrap(text, room, initial_indent=margin, subsequent_indent=deeper, break_on_hyphens=False) or [""]
