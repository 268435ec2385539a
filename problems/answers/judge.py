"""From what a learner typed to the verdict. The order in ``_ranked`` is the rule, and nothing else decides.

Right; right from the learner's own earlier values; a wrong move of this step; the same from earlier values; a slip of
sign, power of ten, unit or figures; wrong.
"""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from typing import Any

from problems.answers import replies
from problems.answers.follow import Carried, carried, own_values, slips_behind, withheld
from problems.answers.found import settled, slips_in, unfound_in, what_names_mean
from problems.answers.moves import Fit, evaluated, fits
from problems.answers.naming import named_law
from problems.answers.read import Readings, Statement, dimension_in, fitting, read
from problems.answers.relations import judge_equation, judge_relation, solved
from problems.answers.rows import Row, row_of
from problems.answers.slips import slip
from problems.answers.split import different, splitting
from problems.answers.symbolic import judge_formula
from problems.answers.tolerance import close, near_zero
from problems.answers.values import NoValue, Values, holds_generally, in_degrees, number_of, only_names, zero_is_exact
from problems.answers.verdict import Sentence, Verdict
from problems.answers.vocabulary import label, suggesting
from problems.derivation.law import Law
from problems.derivation.lesson import Lesson
from problems.formulas.expression import Name, keys
from problems.formulas.parser import Reading, Unreadable
from problems.formulas.phasor import Phasor
from problems.formulas.printers import engineering
from problems.formulas.units import Measure, UnitClash
from problems.quantities import Quantity

Stated = Mapping[Quantity, Fraction]
Earlier = tuple[Row, ...]
"""The ``rows`` of the true equations stated before in an attempt, in any order."""
OUTSIDE_ATTEMPT = None
"""Stands for ``Earlier`` where a statement is judged by itself: nothing is ``known``, any quantity may be used."""


def judge(
    lesson: Lesson,
    text: str,
    asked: Quantity | None,
    stated: Stated,
    earlier: Earlier | None = (),
) -> Verdict:
    """The verdict on a statement about a circuit. Never raises for what a learner can type.

    asked: the quantity of the step at hand. stated: the learner's own earlier values, right or not. earlier: what
    was stated as equations in the attempt, or ``OUTSIDE_ATTEMPT``; there, what says nothing new is ``right`` instead of
    ``known``, and formulas may use quantities that were not found.
    """
    in_attempt = earlier is not OUTSIDE_ATTEMPT
    lesson = lesson.holding((asked, *stated))
    statement = read(text, lesson.netlist, asked, settled(lesson, stated) if in_attempt else None)
    if isinstance(statement, Unreadable):
        return replies.unreadable(suggesting(statement, lesson.netlist, lesson.taught))
    lesson = lesson.holding((statement.head, *statement.quantities))
    lesson = lesson.adding(statement.head, (*stated, *statement.quantities))
    try:
        if statement.head is None:
            return _equation(statement, lesson, stated, earlier)
        return _sides(statement, statement.head, lesson, stated, earlier)
    except NoValue as failed:
        return replies.no_value(failed.key, failed.name, lesson)


def _sides(statement: Statement, head: Quantity, lesson: Lesson, stated: Stated, earlier: Earlier | None) -> Verdict:
    """Each side of ``Q = a = b`` must be right; the last one that has a value gives it.

    In an attempt a side in quantities that are not found yet is an equation, so that no value is given away.
    """
    in_attempt = earlier is not OUTSIDE_ATTEMPT
    verdicts: list[Verdict] = []
    for side in statement.sides:
        if in_attempt and unfound_in(side, lesson, stated):
            verdict = judge_relation(replace(statement, sides=(side,)), lesson, stated, earlier)
        elif lesson.is_numeric or (lesson.is_in_s and isinstance(lesson.values.get(head), Fraction | Phasor)):
            verdict = _Case(statement, head, side, lesson, stated, in_attempt).verdict()
        else:
            verdict = judge_formula(lesson, statement, side, stated, in_attempt)
        if not verdict.right and verdict.kind != "unit-missing":
            return verdict
        verdicts.append(verdict)
    valued = [verdict for verdict in verdicts if verdict.quantity is not None]
    last = valued[-1] if valued else verdicts[-1]
    rows = tuple(row for verdict in verdicts for row in verdict.rows)
    return replace(last, rows=rows, equations=tuple(pair for verdict in verdicts for pair in verdict.equations))


def _equation(statement: Statement, lesson: Lesson, stated: Stated, earlier: Earlier | None) -> Verdict:
    """An equation in any form; with typed figures, one that is not true may follow from the learner's own values."""
    verdict = judge_equation(statement, lesson, stated, earlier)
    found = solved(statement, lesson, stated) if verdict.kind == "wrong" else None
    if found is None:
        return verdict
    quantity, value = found
    side = (Reading(Measure(value, engineering(value, quantity.unit), quantity.unit)),)
    own = _Case(Statement(quantity, (side,)), quantity, side, lesson, stated, earlier is not OUTSIDE_ATTEMPT).verdict()
    return own if own.kind == "right-carried" else verdict


