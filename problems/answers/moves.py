"""Wrong moves: which of the known ways to get a step wrong give a value."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from functools import lru_cache
from typing import Any, NamedTuple

from problems.answers.tolerance import close, names
from problems.answers.values import NoValue, Values, value_of
from problems.derivation.law import Misuse
from problems.derivation.lesson import Lesson
from problems.quantities import Quantity

EMPTY: Mapping[Quantity, Fraction] = {}
LEAD = 0.2
"""How far ahead of the next cause, by rank, the likeliest must be to be named outright."""


class Fit(NamedTuple):
    """A misuse, and the value that it gives."""

    misuse: Misuse
    value: Fraction


def fits(
    lesson: Lesson,
    quantity: Quantity,
    value: Fraction,
    stated: Mapping[Quantity, Fraction] = EMPTY,
    own: Iterable[tuple[Fit, ...]] = (),
) -> tuple[Fit, ...]:
    """The wrong moves that give this value, one of each cause, likeliest first; one alone where it is clearly likelier.

    From the true values; where none does, from each of ``own`` in turn, the moves evaluated on the student's earlier
    values. A move whose value is the right one cannot act here, so it is no cause. A slip in an earlier quantity that
    the student has ``stated`` rightly is one only where nothing else explains the value.
    """
    right = Values(lesson.values)[quantity]
    for candidates in (_candidates(lesson, quantity), *own):
        found: dict[str, Fit] = {}
        for fit in candidates:
            if names(value, fit.value) and not close(fit.value, right):
                found.setdefault(fit.misuse.key, fit)
        if found:
            causes = tuple(found.values())
            here = tuple(fit for fit in causes if not _is_settled(fit.misuse.behind, lesson, stated))
            return _clearest(here or causes)
    return ()


def _is_settled(behind: Quantity | None, lesson: Lesson, stated: Mapping[Quantity, Fraction]) -> bool:
    return behind is not None and behind in stated and close(stated[behind], lesson.values[behind])


def _clearest(found: tuple[Fit, ...]) -> tuple[Fit, ...]:
    """The likeliest alone where it leads the rest clearly; else all, for the question that splits them."""
    if len(found) > 1 and round(found[1].misuse.rank - found[0].misuse.rank, 6) >= LEAD:
        return found[:1]
    return found


def _candidates(lesson: Lesson, quantity: Quantity) -> tuple[Fit, ...]:
    return _kept(_Kept(lesson), quantity)


class _Kept:
    """A lesson as a key of the cache: lessons of one netlist and one set of laws are one."""

    def __init__(self, lesson: Lesson):
        self.lesson = lesson
        taught = frozenset((quantity, law.key, law.tails) for quantity, law in lesson.taught.items())
        recalled = frozenset((quantity, move.relation) for quantity, of in lesson.recalled.items() for move in of)
        self.key = (lesson.netlist, lesson.laws, lesson.method, taught, recalled)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Kept) and self.key == other.key

    def __hash__(self) -> int:
        return hash(self.key)


@lru_cache(maxsize=512)
def _kept(kept: _Kept, quantity: Quantity) -> tuple[Fit, ...]:
    return evaluated(kept.lesson, quantity, Values(kept.lesson.values))


def evaluated(lesson: Lesson, quantity: Quantity, env: Mapping[Any, Any]) -> tuple[Fit, ...]:
    """Every wrong move of the step with its value under ``env``, likeliest first."""
    found = []
    for misuse in lesson.misuses(quantity):
        try:
            found.append(Fit(misuse, value_of(misuse.relation, env)))
        except NoValue:
            continue
    return tuple(found)
