"""Keep-rules: conditions in the names of the circuit that a variant must meet, compared exactly.

``I_Ri == 0 or 1 uA <= abs(I_Ri) <= 10 mA``: comparisons, chained as in mathematics, joined by ``and``, ``or`` and
``not``. What stands between the signs is read by the reader of all formulas; nothing is ever evaluated as a program.
"""

from __future__ import annotations

import operator
import re
from collections.abc import Callable, Hashable, Iterator, Mapping
from dataclasses import dataclass
from itertools import islice, pairwise, product
from typing import Any

from problems.formulas.expression import Environment, Expression, keys
from problems.formulas.units import unit_name
from problems.templates.closures import Formula, Row, closure
from problems.templates.sides import Side

ReadSide = Callable[[str], tuple[Side, ...]]
"""The meanings of what stands on one side of a comparison, likeliest first; raises ValueError."""
Test = Callable[[Row], bool | None]
"""Whether a row of floats meets the rule; None where it is too close to say."""

GUARD = 1e-9
"""Relative distance below which floats do not decide: far above their error in formulas of this size."""
SMALLEST = 1e-3
"""Size below which the distance is no longer relative: what cancels to zero leaves a residue of volts times 1e-16."""
_DEEPEST = 20
_MOST_MEANINGS = 500
_COMPARISONS: Mapping[str, Callable[[Any, Any], bool]] = {
    "==": operator.eq,
    "!=": operator.ne,
    "<=": operator.le,
    ">=": operator.ge,
    "<": operator.lt,
    ">": operator.gt,
}
_TOKEN = re.compile(r"\s*([<>=!]=|[<>=()]|\b(?:and|or|not)\b|(?:(?!\b(?:and|or|not)\b)[^<>=!()])+|!)")


def close(a: float, b: float) -> bool:
    """Whether two floats are too near each other to say which is larger."""
    return abs(a - b) <= GUARD * max(abs(a), abs(b), SMALLEST)


class BadRule(ValueError):
    """A keep-rule that cannot be read. reason: key of ``family.rule-<reason>``. fields: what the sentence names."""

    def __init__(self, reason: str, **fields: object):
        self.reason, self.fields = reason, fields
        super().__init__(f"keep-rule: {reason} {fields}")


class Rule:
    """A condition on the values and quantities of a variant."""

    def holds(self, env: Environment) -> bool:
        """Whether exact values meet it."""
        raise NotImplementedError

    def test(self, slots: Mapping[Hashable, int]) -> Test:
        """The same over floats."""
        raise NotImplementedError

    def names(self) -> frozenset[Hashable]:
        """The names that it speaks of."""
        raise NotImplementedError


@dataclass(frozen=True)
class Comparison(Rule):
    """``left sign right``."""

    left: Expression
    sign: str
    right: Expression

    def holds(self, env: Environment) -> bool:
        return _COMPARISONS[self.sign](self.left.at(env), self.right.at(env))

    def test(self, slots: Mapping[Hashable, int]) -> Test:
        left, right, compare = closure(self.left, slots), closure(self.right, slots), _COMPARISONS[self.sign]
        return lambda row: _clearly(left, right, compare, row)

    def names(self) -> frozenset[Hashable]:
        return keys(self.left) | keys(self.right)


def _clearly(left: Formula, right: Formula, compare: Callable[[Any, Any], bool], row: Row) -> bool | None:
    try:
        a, b = left(row), right(row)
    except ZeroDivisionError:
        return None
    return None if close(a, b) else compare(a, b)


@dataclass(frozen=True)
class Every(Rule):
    """All of its parts hold."""

    parts: tuple[Rule, ...]

    def holds(self, env: Environment) -> bool:
        return all(part.holds(env) for part in self.parts)

    def test(self, slots: Mapping[Hashable, int]) -> Test:
        return _joined(tuple(part.test(slots) for part in self.parts), stops_at=False)

    def names(self) -> frozenset[Hashable]:
        return frozenset().union(*(part.names() for part in self.parts))


@dataclass(frozen=True)
class Either(Rule):
    """At least one of its parts holds."""

    parts: tuple[Rule, ...]

    def holds(self, env: Environment) -> bool:
        return any(part.holds(env) for part in self.parts)

    def test(self, slots: Mapping[Hashable, int]) -> Test:
        return _joined(tuple(part.test(slots) for part in self.parts), stops_at=True)

    def names(self) -> frozenset[Hashable]:
        return frozenset().union(*(part.names() for part in self.parts))


