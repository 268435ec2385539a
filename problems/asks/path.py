"""Path sum: Kirchhoff's voltage law along a path that is named, from node to node or round a loop.

The student writes the sum as an equation. It is right where it says exactly this sum, in names: each part of the path
once, with its sign against the walking direction, and nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from problems.answers.judge import OUTSIDE_ATTEMPT, judge
from problems.answers.verdict import Sentence, Verdict
from problems.answers.vocabulary import vocabulary
from problems.asks.hops import Hop, PathEmpty, hops_of
from problems.asks.question import Answer, Fields, Rung, Standing, Unfinished, unread
from problems.asks.voltage_sum import OTHER, Finding, NotASum, Sums
from problems.circuits.netlist import Netlist
from problems.derivation.law import Law, Place
from problems.derivation.lesson import Lesson
from problems.derivation.view import potential, signed_sum
from problems.formulas.expression import ZERO, Expression, keys
from problems.formulas.parser import Reading, Unreadable, parse_sides
from problems.quantities import GROUND, Quantity, current, voltage
from problems.words import say

KEY = "path"
FIELDS: Mapping[str, type] = {KEY: tuple}
EXAMPLE = "path in-2-out"


def read(text: str) -> Fields:
    """The fields of ``path in-2-out``; commas or blanks will do too. Raises Unfinished."""
    dashed = "-" in text and "," not in text and " " not in text
    words = text.split("-") if dashed else text.replace(",", " ").split()
    if len(words) < 2 or not all(words):
        raise Unfinished(ask=KEY, example=EXAMPLE)
    return {KEY: tuple(words)}


def name(netlist: Netlist, fields: Fields) -> str:
    """``path in-2-out``."""
    return f"{KEY} {'-'.join(fields[KEY])}"


def check(netlist: Netlist, fields: Fields) -> None:
    """Raises AskFault where the path is none of this circuit."""
    hops_of(netlist, tuple(fields[KEY]))


def pose(lesson: Lesson, fields: Fields, lot: int) -> PathSum:
    """The question; nothing in it is chosen by ``lot``. Raises AskFault."""
    words = tuple(fields[KEY])
    asked = PathSum(lesson, words, hops_of(lesson.netlist, words))
    if asked.says_nothing:
        raise PathEmpty(path="-".join(words))
    return asked


@dataclass(frozen=True)
class PathSum:
    """Kirchhoff's voltage law along a path. words: as it was named. hops: the parts crossed, in order."""

    lesson: Lesson = field(repr=False, compare=False)
    words: tuple[str, ...]
    hops: tuple[Hop, ...]

    needs = ("sum",)
    lines = ()

    @property
    def name(self) -> str:
        return f"{KEY} {'-'.join(self.words)}"

    @property
    def start(self) -> str:
        return self.hops[0].start

    @property
    def end(self) -> str:
        return self.hops[-1].end

    @property
    def closed(self) -> bool:
        """Whether it is a loop."""
        return self.start == self.end

    @cached_property
    def targets(self) -> tuple[Quantity, ...]:
        """What the sum speaks of, so that the drawing has its arrows: currents of the parts, voltages of the ends."""
        found = [current(hop.branch.name) for hop in self.hops if hop.branch.impedance is not None]
        found += [] if self.closed else [voltage(node) for node in (self.start, self.end)]
        return tuple(quantity for quantity in found if not self.lesson.is_given(quantity))

    @property
    def _about(self) -> dict[str, str]:
        label = self.lesson.laws.view.node_label
        nodes = (self.start, *(hop.end for hop in self.hops))
        return {
            "path": say("path.to").join(label(node) for node in nodes),
            "parts": ", ".join(hop.branch.name for hop in self.hops),
        }

    @property
    def title(self) -> str:
        return say("path.title")

    @property
    def text(self) -> str:
        return say("path.loop" if self.closed else "path.open", **self._about)

    @cached_property
    def sum(self) -> Expression:
        """What is 0: where the path starts, less each fall on the way, less where it ends."""
        terms = [(-hop.sign, hop.fall) for hop in self.hops]
        if not self.closed:
            terms = [(1, potential(self.start)), *terms, (-1, potential(self.end))]
        # in walking order, not with the rising ones first
        written: Expression = ZERO
        for sign, term in terms:
            if term != ZERO:
                signed = signed_sum([(sign, term)])
                written = signed if written == ZERO else written - term if sign < 0 else written + term
        return written

    @cached_property
    def _sums(self) -> Sums:
        return Sums(self.lesson, self.hops, None if self.closed else (self.start, self.end), self.sum)

    @property
    def says_nothing(self) -> bool:
        """Whether the sum is 0 whatever the circuit does."""
        return not self._sums.wanted

    # ---- judging

    def judge(self, text: str, standing: Standing) -> Answer | None:
        """The sum as an equation; None for a value of one quantity, which is a statement about the circuit."""
        if "=" not in text:
            return unread("path.unread", **self._about)
        sides = parse_sides(text, vocabulary(self.lesson.netlist))
        if isinstance(sides, Unreadable) or len(sides) != 2:
            return self._other(text)
        return None if self._is_value(sides) else self._compared(text, sides)

    def _compared(self, text: str, sides: tuple[tuple[Reading, ...], ...]) -> Answer:
        """What the kindest of all readings is, set beside the sum."""
        best = min(self._findings(sides), key=lambda finding: finding.order, default=OTHER)
        if best.key == "right":
            fields = {**self._about, "sum": self._written}
            return Answer(Verdict("right", (Sentence("path.right", fields),), law="kvl"), frozenset(self.needs))
        if best.key == "number":
            return unread("path.names", **self._about)
        if best == OTHER:
            return self._other(text)
        fields = {**self._about, "what": best.about}
        return Answer(Verdict("wrong", (Sentence("path.goal", fields), Sentence(f"path.{best.key}", fields))))

    def _is_value(self, sides: tuple[tuple[Reading, ...], ...]) -> bool:
        """Whether it gives one quantity a number."""
        return sorted(len(keys(side[0].expression)) for side in sides) == [0, 1]

    def _findings(self, sides: tuple[tuple[Reading, ...], ...]) -> list[Finding]:
        found = []
        for left in sides[0]:
            for right in sides[1]:
                try:
                    found.append(self._sums.compared(left.expression, right.expression))
                except NotASum:
                    continue
        return found

    def _other(self, text: str) -> Answer:
        """An equation that is no sum of this path: whether it is true, or cannot be read."""
        verdict = judge(self.lesson, text, None, {}, OUTSIDE_ATTEMPT)
        if verdict.right:
            return Answer(Verdict("known", (Sentence("path.another"), Sentence("path.asked", self._about))))
        if verdict.kind == "unreadable":
            return Answer(verdict)
        return Answer(Verdict("wrong", (Sentence("path.goal", self._about), Sentence("path.false", self._about))))

    # ---- help

    @property
    def _law(self) -> Law:
        return Law(KEY, voltage(GROUND), self.sum, 0)

    @property
    def _written(self) -> str:
        return self.lesson.step(self._law).relation.right() + " = 0"

    @property
    def solution(self) -> tuple[str, ...]:
        return (self._written, self.lesson.step(self._law).numbers() + " = 0")

    @property
    def rungs(self) -> tuple[Rung, ...]:
        place = Place(parts=tuple(dict.fromkeys(hop.branch.part for hop in self.hops)))
        return (
            Rung(say("path.look", **self._about), place),
            Rung(say("path.rule", **self._about), place),
            Rung(say("path.names-hint", sum=self._written), place),
            Rung(say("path.numbers-hint", sum=" ".join(self.solution[1:])), place),
        )
