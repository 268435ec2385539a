"""What ``--json`` prints: plain dictionaries, keys in snake_case, values exact and as floats."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from problems.derivation.affine import Affine
from problems.derivation.step import formula
from problems.formulas.phasor import Phasor
from problems.formulas.ratio import Ratio
from tutor import sheet

if TYPE_CHECKING:
    from problems import Attempt, Verdict
    from problems.asks.question import Question
    from problems.derivation.step import Step
    from tutor.source import Task


def value(exact: Fraction | Phasor | Affine | Ratio, unit: str) -> dict[str, Any]:
    """``{"exact": "3/5", "float": 0.6, "unit": "V"}``; float is null where the value is a formula, and where it is a
    phasor, which has its size and its degrees.

    exact: of the walk's own number types; linear in an unknown while a step still holds one.
    """
    if isinstance(exact, Fraction):
        return {"exact": str(exact), "float": float(exact), "unit": unit}
    if isinstance(exact, Phasor):
        polar = {"size": float(abs(exact)), "degrees": float(exact.phase)}
        return {"exact": str(formula(exact)), "float": None, "unit": unit, **polar}
    return {"exact": str(formula(exact)), "float": None, "unit": unit}


def head(task: Task) -> dict[str, Any]:
    """What names a problem and gives its values."""
    circuit = task.problem.circuit
    return {
        "source": task.name,
        "title": task.title,
        "version": task.code or None,
        "statement": sheet.flowed(task.problem.statement),
        "asks": list(task.problem.asks),
        "givens": {
            symbol: value(circuit.values[symbol], circuit.units[symbol])
            for symbol in circuit.units
            if symbol in circuit.values
        },
    }


def derivation(task: Task) -> dict[str, Any]:
    """A problem with its drawing and every step of its derivation."""
    return _sheet(task) | _worked(task)


def derivations(tasks: Sequence[Task]) -> dict[str, Any]:
    """One problem with its drawing, and its derivation by each of several methods."""
    return _sheet(tasks[0]) | {"derivations": [_worked(task) for task in tasks]}


def _sheet(task: Task) -> dict[str, Any]:
    rows = sheet.drawing(task.problem.begin(), known=False)
    return head(task) | {
        "drawing": ["".join(span.text for span in row).rstrip() for row in rows],
        "description": list(sheet.description(task.problem)),
        "questions": [question(posed.question) for posed in task.problem.posed],
    }


def _worked(task: Task) -> dict[str, Any]:
    steps = [step(found) for found in task.problem.steps]
    return {"method": task.problem.method, "steps": steps, **cases(task)}


def cases(task: Task) -> dict[str, Any]:
    """The circuits with one source on, where the derivation goes source by source; drawing is null in words alone."""
    sources = dict.fromkeys(step.target.source for step in task.problem.steps if step.target.source)
    found = [task.problem.lesson.case(source) for source in sources]
    listed = [
        {
            "source": case.source,
            "off": list(case.off),
            "drawing": None if case.rows is None else list(case.rows),
            "description": list(case.description),
        }
        for case in found
    ]
    return {"cases": listed} if listed else {}


def question(asked: Question) -> dict[str, Any]:
    """What is asked besides values, with its help and its answer."""
    return {
        "ask": asked.name,
        "text": asked.text,
        "lines": list(asked.lines),
        "hints": [rung.text for rung in asked.rungs],
        "solution": list(asked.solution),
    }


def step(found: Step) -> dict[str, Any]:
    """One step with its hints and known wrong moves."""
    moves = [
        {"key": m.key, "name": m.name, "value": value(m.exact, found.unit), "why": m.why} for m in found.wrong_moves
    ]
    return {
        "quantity": found.quantity,
        "law": found.law,
        "note": found.note or None,
        "equation": found.equation() or None,
        "relation": str(found.relation),
        "numbers": found.numbers(),
        "value": value(found.exact, found.unit),
        "why": found.why,
        "hints": list(found.hints),
        "wrong_moves": moves,
    }


def verdicts(task: Task, judged: Sequence[tuple[str, Verdict]], attempt: Attempt) -> dict[str, Any]:
    """Statements with their verdicts, and whether all are right."""
    return head(task) | {
        "verdicts": [
            {
                "statement": text,
                "quantity": attempt.problem.circuit.names.write(verdict.quantity) if verdict.quantity else None,
                "kind": verdict.kind,
                "right": verdict.right,
                "wrong_move": verdict.wrong_move,
                "message": verdict.message,
            }
            for text, verdict in judged
        ],
        "right": all(verdict.right for _, verdict in judged),
        "done": attempt.done,
    }