@dataclass(frozen=True)
class Not(Rule):
    """Its part does not hold."""

    part: Rule

    def holds(self, env: Environment) -> bool:
        return not self.part.holds(env)

    def test(self, slots: Mapping[Hashable, int]) -> Test:
        inner = self.part.test(slots)

        def outer(row: Row) -> bool | None:
            found = inner(row)
            return None if found is None else not found

        return outer

    def names(self) -> frozenset[Hashable]:
        return self.part.names()


def _joined(tests: tuple[Test, ...], *, stops_at: bool) -> Test:
    """``or`` stops at the first True, ``and`` at the first False; undecided parts leave it open."""

    def test(row: Row) -> bool | None:
        open_ = False
        for part in tests:
            found = part(row)
            if found is stops_at:
                return stops_at
            open_ = open_ or found is None
        return None if open_ else not stops_at

    return test


def read_rule(text: str, read_side: ReadSide) -> Rule:
    """The rule written as ``text``; raises BadRule, or what ``read_side`` raises."""
    if re.search(r"\bgain\s*\(", text):
        raise BadRule("gain")
    return _Reader(text, read_side).read()


class _Reader:
    """Recursive descent over the tokens of one rule."""

    def __init__(self, text: str, read_side: ReadSide):
        self.tokens = [match[1].strip() for match in _TOKEN.finditer(text) if match[1].strip()]
        self.at, self.depth, self.read_side = 0, 0, read_side

    def read(self) -> Rule:
        rule = self.either()
        if self.at < len(self.tokens):
            raise BadRule("bracket")
        return rule

    @property
    def token(self) -> str:
        return self.tokens[self.at] if self.at < len(self.tokens) else ""

    def either(self) -> Rule:
        parts = list(self.separated("or", self.every))
        return parts[0] if len(parts) == 1 else Either(tuple(parts))

    def every(self) -> Rule:
        parts = list(self.separated("and", self.single))
        return parts[0] if len(parts) == 1 else Every(tuple(parts))

    def separated(self, word: str, part: Callable[[], Rule]) -> Iterator[Rule]:
        yield part()
        while self.token == word:
            self.at += 1
            yield part()

    def single(self) -> Rule:
        self.depth += 1
        if self.depth > _DEEPEST:
            raise BadRule("deep")
        try:
            if self.token == "not":
                self.at += 1
                return Not(self.single())
            return self.group() if self.opens_group() else self.comparison()
        finally:
            self.depth -= 1

    def opens_group(self) -> bool:
        """Whether a bracket holds a whole rule, and is not the first of a formula."""
        if self.token != "(":
            return False
        inside = self.tokens[self.at : self.closing()]
        return any(token in _COMPARISONS for token in inside)

    def closing(self) -> int:
        """Place of the bracket that closes the one at hand."""
        depth = 0
        for place in range(self.at, len(self.tokens)):
            depth += (self.tokens[place] == "(") - (self.tokens[place] == ")")
            if depth == 0:
                return place
        raise BadRule("bracket")

    def group(self) -> Rule:
        end = self.closing()
        self.at += 1
        rule = self.either()
        if self.at != end:
            raise BadRule("bracket")
        self.at += 1
        return rule

    def comparison(self) -> Rule:
        sides, signs = [self.side()], []
        while self.token in _COMPARISONS or self.token in ("=", "!"):
            if self.token not in _COMPARISONS:
                raise BadRule("equals")
            signs.append(self.token)
            self.at += 1
            sides.append(self.side())
        if not signs:
            raise BadRule("no-comparison")
        meant = [side.expression for side in _alike(sides)]
        links = tuple(Comparison(a, sign, b) for (a, b), sign in zip(pairwise(meant), signs, strict=True))
        return links[0] if len(links) == 1 else Every(links)

    def side(self) -> tuple[Side, ...]:
        """A formula: all up to the next comparison, word or bracket that is not its own."""
        taken: list[str] = []
        while self.token and self.token not in _COMPARISONS and self.token not in ("and", "or", "not", ")", "=", "!"):
            if self.token == "(":
                end = self.closing() + 1
                taken += self.tokens[self.at : end]
                self.at = end
            else:
                taken.append(self.token)
                self.at += 1
        if not taken:
            raise BadRule("side")
        return self.read_side(" ".join(taken))


def _alike(sides: list[tuple[Side, ...]]) -> tuple[Side, ...]:
    """The likeliest meaning of each side such that all have one unit; raises BadRule."""
    for meaning in islice(product(*sides), _MOST_MEANINGS):
        if len({side.dimension for side in meaning if side.dimension is not None}) <= 1:
            return meaning
    units = dict.fromkeys(side[0].dimension for side in sides if side[0].dimension is not None)
    raise BadRule("units", units=" with ".join(unit_name(unit) or "a pure number" for unit in units))
