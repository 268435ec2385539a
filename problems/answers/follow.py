"""Follow-through: what a step gives from the student's own earlier values."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping
from fractions import Fraction
from itertools import takewhile
from typing import Any, NamedTuple

from problems.answers.found import right_of, wrong_of
from problems.answers.tolerance import close
from problems.answers.values import NoValue, Values, value_of
from problems.derivation.law import Law
from problems.derivation.lesson import Lesson
from problems.formulas.dual import Dual
from problems.formulas.expression import Call, Expression, Name
from problems.quantities import Quantity


class Carried(NamedTuple):
    """A value that a law gives from what was stated before. rests_on: the stated quantities that are not exact."""

    value: Fraction
    law: Law
    rests_on: tuple[Quantity, ...]


def own_values(lesson: Lesson, stated: Mapping[Quantity, Fraction]) -> tuple[Values, ...]:
    """True values overlaid with the student's: accepted steps exact first, then as the student rounded them."""
    true = lesson.values
    wrong = wrong_of(lesson, stated)
    rounded = {key: value for key, value in stated.items() if key in true and value != true[key]}
    return tuple(
        Values({**true, **own}) for own in ([wrong] if wrong else []) + ([rounded] if rounded != wrong else [])
    )


def slips_behind(
    lesson: Lesson, stated: Mapping[Quantity, Fraction], rests_on: tuple[Quantity, ...]
) -> tuple[Quantity, ...]:
    """The stated values to come back to: of the wrong ones rested on, and of what those follow from, the first.

    stated: in the order of statement; a value can follow only from what was stated before it.
    """
    wrong = wrong_of(lesson, stated)
    found: dict[Quantity, None] = {}
    waiting = [key for key in rests_on if key in wrong]
    while waiting:
        key = waiting.pop(0)
        ways = carried(lesson, key, _stated_before(key, stated))
        behind = next((way.rests_on for way in ways if close(wrong[key], way.value)), ())
        if behind:
            waiting += [other for other in behind if other in wrong]
        else:
            found[key] = None
    return tuple(found)


def _stated_before(quantity: Quantity, stated: Mapping[Quantity, Fraction]) -> dict[Quantity, Fraction]:
    return dict(takewhile(lambda item: item[0] != quantity, stated.items()))


def withheld(lesson: Lesson, quantity: Quantity, stated: Mapping[Quantity, Fraction]) -> Iterator[Carried]:
    """What follows from the student's values by one law, but only because a slip took part of the step away."""
    for own in own_values(lesson, stated):
        for law in lesson.laws_for(quantity):
            way = None if law.never_walked else _from_slips(law, lesson, own)
            if way is not None and set(way.rests_on) <= set(stated) and not _keeps_its_terms(way, lesson.values, own):
                yield way


def carried(lesson: Lesson, quantity: Quantity, stated: Mapping[Quantity, Fraction]) -> Iterator[Carried]:
    """Every value that follows from the student's earlier ones: by one law headed by the quantity, then by the walk.

    A law whose quantities are all stated or given goes first; then one that rests on a stated slip and for the rest on
    true values, which the student may have found without saying so; then the walk gone again from what was stated.
    Withheld where an earlier slip makes the step easier: where it made a value 0, or took a term away. Where the
    learner holds right values for all that the step rests on, only their rounding is carried: an older slip excuses
    no error.
    """
    if _rests_on_right_values(lesson, quantity, stated):
        stated = right_of(lesson, stated)
    reached = {*stated, *lesson.givens}
    for own in own_values(lesson, stated):
        resting = [way for law in lesson.laws_for(quantity) if (way := _by_law(law, lesson, own)) is not None]
        yield from sorted(resting, key=lambda way: not reached.issuperset(way.law.tails))
        gone_again = _by_walk(quantity, lesson, stated, own)
        if gone_again is not None:
            yield gone_again


def _rests_on_right_values(lesson: Lesson, quantity: Quantity, stated: Mapping[Quantity, Fraction]) -> bool:
    law = lesson.own_law(quantity)
    true = lesson.values
    return law is not None and all(
        tail in lesson.givens or (tail in stated and close(stated[tail], true[tail])) for tail in law.tails
    )


def _by_law(law: Law, lesson: Lesson, own: Values) -> Carried | None:
    """What a law gives from the student's values, where the slips among them leave the step whole."""
    way = _from_slips(law, lesson, own)
    return way if way is not None and _keeps_its_terms(way, lesson.values, own) else None


def _from_slips(law: Law, lesson: Lesson, own: Values) -> Carried | None:
    """What a law gives from the student's values; None where none of those it rests on is off, or it has no value."""
    off = tuple(tail for tail in law.tails if own.get(tail) != lesson.values.get(tail))
    if law.given or not off:
        return None
    try:
        return Carried(value_of(law.relation, own), law, off)
    except NoValue:
        return None


def _by_walk(quantity: Quantity, lesson: Lesson, stated: Mapping[Quantity, Fraction], own: Values) -> Carried | None:
    """What the walk to a quantity gives when the student's values stand for the steps that were stated."""
    laws = tuple(lesson.taught.values()) if quantity in lesson.taught else lesson.laws.walk((quantity,), lesson.method)
    if not laws or laws[-1].given:
        return None
    env = Values({**lesson.symbols, **lesson.given_values})
    slips = []
    for law in laws:
        if law.head == quantity:
            break
        if law.head in stated:
            env[law.head] = own[law.head]
            slips += [law.head] if own[law.head] != lesson.values[law.head] else []
        else:
            try:
                env[law.head] = value_of(law.relation, env)
            except NoValue:
                return None
    found = _by_law(law, lesson, Values({**lesson.values, **env})) if slips else None
    return found._replace(rests_on=tuple(slips)) if found is not None else None


def _keeps_its_terms(way: Carried, true: Mapping[Any, Any], own: Values) -> bool:
    """Whether the step asks as much from the student's values as from the true ones."""
    if (not way.value and true.get(way.law.head)) or any(not own[tail] and true[tail] for tail in way.rests_on):
        return False
    relation, tails = way.law.relation, way.law.tails
    return _depends(relation, tails, own) >= _depends(relation, tails, Values(true))


def _depends(relation: Expression, tails: Iterable[Quantity], env: Values) -> set[Hashable]:
    """The tails that a formula still depends on, by its slopes.

    A size, a phase or an exponential has no exact slope here: it depends on whatever its argument does.
    """
    lifted: dict[Hashable, Any] = {**env, **{tail: Dual.of(tail, env[tail]) for tail in tails}}
    try:
        for call in _calls(relation):
            lifted[call] = Dual(call.at(env), dict.fromkeys(_depends(call.argument, tails, env), Fraction(1)))
        found = _calls_named(relation).at(Values(lifted))
    except (ArithmeticError, TypeError, ValueError):  # such as the size of a formula in s
        return set()
    return set(found.slopes) if isinstance(found, Dual) else set()


def _calls(relation: Expression) -> Iterator[Call]:
    """The outermost functions in a formula."""
    if isinstance(relation, Call):
        yield relation
    else:
        for child in relation.children:
            yield from _calls(child)


def _calls_named(relation: Expression) -> Expression:
    """The formula with each outermost function as a name of its own."""
    if isinstance(relation, Call):
        return Name(relation)
    children = tuple(_calls_named(child) for child in relation.children)
    return relation.with_children(children) if children else relation
