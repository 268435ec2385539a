"""Proofreading: everything that is wrong with a file, in one go.

First its shape, names and values, as ``define`` sees them; then, as far as there is a circuit, whether it can be solved
and taught, and whether variants of it can be drawn.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

from problems.circuits.drawing import DrawingError, read_drawing
from problems.circuits.equations import unvalued
from problems.circuits.feedback import NEGATIVE
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.voltage_source import VoltageSource
from problems.circuits.solution import ManySolutions, NoSolution
from problems.derivation.lesson import Lesson, NoNegativeFeedback, NoWalk
from problems.formulas.spelling import inert
from problems.problem import Circuit
from problems.templates.definition import WIDEST, Definition, draft_of
from problems.templates.faults import Fault, near
from problems.templates.maker import TARGET, is_drawing
from problems.templates.plan import Plan, Refusal
from problems.templates.report import FaultList
from problems.templates.sample import Sampler, draw

DRAWS = 300
"""Draws by which a family is judged; one in a hundred must be fit to be asked."""


def faults_of(text: str, name: str, file: str) -> tuple[Fault, ...]:
    """Everything that is wrong with a family's file or a bare drawing, in the order of the file."""
    if is_drawing(text):
        return _drawing_faults(text, file)
    draft, report = draft_of(text, name, file)
    if draft is not None:
        lesson = _circuit_faults(draft.netlist, report, ("drawing",))
        if lesson is not None and _ask_faults(draft, lesson, report):
            _draw_faults(draft, report)
    return report.faults


def _circuit_faults(circuit: Circuit, report: FaultList, path: tuple[str, ...]) -> Lesson | None:
    """The lesson of the circuit; None where the two rules do not lead anywhere."""
    if not any(isinstance(part, VoltageSource | CurrentSource) for part in circuit.parts):
        report(path, "no-source")
    try:
        circuit.solve().voltage("0")
        lesson = Lesson.of(circuit)
    except NoSolution as error:
        report(path, "no-solution", message=str(error))
        return None
    except ManySolutions as error:
        report(path, "many-solutions", message=str(error))
        return None
    wrong = {name: sign for name, sign in lesson.feedback.items() if sign != NEGATIVE}
    for name, sign in wrong.items():
        row = (
            next((amp.triangle.row for amp in circuit.drawing.opamps if amp.name == name), 0) if circuit.drawing else 0
        )
        report.inside(path, row + 1, 0, f"feedback-{sign}", name=name)
    return None if wrong else lesson


def _ask_faults(draft: Definition, lesson: Lesson, report: FaultList) -> bool:
    """Whether every ask has a derivation."""
    good = bool(draft.asks)
    for place, ask in enumerate(draft.asks):
        path = ("ask", place)
        try:
            lesson.walk((ask.quantity,))
        except (NoWalk, NoNegativeFeedback):
            report(path, "no-walk", name=lesson.netlist.names.write(ask.quantity))
            good = False
        except ManySolutions as error:
            report(path, "many-solutions", message=str(error))
            good = False
        known = dict.fromkeys(misuse.key for misuse in lesson.misuses(ask.quantity))
        for move in ask.apart:
            if move not in known:
                label = lesson.netlist.names.write(ask.quantity)
                report((*path, "apart"), "unknown-move", name=label, move=inert(move), near=near(move, known))
    return good


def _draw_faults(draft: Definition, report: FaultList) -> None:
    """Whether variants can be drawn, and if not, what is in the way."""
    sampler = Sampler(draft)
    met: Counter[str] = Counter()
    refusals: Counter[Refusal] = Counter()
    for seed in range(DRAWS):
        values = draw(draft, seed, 0, {})
        plan = sampler.plan(values)
        if plan is None:
            refusals[Refusal("unsolved")] += 1
            continue
        held = _rules_met(plan, values)
        met.update(held)
        refusal = sampler.judge(values)
        if refusal is not None:
            refusals[refusal] += 1
    never = [place for place, text in enumerate(draft.rules) if not met[text]]
    for place in never:
        report(("keep", "rules", place), "rule-never", rule=inert(tuple(draft.rules)[place]), draws=DRAWS)
    if not never and DRAWS - refusals.total() < DRAWS / 100:
        _blame(draft, refusals, report)


def _rules_met(plan: Plan, values: dict[str, Fraction]) -> list[str]:
    try:
        return plan.rules_met(values)
    except (ZeroDivisionError, ValueError):
        return []


def _blame(draft: Definition, refusals: Counter[Refusal], report: FaultList) -> None:
    """The fault that tells best why hardly any draw is fit: rules first, then what most often stood in the way."""
    by_rule = sum(count for refusal, count in refusals.items() if refusal.reason == "rule")
    others = [(count, refusal) for refusal, count in refusals.items() if refusal.reason != "rule"]
    if by_rule >= DRAWS * 0.97 or not others:
        report(("keep", "rules"), "rules-never", draws=DRAWS)
        return
    worst = max(others, key=lambda item: item[0])[1]
    labels = [draft.netlist.names.write(ask.quantity) for ask in draft.asks]
    path = ("ask", labels.index(worst.about)) if worst.about in labels else ("values",)
    key = {"near": "collision", "apart": "apart", "unsolved": "unsolved"}.get(worst.reason, "rounding")
    report(path, key, name=worst.about, move=worst.move)


def _drawing_faults(text: str, file: str) -> tuple[Fault, ...]:
    """The same for a bare drawing: its values must stand in its boxes."""
    report = FaultList(file, {})
    rows = text.split("\n")
    wide = next(((row, len(line)) for row, line in enumerate(rows, 1) if len(line.rstrip()) > WIDEST), None)
    if wide is not None:
        report.whole("wide", wide[0], WIDEST + 1, width=wide[1], most=WIDEST)
    try:
        drawing = read_drawing(text)
        circuit = Circuit(drawing.parts(), drawing=drawing)
    except DrawingError as error:
        for fault in error.faults:
            report.whole("drawing", fault.row, fault.column, problem=fault.problem, remedy=fault.remedy)
        return report.faults
    except ValueError as error:
        report.whole("circuit", 1, message=inert(str(error), 400))
        return report.faults
    for name in unvalued(circuit):
        report.whole("no-value", 1, name=name)
    if TARGET not in circuit.names.readings:
        report.whole("no-output", 1)
    return report.faults
