"""The next step from where a student stands: the cheapest way on from what is stated, by any method."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass

from problems.derivation.affine import Affine
from problems.derivation.faults import NoWalk
from problems.derivation.law import LAWS, Law
from problems.derivation.lesson import SUPERPOSITION, Lesson
from problems.derivation.methods.registry import next_steps
from problems.derivation.step import Step
from problems.quantities import Quantity


@dataclass(frozen=True)
class Standing:
    """Where a student stands.

    known: what is found, true. own: laws that the student's own equations are. is_said: whether a law is said already
    by the equations stated.
    """

    known: Collection[Quantity]
    own: Sequence[Law] = ()
    is_said: Callable[[Law], bool] = lambda law: False


@dataclass(frozen=True)
class Guidance:
    """step: the next one. assumed: the steps before it that name an unknown which it rests on."""

    step: Step
    assumed: tuple[Step, ...] = ()


def next_step(lesson: Lesson, target: Quantity, standing: Standing, method: str = LAWS) -> Guidance | None:
    """The first step of the cheapest way to ``target`` by a method; None where the circuit does not determine it."""
    own = next_steps().get(SUPERPOSITION if target.source else method)
    if own is not None:
        step = own(lesson, standing.known, target)
        return None if step is None else Guidance(step)
    law = lesson.next_law(standing.known, target, standing.own, method)
    if law is not None:
        return Guidance(lesson.step(law))
    try:
        return _first_open(lesson.written((target,), method, standing.known), standing)
    except NoWalk:
        return None


def _first_open(steps: tuple[Step, ...], standing: Standing) -> Guidance | None:
    """The first step that is neither found nor said, with the unknowns named before it."""
    assumed: list[Step] = []
    for step in steps:
        if step.role == "assume":
            assumed.append(step)
        elif step.target in standing.known:
            continue
        elif step.role != "law" or not isinstance(step.exact, Affine) or not standing.is_said(step.rule):
            unknown = isinstance(step.exact, Affine) or step.role == "close"
            return Guidance(step, tuple(assumed) if unknown else ())
    return None
