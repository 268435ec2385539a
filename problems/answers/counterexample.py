"""A setting or values of the same circuit at which a wrong move plainly fails, and the right value is easy to see.

Only what is seen at the changed values is told, so the value asked for is not given away.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from itertools import combinations
from typing import NamedTuple

from problems.answers.tolerance import close, near_zero
from problems.answers.values import NoValue, Values, value_of
from problems.answers.verdict import Verdict
from problems.answers.vocabulary import label
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.potentiometer import Potentiometer
from problems.circuits.parts.voltage_source import VoltageSource
from problems.circuits.solution import ManySolutions, NoSolution
from problems.derivation.law import Misuse
from problems.derivation.lesson import Lesson
from problems.derivation.step import worded
from problems.formulas.expression import keys
from problems.formulas.phasor import Degrees
from problems.formulas.printers import engineering
from problems.quantities import Quantity
from problems.words import say

PLAIN = 2
"""From this factor on two values differ plainly; so do two signs, and zero against anything."""
MOST_PARTS = 6
"""Of more parts than these the first are changed: those of the move itself."""
RATIOS = {Fraction(2): "doubles", Fraction(1, 2): "halves", Fraction(1): "stays"}
"""What a value can do, when one part is doubled, that is seen without a calculation."""


class Change(NamedTuple):
    """Some values put in place of those of the circuit; how: the key of how that is said."""

    values: Mapping[str, Fraction]
    how: str
    fields: Mapping[str, str]

    @property
    def text(self) -> str:
        return say(f"counterexample.{self.how}", **self.fields)

    @property
    def effort(self) -> int:
        """How much it asks to picture the change: a setting or a source least."""
        return {"set": 0, "equal": 1, "wire": 2, "doubled": 3, "alike": 4, "alike-alone": 5}[self.how]


class Counterexample(NamedTuple):
    """change: what to change. right: what the quantity is then. wrong: what the wrong move says; None where it
    would divide by 0. seen: how the right value is seen, ``zero``, ``source``, ``twice``, ``half`` a source, or
    ``ratio`` to what it was. text: in words.
    """

    change: Change
    right: Fraction
    wrong: Fraction | None
    seen: str
    text: str


def counterexample(lesson: Lesson, quantity: Quantity, misuse: Misuse) -> Counterexample | None:
    """The easiest one to see; None where no small change shows the fault, or where values are only names."""
    if not lesson.is_numeric:
        return None
    found = [case for change in changes(lesson, quantity, misuse) for case in _cases(lesson, quantity, misuse, change)]
    return min(found, key=lambda case: case[0])[1] if found else None


def _cases(lesson: Lesson, quantity: Quantity, misuse: Misuse, change: Change) -> Iterator[tuple[int, Counterexample]]:
    """The counterexample that a change is, if it is one, with how hard its right value is to see."""
    there = changed(lesson, change)
    here, then = both(lesson, quantity, misuse), both(there, quantity, misuse) if there is not None else None
    if there is None or here is None or then is None:
        return
    (was, said), (right, wrong) = here, then
    if said is None:
        return
    told = _Told(change, right, wrong, quantity, lesson)
    fields = {"change": change.text, "label": label(quantity, lesson.netlist)}
    fields["name"] = worded(misuse, said, quantity).name
    seen = told.seen(there)
    if seen and not _gives_away(right, was) and _plainly_apart(right, wrong, quantity, Values(there.values)):
        yield change.effort + (seen != "zero"), told.case(seen, fields)
    if change.how == "doubled" and was and wrong is not None and right / was in RATIOS:
        does, says = right / was, wrong / said if said else Fraction(0)
        told_apart = bool(said) or does != 1
        if told_apart and (says * does <= 0 or max(says / does, does / says) >= PLAIN):
            moves = {"does": _moves(does), "says": _moves(says)}
            yield change.effort + 2, told.case("ratio", {**fields, **moves})


class _Told(NamedTuple):
    """What there is to tell of one change."""

    change: Change
    right: Fraction
    wrong: Fraction | None
    quantity: Quantity
    lesson: Lesson

    def seen(self, there: Lesson) -> str:
        """How the right value is seen without a calculation: as 0, or by a source; empty where it is not."""
        if not self.right:
            return "zero"
        if self.quantity.unit != "V":
            return ""
        values = there.netlist.values
        for times, key in ((Fraction(1), "source"), (Fraction(2), "twice"), (Fraction(1, 2), "half")):
            if any(abs(self.right) == times * abs(values[name]) for name in _sources(there)):
                return key
        return ""

    def case(self, seen: str, fields: Mapping[str, str]) -> Counterexample:
        unit = self.quantity.unit
        wrong = say("counterexample.no-value") if self.wrong is None else engineering(self.wrong, unit)
        said = say("counterexample.says", wrong=wrong, name=fields["name"])
        shown = {"right": engineering(self.right, unit), "wrong": said, **fields}
        text = say(f"counterexample.{seen}", **shown)
        return Counterexample(self.change, self.right, self.wrong, seen, text)


def _gives_away(right: Fraction, was: Fraction) -> bool:
    """Whether the value at the change tells the value asked for: it is the same, or plainly a multiple of it."""
    return right == was or (bool(was) and any(close(abs(right), times * abs(was)) for times in RATIOS))


def _moves(ratio: Fraction) -> str:
    known = RATIOS.get(ratio, "times" if ratio else "zero-always")
    return say(f"counterexample.{known}", ratio=engineering(ratio, ""))


def _plainly_apart(right: Fraction, wrong: Fraction | None, quantity: Quantity, values: Values) -> bool:
    if wrong is None:
        return True
    if not right or not wrong:
        return right != wrong and not near_zero(wrong or right, quantity, values)
    return right * wrong < 0 or max(abs(right / wrong), abs(wrong / right)) >= PLAIN


def both(lesson: Lesson, quantity: Quantity, misuse: Misuse) -> tuple[Fraction, Fraction | None] | None:
    """The right value, and that of the wrong move; None in place of the second where it divides by 0.

    None instead of both where they are no plain numbers: which phasor is larger says little.
    """
    values = Values(lesson.values)
    right = values.get(quantity)
    if not isinstance(right, Fraction) or isinstance(right, Degrees):
        return None
    try:
        wrong = value_of(misuse.relation, values)
        return (right, wrong) if isinstance(wrong, Fraction) else None
    except NoValue as missing:
        return (right, None) if missing.key == "divides-by-zero" else None


def changed(lesson: Lesson, change: Change) -> Lesson | None:
    """The lesson with the change made; None where the circuit then has no one solution, or another feedback."""
    try:
        other = Lesson.of(lesson.netlist.with_values(change.values))
        other = other.holding(tuple(lesson.taught)) if any(q.source for q in lesson.taught) else other
        return other if other.values and dict(other.feedback) == dict(lesson.feedback) else None
    except (NoSolution, ManySolutions, ValueError):
        return None


def changes(lesson: Lesson, quantity: Quantity, misuse: Misuse) -> Iterator[Change]:
    """Small changes of the circuit, the likeliest to show something first."""
    netlist, now = lesson.netlist, lesson.netlist.values
    for part in netlist.parts:
        if isinstance(part, Potentiometer):
            for setting in (Fraction(0), Fraction(1), Fraction(1, 2)):
                if now[part.share] != setting:
                    fields = {"name": part.share, "value": engineering(setting, "")}
                    yield Change({part.share: setting}, "set", fields)
    resistors, sources = _resistors(lesson, quantity, misuse), _sources(lesson)
    yield from _of_sources(sources, lesson)
    for first, second in combinations(resistors, 2):
        if now[first] != now[second]:
            yield Change({first: now[second]}, "equal", {"name": first, "other": second})
    for name in resistors:
        yield Change({name: Fraction(0)}, "wire", {"name": name})
    for name in resistors:
        yield Change({name: 2 * now[name]}, "doubled", {"name": name})
    yield from _all_equal(sources, lesson)


def _all_equal(sources: tuple[str, ...], lesson: Lesson) -> Iterator[Change]:
    """All resistors alike; where there are several sources, with one of them on."""
    now, units = lesson.netlist.values, lesson.netlist.units
    resistors = [name for name, unit in units.items() if unit == "ohm"]
    alike = dict.fromkeys(resistors, now[resistors[0]])
    if len({now[name] for name in resistors}) < 2:
        return
    if len(sources) == 1:
        yield Change(alike, "alike", {})
    for name in sources if len(sources) > 1 else ():
        silent = {other: Fraction(0) for other in sources if other != name}
        yield Change({**alike, **silent}, "alike-alone", {"name": name})


def _of_sources(sources: tuple[str, ...], lesson: Lesson) -> Iterator[Change]:
    """One source at 0, two as large as each other, one turned round."""
    now, units = lesson.netlist.values, lesson.netlist.units
    if len(sources) < 2:
        return
    for first, second in combinations(sources, 2):
        if units[first] == units[second] and now[first] != now[second]:
            yield Change({first: now[second]}, "equal", {"name": first, "other": second})
    for name in sources:
        if now[name]:
            zero = engineering(Fraction(0), units[name])
            yield Change({name: Fraction(0)}, "set", {"name": name, "value": zero})
            yield Change({name: -now[name]}, "set", {"name": name, "value": engineering(-now[name], units[name])})


def _sources(lesson: Lesson) -> tuple[str, ...]:
    """Symbols of what drives the circuit."""
    parts = lesson.netlist.parts
    return tuple(dict.fromkeys(part.symbol for part in parts if isinstance(part, VoltageSource | CurrentSource)))


def _resistors(lesson: Lesson, quantity: Quantity, misuse: Misuse) -> tuple[str, ...]:
    """Symbols of the resistors of the move, then of the step, then the others."""
    law = lesson.own_law(quantity)
    units = lesson.netlist.units
    near = [key for key in sorted(keys(misuse.relation), key=str) if isinstance(key, str)]
    near += [key for key in sorted(keys(law.relation), key=str) if isinstance(key, str)] if law is not None else []
    return tuple(dict.fromkeys(name for name in (*near, *units) if units.get(name) == "ohm"))[:MOST_PARTS]


def last_move(verdicts: Iterable[Verdict]) -> tuple[Quantity, Misuse] | None:
    """The wrong move that the last verdict on a quantity named, with that quantity; None where it named none."""
    verdict = next((verdict for verdict in reversed([*verdicts]) if verdict.quantity is not None), None)
    if verdict is None or verdict.move is None or verdict.quantity is None:
        return None
    return verdict.quantity, verdict.move


def failing(lesson: Lesson, quantity: Quantity, move: Misuse) -> str | None:
    """Where a wrong move plainly fails, in words; None where nothing short shows it."""
    found = counterexample(lesson.holding((quantity,)), quantity, move)
    return found.text if found is not None else None
