"""Drawing a variant: the same family, seed and values give the same problem on every machine.

Each draw comes from SHA-256 of the family's name, the seed and a counter. The counter goes up until a draw is fit to be
asked, which ``plan`` decides by exact comparison; nothing else, and no generator of random numbers, has a say.
"""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterator, Mapping
from fractions import Fraction

from problems.asks.question import AskFault, Posed
from problems.asks.registry import ask_kinds
from problems.circuits.feedback import NEGATIVE, feedback
from problems.circuits.solution import NoSolution
from problems.derivation.faults import NoNegativeFeedback, NoWalk
from problems.derivation.lesson import Lesson
from problems.formulas.printers import engineering
from problems.templates.definition import Definition
from problems.templates.plan import Plan, Refusal
from problems.templates.reactive_plan import ReactivePlan
from problems.words import say

MOST_DRAWS = 2000
"""Draws before a family is said to have no variant; the families of the house need one to eight."""
MOST_FAILURES = 20
"""Draws of one pattern of zeros that may fail to be solved before the pattern is given up."""
_WORD = 2**64


class NoVariant(ValueError):
    """No draw was fit to be asked. name: the family. refusals: why the draws were turned down, and how many each.

    held: the values that were not drawn, as written (``Rf = 0 Ω``).
    """

    def __init__(self, name: str, refusals: Mapping[Refusal, int], held: tuple[str, ...] = ()):
        self.name, self.refusals, self.held = name, dict(refusals), held
        draws = sum(refusals.values())
        worst = max(refusals, key=lambda refusal: refusals[refusal])
        known = {"rule": "rule", "near": "near", "unsolved": "unsolved", "ask": "ask"}
        key = known.get(worst.reason, "rounding")
        share = round(100 * refusals[worst] / draws)
        reason = say(f"family.variant-{key}", rule=worst.about, quantity=worst.about, move=worst.move, share=share)
        if held and worst.reason == "rule" and refusals[worst] == draws:
            text = say("family.variant-excluded", held=", ".join(held), rule=worst.about, draws=draws, name=name)
        elif held:
            text = say("family.variant-held", held=", ".join(held), name=name, draws=draws, reason=reason)
        else:
            text = say("family.variant", name=name, draws=draws, reason=reason)
        super().__init__(text)


def draw(definition: Definition, seed: int, counter: int, fixed: Mapping[str, Fraction]) -> dict[str, Fraction]:
    """The values of one draw, in the order of the file; ``fixed`` ones are not drawn."""
    numbers = _numbers(f"{definition.name}\n{seed}\n{counter}\n")
    values: dict[str, Fraction] = {}
    for name, options in definition.candidates.items():
        place = _below(len(options), numbers)
        values[name] = fixed.get(name, options[place])
    return {**values, **fixed}


def lot(name: str, seed: int, place: int) -> int:
    """The number by which a question of a family makes its choice. place: its number among the asks."""
    return next(_numbers(f"{name}\n{seed}\nask {place}\n"))


def posed(definition: Definition, lesson: Lesson, seed: int) -> tuple[Posed, ...]:
    """The questions of a family on one variant. Raises AskFault where one cannot be put there."""
    return tuple(
        Posed(each.after, ask_kinds()[each.kind].pose(lesson, each.fields, lot(definition.name, seed, each.place)))
        for each in definition.questions
    )


def _numbers(text: str) -> Iterator[int]:
    """Whole numbers below 2^64 from SHA-256, without end."""
    block = 0
    while True:
        digest = hashlib.sha256(f"{text}{block}".encode()).digest()
        for start in range(0, len(digest), 8):
            yield int.from_bytes(digest[start : start + 8], "big")
        block += 1


def _below(count: int, numbers: Iterator[int]) -> int:
    """A number from 0 to count - 1, each as likely as the next: those that would favour some are passed over."""
    limit = _WORD - _WORD % count
    return next(number for number in numbers if number < limit) % count


class Sampler:
    """Draws variants of one family; keeps its plans, one for each pattern of zeros."""

    def __init__(self, definition: Definition):
        self.definition = definition
        self._plans: dict[tuple[object, ...], Plan | ReactivePlan] = {}
        self._failed: Counter[tuple[object, ...]] = Counter()

    def variant(self, seed: int, fixed: Mapping[str, Fraction] | None = None) -> dict[str, Fraction]:
        """The values of the variant of that seed. fixed: values not to be drawn.

        Where every value is fixed there is nothing to choose, and they are taken as they are. Raises NoVariant; and
        NoSolution, NoNegativeFeedback or NoWalk where no values would do.
        """
        given = fixed or {}
        if self.definition.candidates.keys() <= given.keys():
            return draw(self.definition, seed, 0, given)
        refusals: Counter[Refusal] = Counter()
        for counter in range(MOST_DRAWS):
            values = draw(self.definition, seed, counter, given)
            refusal = self.judge(values, seed)
            if refusal is None:
                return values
            refusals[refusal] += 1
        if all(refusal.reason == "unsolved" for refusal in refusals):
            self._made(values)  # says why, in its own words
        units = self.definition.netlist.units
        held = tuple(f"{symbol} = {engineering(value, units[symbol])}" for symbol, value in given.items())
        raise NoVariant(self.definition.name, refusals, held)

    def judge(self, values: Mapping[str, Fraction], seed: int = 0) -> Refusal | None:
        """Why the values are not fit to be asked; None where they are. seed: by which questions make their choice."""
        plan = self.plan(values)
        if plan is None:
            return Refusal("unsolved")
        return plan.judge(values) or self._loop(values) or self._unasked(values, seed)

    def _unasked(self, values: Mapping[str, Fraction], seed: int) -> Refusal | None:
        """A question that cannot be put to these values."""
        if not self.definition.questions:
            return None
        lesson = self.definition.netlist.with_values(values).lesson
        try:
            posed(self.definition, lesson, seed)
        except AskFault as fault:
            return Refusal("ask", fault.says, fault.remedy)
        except (NoWalk, NoSolution):
            return Refusal("unsolved")
        return None

    def plan(self, values: Mapping[str, Fraction]) -> Plan | ReactivePlan | None:
        """The plan for the pattern of zeros of these values; None where the circuit is not solved by the two rules.

        Other values of the pattern may do better (the sign of a feedback may turn), so it is given up only in the end.
        """
        pattern = tuple(self._kind(name, value) for name, value in values.items())
        if pattern not in self._plans and self._failed[pattern] < MOST_FAILURES:
            try:
                self._plans[pattern] = self._made(values)
            except (NoSolution, NoNegativeFeedback, NoWalk):
                self._failed[pattern] += 1
        return self._plans.get(pattern)

    def _made(self, values: Mapping[str, Fraction]) -> Plan | ReactivePlan:
        reactive = self.definition.netlist.conditions
        return ReactivePlan(self.definition, values) if reactive else Plan(self.definition, values)

    def _kind(self, name: str, value: Fraction) -> object:
        """What the laws see of a value: whether it is 0, or the whole of a track."""
        is_setting = self.definition.netlist.units.get(name) == ""
        return (name, not value, is_setting and value == 1)

    def _loop(self, values: Mapping[str, Fraction]) -> Refusal | None:
        """Feedback that some values turn positive makes the rules fail: it is looked at in every variant taken."""
        signs = feedback(self.definition.netlist.with_values(values))
        return None if all(sign == NEGATIVE for sign in signs.values()) else Refusal("unsolved")
