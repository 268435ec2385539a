"""Find the slip: a finished working in which one line misuses its law, and the later lines follow from it.

The student points at the first line that is not right and states the law that it breaks, or writes the line as it
should be. Which line and which misuse it is depends on a number that is handed in.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property

from problems.answers.judge import OUTSIDE_ATTEMPT, judge
from problems.answers.naming import base_of
from problems.answers.read import Statement
from problems.answers.read import read as read_statement
from problems.answers.rows import Row, row_of
from problems.answers.tolerance import SHARE
from problems.answers.values import Values, holds_generally, only_names
from problems.answers.verdict import Sentence, Verdict
from problems.asks.law_words import called, named_in
from problems.asks.question import Answer, AskFault, Fields, Rung, Standing, Unfinished, check_numeric, unread
from problems.circuits.netlist import Netlist
from problems.circuits.span import Span
from problems.derivation.law import Law, Misuse
from problems.derivation.lesson import Lesson
from problems.derivation.step import Step, worded
from problems.formulas.expression import Expression, Name, keys
from problems.quantities import Quantity, UnknownQuantity, canonical
from problems.words import say

KEY = "slip"
FIELDS: Mapping[str, type] = {"slip": str}
WELL_KNOWN = 1.0
"""Rank up to which a misuse is the habit of many, and not one of two thoughts."""
WELL_OVER = 5 * SHARE
"""Share by which the slip changes its own line and the last one: rounding explains far less."""
LEAST_LINES = 2
"""Lines of a working in which there is something to find."""
OHM_TOO = frozenset({"other-resistor-crossed", "taken-as-parallel", "current-of-other-branch", "next-part-counted"})
"""Misuses of a hop that break Ohm's law as much as Kirchhoff's."""

_LINE = re.compile(
    r"\b(?:line|row|step|number|no\.?)\s*#?\s*(\d{1,3})\b|^\s*#?(\d{1,3})(?![\d.]|\s*\w*[VAΩ]\b)", re.IGNORECASE
)


class NoSlip(AskFault):
    """No line of the working has a well-known misuse that changes the result. fields: name."""

    key = "no-slip"


class CarriedWorking(AskFault):
    """The working needs an unknown to be carried, so that no line stands for itself. fields: name."""

    key = "carried-working"


def read(text: str) -> Fields:
    """The fields of ``slip V_out``. Raises Unfinished."""
    if not text:
        raise Unfinished(ask=KEY, example="slip V_out")
    return {KEY: text}


def name(netlist: Netlist, fields: Fields) -> str:
    """``slip V_out``. Raises UnknownQuantity."""
    return f"{KEY} {canonical(netlist.names.read(fields[KEY]))}"


def check(netlist: Netlist, fields: Fields) -> None:
    """Raises UnknownQuantity."""
    netlist.names.read(fields[KEY])


def pose(lesson: Lesson, fields: Fields, lot: int) -> Slip:
    """The question; ``lot`` chooses the line and the misuse. Raises UnknownQuantity, AskFault, NoNegativeFeedback."""
    target = lesson.netlist.names.read(fields[KEY])
    label = lesson.netlist.names.head(target)
    check_numeric(lesson, label)
    lesson.check_rules_hold()
    laws = lesson.laws.walk((target,))
    if laws is None:
        raise CarriedWorking(name=label)
    found = [slip for place in range(len(laws)) for slip in _slips(lesson, target, laws, place)]
    places = tuple(dict.fromkeys(slip.place for slip in found))
    if not places or len(laws) < LEAST_LINES:
        raise NoSlip(name=label)
    here = [slip for slip in found if slip.place == places[lot % len(places)]]
    return here[lot // len(places) % len(here)]


def _slips(lesson: Lesson, target: Quantity, laws: tuple[Law, ...], place: int) -> Iterator[Slip]:
    """The fit misuses of one line, one for each value."""
    law = laws[place]
    on_page = {*lesson.givens, *(earlier.head for earlier in laws[:place])}
    misuses = sorted(lesson.laws.misuses_of(law), key=lambda misuse: misuse.rank)
    seen: set[Fraction] = set()
    for misuse in misuses:
        needed = {key for key in keys(misuse.relation) if isinstance(key, Quantity)}
        if misuse.rank > WELL_KNOWN or not needed <= on_page:
            continue
        slip = Slip(lesson, target, laws, place, misuse)
        if slip.is_fit and slip.culprit.exact not in seen:
            seen.add(slip.culprit.exact)
            yield slip


@dataclass(frozen=True)
class Slip:
    """A working with one misuse in it. laws: of the right working. place: which of its lines misuses its law."""

    lesson: Lesson = field(repr=False, compare=False)
    target: Quantity
    laws: tuple[Law, ...] = field(repr=False)
    place: int
    misuse: Misuse

    needs = ("line", "law")

    @property
    def name(self) -> str:
        return f"{KEY} {canonical(self.target)}"

    @property
    def targets(self) -> tuple[Quantity, ...]:
        return (self.target,)

    @property
    def title(self) -> str:
        return say("slip.title")

    @property
    def text(self) -> str:
        return say("slip.text", target=self.lesson.netlist.names.head(self.target))

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """The working as it is shown. Raises ZeroDivisionError where a later line divides by what the slip made 0."""
        law = self.laws[self.place]
        wrong = replace(law, relation=self.misuse.relation, spoken=None, equation=None)
        return self.lesson.stepped((*self.laws[: self.place], wrong, *self.laws[self.place + 1 :]))

    @cached_property
    def lines(self) -> tuple[str, ...]:
        return tuple(say("slip.line", number=number, line=step.written()) for number, step in enumerate(self.steps, 1))

    @property
    def culprit(self) -> Step:
        """The line that misuses its law, as it is shown."""
        return self.steps[self.place]

    @cached_property
    def right(self) -> Step:
        """The same line as it should be."""
        return self.lesson.stepped(self.laws[: self.place + 1])[-1]

    @cached_property
    def carried(self) -> frozenset[int]:
        """The later lines that rest on the slip."""
        touched, found = {self.laws[self.place].head}, set()
        for place, law in enumerate(self.laws[self.place + 1 :], self.place + 1):
            if touched & {*law.tails}:
                touched.add(law.head)
                found.add(place)
        return frozenset(found)

    @property
    def is_fit(self) -> bool:
        """Whether the slip shows, in its line and in the last, and leaves every later line something to work out."""
        true = self.lesson.values
        try:
            values = [step.exact for step in self.steps]
        except (ZeroDivisionError, KeyError, TypeError):
            return False
        later = all(values[place] or not true[self.laws[place].head] for place in self.carried)
        ends = (self.place, len(self.laws) - 1)
        return bool(values[self.place]) and later and all(_apart(values[at], true[self.laws[at].head]) for at in ends)

    # ---- judging

    def judge(self, text: str, standing: Standing) -> Answer:
        """Pointing, a law by name, both, or the line as it should be."""
        if "=" in text:
            return self._stated(text)
        line, rest = self._pointed(text)
        named = named_in(rest, self.right)
        if line is not None:
            return self._line(line, named)
        if named and "line" in standing.found:
            return self._law(named)
        if named:
            return unread("slip.which-line", last=str(len(self.laws)))
        bare = judge(self.lesson, text, self.laws[self.place].head, {}, OUTSIDE_ATTEMPT)
        if "line" in standing.found and bare.kind != "unreadable":
            return self._of_culprit(bare)
        return unread("slip.unread", last=str(len(self.laws)))

    def _pointed(self, text: str) -> tuple[int | None, str]:
        """The line that a text points at, from 0, by its number or its quantity, and the rest of the text."""
        match = _LINE.search(text)
        if match:
            return int(match[1] or match[2]) - 1, text[: match.start()] + " " + text[match.end() :]
        for word in re.findall(r"[\w.+,-]+", text):
            try:
                quantity = self.lesson.netlist.names.read(word.rstrip(".,"))
            except UnknownQuantity:
                continue
            found = next((place for place, law in enumerate(self.laws) if law.head == quantity), None)
            if found is not None:
                return found, text.replace(word, " ", 1)
        return None, text

    def _line(self, line: int, named: frozenset[str]) -> Answer:
        if not 0 <= line < len(self.laws):
            return unread("slip.no-line", last=str(len(self.laws)))
        if line == self.place:
            return self._law(named) if named else self._said("right", "slip.line-found", found=("line",))
        number = str(line + 1)
        if line in self.carried:
            return self._said("wrong", "slip.follows", number=number)
        return self._said("wrong", "slip.holds", number=number, law=self.steps[line].name)

    def _law(self, named: frozenset[str]) -> Answer:
        """A law named for the right line."""
        law = self.laws[self.place]
        too = {"ohm"} if self.misuse.key in OHM_TOO else set()
        if named <= {*called(law), *too}:
            return self._done()
        return self._said("wrong", "slip.other-law", found=("line",), look=self.right.word("look"))

    def _stated(self, text: str) -> Answer:
        """A relation or a value: of the culprit's line, it is the whole answer."""
        head = self.laws[self.place].head
        verdict = judge(self.lesson, text, head, {}, OUTSIDE_ATTEMPT)
        statement = read_statement(text, self.lesson.netlist, head)
        if isinstance(statement, Statement) and verdict.right and self._states_law(statement):
            return self._done()
        return self._of_culprit(verdict)

    def _of_culprit(self, verdict: Verdict) -> Answer:
        """What a verdict on a statement says to the question."""
        if not verdict.right and verdict.kind != "unit-missing":
            return Answer(replace(verdict, free=True))
        place = next((at for at, law in enumerate(self.laws) if law.head == verdict.quantity), None)
        if place == self.place:
            return self._done()
        if place is None:
            return self._said("known", "slip.true-elsewhere")
        key = "slip.true-later" if place in self.carried else "slip.true-there"
        return self._said("known", key, number=str(place + 1))

    def _states_law(self, statement: Statement) -> bool:
        """Whether an equation in names says what the culprit's law says, in whatever form."""
        law, values = self.laws[self.place], Values(self.lesson.values)
        own = row_of(Name(law.head) - law.relation, values)
        base = base_of(self.lesson)
        for residual in _residuals(statement):
            row = row_of(residual, values) if only_names(residual) else None
            if row and own and holds_generally(residual, self.lesson.netlist) and _says(row, own, base):
                return True
        return False

    def _done(self) -> Answer:
        return self._said("right", "slip.found", found=self.needs, solution=" ".join(self.solution))

    def _said(self, kind: str, key: str, found: tuple[str, ...] = (), **fields: str) -> Answer:
        about = {"culprit": str(self.place + 1), **fields}
        return Answer(Verdict(kind, (Sentence(key, about),)), frozenset(found))

    # ---- help

    @property
    def solution(self) -> tuple[str, ...]:
        step = self.culprit
        means = worded(self.misuse, step.exact, step.target).why
        return (
            say("slip.solution", number=self.place + 1, means=means),
            say("slip.solution-law", law=self.right.name, why=self.right.why),
            say("slip.solution-right", line=self.right.written()),
        )

    @property
    def rungs(self) -> tuple[Rung, ...]:
        place = self.laws[self.place].place
        ask = worded(self.misuse, self.culprit.exact, self.culprit.target).ask
        first = max(1, min(self.place, len(self.laws) - 3))
        last = min(len(self.laws), first + 3)
        return (
            Rung(say("slip.look", first=first, last=last)),
            Rung(say("slip.rule", law=self.right.name, rule=self.right.word("rule"))),
            Rung(say("slip.line-hint", number=self.place + 1, ask=ask), place),
            Rung(" ".join(self.solution), place),
        )


def _apart(value: Fraction, right: Fraction) -> bool:
    return abs(value - right) > WELL_OVER * max(abs(value), abs(right))


def _residuals(statement: Statement) -> Iterator[Expression]:
    """What an equation says to be 0, for each of its readings."""
    sides = [[reading.expression for reading in side] for side in statement.sides]
    if statement.head is not None:
        sides = [[Name(statement.head)], *sides]
    if len(sides) == 2:
        yield from (left - right for left in sides[0] for right in sides[1])


def _says(row: Row, law: Row, base: list[Row]) -> bool:
    """Whether a row says what a law says, given what is given."""
    return bool(Span(base, min).rest(row)) and not Span([*base, law], min).rest(row)
