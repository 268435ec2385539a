"""Proofreading: everything that is wrong with a file, in one go.

First its shape, names and values, as ``define`` sees them; then, as far as there is a circuit, whether it can be solved
and taught, and whether variants of it can be drawn.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from problems.circuits.feedback import NEGATIVE
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.voltage_source import VoltageSource
from problems.circuits.solution import ManySolutions, NoSolution, exact_values
from problems.derivation.faults import NoNegativeFeedback, NoWalk
from problems.derivation.lesson import Lesson
from problems.formulas.spelling import inert
from problems.problem import Circuit
from problems.quantities import GROUND
from problems.templates.bare import drawing_faults
from problems.templates.definition import Definition, draft_of
from problems.templates.faults import Fault, near
from problems.templates.keep import Rule
from problems.templates.maker import is_drawing
from problems.templates.plan import Refusal
from problems.templates.reactive_plan import values_of
from problems.templates.report import FaultList
from problems.templates.sample import MOST_DRAWS, Sampler, draw

ENOUGH = 0.01
"""The share of draws that must be fit to be asked."""


def faults_of(text: str, name: str, file: str, draws: int = MOST_DRAWS) -> tuple[Fault, ...]:
    """Everything that is wrong with a family's file or a bare drawing, in the order of the file.

    draws: how many variants to try.
    """
    if is_drawing(text):
        return drawing_faults(text, name, file)
    draft, report = draft_of(text, name, file)
    if draft is not None:
        _look_further(draft, report, draws)
    return report.faults


def _look_further(draft: Definition, report: FaultList, draws: int) -> None:
    """What only the circuit's solution can tell."""
    try:
        draft.netlist.solve().voltage(GROUND)
    except NoSolution as error:
        report(("drawing",), "no-solution", message=str(error))
        return
    lesson = _lesson(draft.netlist, report)
    rules_met = _rule_faults(draft, report, draws)
    if lesson is not None and _ask_faults(draft, lesson, report) and rules_met:
        _draw_faults(draft, report, draws)


def _lesson(circuit: Circuit, report: FaultList) -> Lesson | None:
    """The lesson of the circuit; None where the two rules do not lead anywhere."""
    path = ("drawing",)
    if not any(isinstance(part, VoltageSource | CurrentSource) for part in circuit.parts):
        report(path, "no-source")
    lesson = Lesson.of(circuit)
    rows = {amp.name: amp.triangle.row + 1 for amp in circuit.drawing.opamps} if circuit.drawing else {}
    wrong = {name: sign for name, sign in lesson.feedback.items() if sign != NEGATIVE}
    for name, sign in wrong.items():
        report.inside(path, rows.get(name, 1), 0, f"feedback-{sign}", name=name)
    return None if wrong else lesson


def _ask_faults(draft: Definition, lesson: Lesson, report: FaultList) -> bool:
    """Whether every ask has a value and a derivation."""
    before = len(report.found)
    for place, ask in enumerate(draft.asks):
        path, label = ("ask", place), draft.netlist.names.write(ask.quantity)
        try:
            if not draft.netlist.conditions:
                draft.netlist.solve().exact(ask.quantity)
            lesson.walk((ask.quantity,))
        except (NoWalk, NoNegativeFeedback):
            report(path, "no-walk", name=label)
        except ManySolutions as error:
            report(path, "many-solutions", message=str(error))
        known = dict.fromkeys(misuse.key for misuse in lesson.misuses(ask.quantity))
        for move in ask.apart:
            if move not in known:
                report((*path, "apart"), "unknown-move", name=label, move=inert(move), near=near(move, known))
    return bool(draft.asks or draft.questions) and len(report.found) == before


def _rule_faults(draft: Definition, report: FaultList, draws: int) -> bool:
    """Whether each keep-rule is met by some draw."""
    met: set[str] = set()
    for seed in range(draws):
        if len(met) == len(draft.rules):
            return True
        try:
            drawn = draft.netlist.with_values(draw(draft, seed, 0, {}))
            values = values_of(drawn) if drawn.conditions else exact_values(drawn)
        except NoSolution:
            continue
        met.update(text for text, rule in draft.rules.items() if _holds(rule, values))
    never = [place for place, text in enumerate(draft.rules) if text not in met]
    for place in never:
        report(("keep", "rules", place), "rule-never", rule=inert(tuple(draft.rules)[place]), draws=draws)
    return not never


def _holds(rule: Rule, values: Mapping[Any, Fraction]) -> bool:
    try:
        return rule.holds(values)
    except (ZeroDivisionError, KeyError, ManySolutions):
        return False


def _draw_faults(draft: Definition, report: FaultList, draws: int) -> None:
    """Whether variants can be drawn, and if not, what is in the way."""
    sampler = Sampler(draft)
    refusals: Counter[Refusal] = Counter()
    fit = 0
    for seed in range(draws):
        refusal = sampler.judge(draw(draft, seed, 0, {}), seed)
        if refusal is not None:
            refusals[refusal] += 1
        else:
            fit += 1
        if fit >= draws * ENOUGH:
            return
    _blame(draft, refusals, report, draws)


def _blame(draft: Definition, refusals: Counter[Refusal], report: FaultList, draws: int) -> None:
    """The fault that tells best why hardly any draw is fit: rules first, then what most often stood in the way."""
    by_rule = sum(count for refusal, count in refusals.items() if refusal.reason == "rule")
    others = [(count, refusal) for refusal, count in refusals.items() if refusal.reason != "rule"]
    if by_rule >= draws * 0.97 or not others:
        report(("keep", "rules"), "rules-never", draws=draws)
        return
    worst = max(others, key=lambda item: item[0])[1]
    if worst.reason == "ask":
        report(("ask", draft.questions[0].place), "ask", says=worst.about, remedy=worst.move)
        return
    labels = [draft.netlist.names.write(ask.quantity) for ask in draft.asks]
    path = ("ask", labels.index(worst.about)) if worst.about in labels else ("values",)
    key = {"near": "collision", "apart": "apart", "unsolved": "unsolved"}.get(worst.reason, "rounding")
    report(path, key, name=worst.about, move=worst.move)