@dataclass(frozen=True)
class _Candidate:
    """One reading of a side, with its value along the reference arrow."""

    reading: Reading
    value: Fraction

    @property
    def bare(self) -> bool:
        return replies.is_bare(self.reading.expression)


@dataclass(frozen=True)
class _Case:
    """One value stated for one quantity."""

    statement: Statement
    head: Quantity
    side: Readings
    lesson: Lesson
    stated: Stated
    in_attempt: bool

    def verdict(self) -> Verdict:
        meant = tuple(reading for reading in self.side if self.head not in keys(reading.expression))
        possible = fitting(meant, self.head, self.lesson.netlist)
        return self._ranked(self._candidates(possible)) if possible else self._unfit()

    def _unfit(self) -> Verdict:
        """What to say where no reading can be meant; the last that has a fault of its own tells."""
        for reading in reversed(self.side):
            if self.head in keys(reading.expression):
                told = {"label": label(self.head, self.lesson.netlist)}
                return replies.unreadable(Unreadable("says-itself", 0, told))
            with suppress(UnitClash):
                found = dimension_in(reading, self.lesson.netlist)
                return Verdict("unit-wrong", replies.unit_reply(self.head, found, self.lesson), self.head)
        return Verdict("unit-wrong", replies.unit_reply(self.head, None, self.lesson), self.head)

    def _candidates(self, possible: Readings) -> list[_Candidate]:
        """The readings with their values, each value once. Raises NoValue where none has one."""
        found: list[_Candidate] = []
        failed = NoValue("no-number")
        sign = self.statement.direction.sign if self.statement.direction else 1
        values = what_names_mean(self.lesson, self._before)
        for reading in possible:
            try:
                value = number_of(reading.expression, values)
                found.append(_Candidate(reading, sign * in_degrees(value, reading.expression, self.head)))
            except NoValue as missing:
                failed = missing
        if not found:
            raise failed
        return list({candidate.value: candidate for candidate in reversed(found)}.values())[::-1]

    @cached_property
    def _wanted(self) -> Any:
        try:
            value = Values(self.lesson.values)[self.head]
        except KeyError:
            raise NoValue("no-value", self.head) from None
        return value if isinstance(value, Fraction | Phasor) else Fraction(value)

    def _accepts(self, value: Fraction) -> bool:
        wanted = self._wanted
        if wanted or not value:
            return close(value, wanted)
        return near_zero(value, self.head, self.lesson.values) and not zero_is_exact(self.head, self.lesson)

    def _ranked(self, found: list[_Candidate]) -> Verdict:
        for stage in (self._as_right, self._as_carried, self._as_withheld, self._as_move, self._as_slip):
            for candidate in found:
                verdict = stage(candidate)
                if verdict is not None:
                    return verdict
        return self._wrong(found[0])

    def _as_right(self, candidate: _Candidate) -> Verdict | None:
        return self._right(candidate) if self._accepts(candidate.value) else None

    def _as_carried(self, candidate: _Candidate) -> Verdict | None:
        slips = self._slips_in(candidate)
        if slips and self._general(candidate):
            # a true formula in names shows every term, whatever the values in it
            return self._carried(candidate, slips, self._stated_law(candidate))
        for way in self._ways:
            if close(candidate.value, way.value):
                return self._carried(candidate, way.rests_on, way.law)
        return None

    def _slips_in(self, candidate: _Candidate) -> tuple[Quantity, ...]:
        """The learner's own wrong values in a formula in names alone."""
        expression = candidate.reading.expression
        return slips_in(expression, self.lesson, self._before) if only_names(expression) else ()

    def _stated_law(self, candidate: _Candidate) -> Law | None:
        """The law that a true formula in names is, or None where it takes several."""
        sides = (Name(self.head), candidate.reading.expression)
        row = row_of(sides[0] - sides[1], Values(self.lesson.values))
        return named_law(row, sides, self.lesson, self.lesson.method) if row else None

    def _as_withheld(self, candidate: _Candidate) -> Verdict | None:
        """Of the learner's own making, but by a slip that makes the step easier: said so, and judged as it is."""
        ways = (way for way in withheld(self.lesson, self.head, self._before) if close(candidate.value, way.value))
        way = min(ways, key=lambda way: len(way.rests_on), default=None)
        if way is None:
            return None
        again = slips_behind(self.lesson, self._before, way.rests_on) or way.rests_on
        reply = replies.withheld_reply(self.head, candidate.value, way.rests_on, again, self.lesson)
        return self._as_move(candidate, reply) or self._made("wrong", reply, candidate)

    def _as_move(self, candidate: _Candidate, reply: tuple[Sentence, ...] = ()) -> Verdict | None:
        moves = fits(self.lesson, self.head, candidate.value, self._before, self._own_moves)
        if not moves:
            return None
        moves = different(moves, self.lesson)
        reply = reply or self._move_reply(moves, candidate.value)
        if len(moves) > 1:
            return self._made("unclear", reply, candidate, free=self._against_arrow(candidate))
        move = moves[0].misuse
        free = self._against_arrow(candidate)
        return self._made("wrong-move", reply, candidate, wrong_move=move.key, move=move, free=free)

    def _move_reply(self, moves: tuple[Fit, ...], value: Fraction) -> tuple[Sentence, ...]:
        question = splitting(moves[0], moves[1], self.head, self.lesson, self._before) if len(moves) > 1 else None
        return replies.move_reply(moves, self.head, value, self.lesson, question)

    def _as_slip(self, candidate: _Candidate) -> Verdict | None:
        kind = slip(candidate.value, self._wanted)
        if kind is None and any(slip(candidate.value, way.value) == "rounding" for way in self._ways):
            kind = "rounding"
        if kind is None:
            return None
        reply = replies.slip_reply(kind, self.head, candidate.value, self.lesson)
        return self._made(kind, reply, candidate, free=self._against_arrow(candidate))

    def _against_arrow(self, candidate: _Candidate) -> bool:
        """The right size against a printed arrow, or + and -: asked about, and no try counted."""
        return self.head.kind in {"I", "D"} and close(-candidate.value, self._wanted)

    @cached_property
    def _ways(self) -> tuple[Carried, ...]:
        """What the step comes to from the learner's own values."""
        return tuple(carried(self.lesson, self.head, self._before))

    @cached_property
    def _own_moves(self) -> tuple[tuple[Fit, ...], ...]:
        """What its wrong moves come to from the learner's own values."""
        return tuple(evaluated(self.lesson, self.head, own) for own in own_values(self.lesson, self._before))

    @property
    def _before(self) -> Stated:
        return {key: value for key, value in self.stated.items() if key != self.head}

    def _right(self, candidate: _Candidate) -> Verdict:
        expression = candidate.reading.expression
        shown = replies.named(self.head, self._wanted, self.lesson)
        law = self.lesson.own_law(self.head)
        if only_names(expression) and keys(expression) and not self._general(candidate):
            # right by accident of the values: it is not kept, so that the true formula is news
            reply = replies.accident_reply(self.head, self._slips_in(candidate), self.lesson)
            return replace(self._made("unclear", reply, candidate), value=None)
        if candidate.bare and candidate.value and replies.needs_unit(self.head):
            start = Sentence("verdict.unit-missing", {"statement": shown})
            return self._made("unit-missing", (start, *replies.why(law)), candidate, law=law.key if law else None)
        if self.in_attempt and self._is_known():
            return self._made("known", (Sentence("verdict.known", {"statement": shown}),), candidate)
        start = Sentence(
            "verdict.right", {"statement": shown, "flow": replies.flow(self.head, self._wanted, self.lesson)}
        )
        return self._made("right", (start, *replies.why(law)), candidate, law=law.key if law else None)

    def _general(self, candidate: _Candidate) -> bool:
        sign = self.statement.direction.sign if self.statement.direction else 1
        expression = candidate.reading.expression
        return holds_generally(Name(self.head) - (expression if sign > 0 else -expression), self.lesson.netlist)

    def _is_known(self) -> bool:
        if self.head in self.lesson.givens or replies.at_ground(self.head):
            return True
        return self.head in self.stated and self._accepts(self.stated[self.head])

    def _carried(self, candidate: _Candidate, rests_on: tuple[Quantity, ...], law: Law | None) -> Verdict:
        wrong = slips_behind(self.lesson, self._before, rests_on)
        reply = replies.carried_reply(self.head, candidate.value, rests_on, wrong, self.lesson)
        return self._made("right-carried", reply, candidate, law=law.key if law else None, carried=rests_on)

    def _wrong(self, candidate: _Candidate) -> Verdict:
        if self.head in self.lesson.givens:
            given = Sentence("verdict.given", {"statement": replies.named(self.head, self._wanted, self.lesson)})
            return self._made("wrong", (Sentence("verdict.not-yet"), given), candidate, free=True)
        half = replies.half_right(candidate.value, self._wanted)
        if half:
            start = (Sentence("verdict.not-yet"), replies.goal(self.head, self.lesson))
            return self._made("wrong", (*start, Sentence(f"verdict.{half}")), candidate)
        return self._made("wrong", replies.wrong_reply(self.head, self._read_back(candidate), self.lesson), candidate)

    def _read_back(self, candidate: _Candidate) -> str:
        return replies.named(self.head, candidate.value, self.lesson)

    def _made(self, kind: str, reply: tuple[Sentence, ...], candidate: _Candidate, **more: Any) -> Verdict:
        way = self.statement.direction
        shown = replies.echo(candidate.reading, way, self.head, candidate.value, self.lesson)
        return Verdict(kind, reply + shown, self.head, candidate.value, **more)
