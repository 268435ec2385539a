"""Two causes fit one value: the question about the circuit that tells them apart."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from itertools import islice
from typing import Any

from problems.answers.counterexample import PLAIN, both, changed, changes
from problems.answers.moves import Fit
from problems.answers.values import NoValue, further_values, value_of
from problems.answers.verdict import Sentence
from problems.answers.vocabulary import label
from problems.derivation.lesson import Lesson
from problems.formulas.printers import engineering
from problems.quantities import Quantity

MOST_TRIED = 8
"""Changes looked at, so that a reply does not keep anyone waiting."""

ONE_THOUGHT = (
    frozenset({"leg-left-out", "branch-left-out"}),
    frozenset({"end-taken-as-ground", "virtual-ground-assumed"}),
    frozenset({"no-current-assumed", "no-drop-assumed"}),
)
"""Wrong moves that say one thing of the circuit, at a step or in the one before it."""


def splitting(
    first: Fit, second: Fit, quantity: Quantity, lesson: Lesson, stated: Collection[Quantity]
) -> Sentence | None:
    """What to ask: a quantity that only one of the causes has wrong, or what the line gives after a small change.

    A quantity stated already comes first; one stated rightly has taken its cause out before. None where nothing short
    tells the two apart.
    """
    behind = [fit.misuse.behind for fit in (first, second)]
    if behind[0] != behind[1]:
        open_ones = [key for key in behind if key is not None and key != quantity and not lesson.is_given(key)]
        for key in sorted(open_ones, key=lambda key: key not in stated):
            return Sentence("verdict.split-quantity", {"label": label(key, lesson.netlist)})
    for change in islice(changes(lesson, quantity, first.misuse), MOST_TRIED):
        other = changed(lesson, change)
        values = [both(other, quantity, fit.misuse) for fit in (first, second)] if other is not None else []
        one, two = (pair[1] if pair is not None else None for pair in values) if values else (None, None)
        if one is None or two is None:
            continue
        if one * two <= 0 < abs(one) + abs(two) or (one and max(one / two, two / one) >= PLAIN):
            shown = {"one": engineering(one, quantity.unit), "two": engineering(two, quantity.unit)}
            fields = {"change": change.text, "label": label(quantity, lesson.netlist), **shown}
            return Sentence("verdict.split-change", fields)
    return None


def different(moves: tuple[Fit, ...], lesson: Lesson) -> tuple[Fit, ...]:
    """The moves without those that are the likeliest one said in other words: the same line whatever the values are.

    Two that lie in different quantities stay two, whatever their lines come to, unless they are one thought.
    """
    first, *others = moves
    sets = further_values(lesson.netlist) if others else ()
    return (first, *(fit for fit in others if not sets or not _one_line(first, fit, sets)))


def _one_line(first: Fit, second: Fit, sets: Iterable[Mapping[Any, Any]]) -> bool:
    keys = {first.misuse.key, second.misuse.key}
    if first.misuse.behind != second.misuse.behind and not any(keys <= thought for thought in ONE_THOUGHT):
        return False
    try:
        return all(value_of(first.misuse.relation, env) == value_of(second.misuse.relation, env) for env in sets)
    except NoValue:
        return False
