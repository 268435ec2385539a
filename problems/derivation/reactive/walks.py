"""Walks through the states of a circuit: what each state gives, then the law that joins them."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING

from problems.circuits.first_order import tagged
from problems.derivation.faults import NoWalk
from problems.derivation.law import Law
from problems.derivation.reactive.joint import is_elsewhere, is_joint, law_in_state, step_in_state
from problems.derivation.step import Step
from problems.quantities import Quantity, canonical, voltage

if TYPE_CHECKING:
    from problems.derivation.lesson import Lesson


Page = dict[tuple[Quantity, str], Step]
"""Steps by what they give and by their role: an unknown has a step that names it, one that finds it, perhaps more."""


def walk(lesson: Lesson, targets: tuple[Quantity, ...], method: str) -> tuple[Step, ...]:
    """The steps to each target in turn, every one once. Raises NoWalk."""
    page: Page = {}
    plain: list[Quantity] = []
    for target in targets:
        _add(lesson, target, method, page, plain)
    return tuple(page.values())


def _add(lesson: Lesson, target: Quantity, method: str, page: Page, plain: list[Quantity]) -> None:
    if any(done == target for done, _ in page):
        return
    if not is_elsewhere(target, lesson):
        plain.append(target)
        _enter(lesson.walk(tuple(plain), method), page)
    elif is_joint(target, lesson):
        law = lesson.own_law(target)
        if law is None:
            raise NoWalk(canonical(target))
        if target.kind in ("F", "Q") and not law.tails and lesson.is_in_s:
            _add(lesson, voltage("out"), method, page, plain)  # whose denominator it is read from
        for tail in law.tails:
            if not lesson.is_given(tail):
                _add(lesson, tail, method, page, plain)
        page[target, "law"] = lesson.step(law)
    else:
        inner = lesson.in_state(target.when).walk((tagged(target, ""),), method)
        _enter(tuple(step_in_state(step, target.when, lesson) for step in inner), page)


def _enter(found: tuple[Step, ...], page: Page) -> None:
    for step in found:
        page.setdefault((step.target, step.role), step)


def next_law(
    lesson: Lesson, known: Collection[Quantity], target: Quantity, own: Sequence[Law], method: str
) -> Law | None:
    """The first law of the way to a target from what is known; None where no one law leads on.

    own: laws that the student has stated.
    """
    if is_joint(target, lesson):
        law = lesson.own_law(target)
        if law is None:
            return None
        missing = next((tail for tail in law.tails if tail not in known and not lesson.is_given(tail)), None)
        return law if missing is None else lesson.next_law(known, missing, own, method)
    inner = [tagged(key, "") for key in known if key.when == target.when]
    found = lesson.in_state(target.when).next_law(inner, tagged(target, ""), (), method)
    return None if found is None else law_in_state(found, target.when)
