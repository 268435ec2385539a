"""Learner text to formulas: a small recursive parser with limits, never ``eval``.

Grammar, loosest first: ``+ -``; ``* /``; ``||``; products without a sign (``2k``, ``Vin(2k - 1)``); a leading minus;
``^``. Where a piece can mean two things (``k`` the prefix or the setting, ``2R2`` a value or twice R2, ``a/b c``) each
meaning gives a reading of its own; who reads the answer decides between them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from math import pi
from typing import Any, NamedTuple

from problems.formulas.expression import (
    FUNCTIONS,
    Call,
    Expression,
    Name,
    Negative,
    Number,
    Parallel,
    Power,
    Sum,
)
from problems.formulas.limits import MAX_POWER, MAX_WEIGHT, constant, weight
from problems.formulas.printers import unit_label
from problems.formulas.spelling import inert
from problems.formulas.tokens import END, Refused, Token, Unreadable, tokens
from problems.formulas.units import PREFIXES, UNITS, Measure, UnitWord, prefix_scale
from problems.formulas.values import MAX_DIGITS, MAX_EXPONENT, decimal_value
from problems.formulas.vocabulary import Vocabulary

__all__ = ["Reading", "Unreadable", "Vocabulary", "parse", "parse_sides"]

MAX_DEPTH = 40
"""Brackets, signs and powers inside one another."""
MAX_READINGS = 16
MAX_WORK = 600
"""Pieces of text read over all readings of one side: a long text gets fewer readings."""

_RKM = re.compile(r"([fpnumkKMGTRVAFH])(\d+)(\D*)\Z")
_NO_UNIT_AFTER = {"+", "-", "(", "^", "||"}
_NAME_AFTER = _NO_UNIT_AFTER | {"*", "/"}
"""What goes before a name of the circuit that is no unit there, though a unit is spelled so: ``I_R1*R``."""


class Reading(NamedTuple):
    """One meaning of a text.

    choices: for each piece that can mean several things, the piece and what it was read as.
    """

    expression: Expression
    choices: tuple[tuple[str, str], ...] = ()


def parse(text: str, vocabulary: Vocabulary) -> tuple[Reading, ...] | Unreadable:
    """The readings of one formula, likeliest first; at most 16. Never raises."""
    sides = parse_sides(text, vocabulary)
    if isinstance(sides, Unreadable):
        return sides
    return sides[0] if len(sides) == 1 else Unreadable("equals-sign", text.find("="))


def parse_sides(text: str, vocabulary: Vocabulary) -> tuple[tuple[Reading, ...], ...] | Unreadable:
    """The readings of each side of the equals signs in a text. Never raises."""
    try:
        pieces = tokens(text, vocabulary.is_one_name)
        _one_statement(pieces, vocabulary)
        return tuple(_readings(side, vocabulary, len(text)) for side in _split(pieces, len(text)))
    except Refused as refused:
        return refused.why


def _one_statement(pieces: tuple[Token, ...], vocabulary: Vocabulary) -> None:
    """Refuses a second statement on the line: a name right behind a unit or an ``and``, with another = behind it."""
    for index, piece in enumerate(pieces):
        if piece.text == "=" and any(earlier.text == "=" for earlier in pieces[:index]):
            before, name = pieces[index - 2].text, pieces[index - 1]
            apart = before == "and" or (before in UNITS and vocabulary.names(before) is None)
            if apart and (vocabulary.names(name.text) or vocabulary.nearly(name.text)) is not None:
                raise Refused("two-statements", name.place)


def _split(pieces: tuple[Token, ...], end: int) -> Iterator[tuple[Token, ...]]:
    side: list[Token] = []
    for token in pieces:
        if token.text == "=":
            yield tuple(side)
            side = []
        else:
            side.append(token)
    yield tuple(side)


def _readings(pieces: tuple[Token, ...], vocabulary: Vocabulary, end: int) -> tuple[Reading, ...]:
    """Every meaning: first with each piece read alike throughout, then each occurrence by itself."""
    if not pieces:
        raise Refused("nothing", end)
    most = max(3, min(MAX_READINGS, MAX_WORK // len(pieces)))
    found: dict[Expression, Reading] = {}
    refused: Refused | None = None
    for alike in (True, False):
        picks: dict[Any, int] | None = {}
        for _ in range(most):
            if picks is None or len(found) >= most:
                break
            parser = _Parser(pieces, vocabulary, end, _Chooser(picks, alike))
            try:
                reading = Reading(parser.whole(), tuple(parser.chooser.notes))
                found.setdefault(reading.expression, reading)
            except Refused as again:
                refused = refused or again
            picks = parser.chooser.following()
    if not found and refused is not None:
        raise refused
    return tuple(found.values())


class _Chooser:
    """Takes one alternative at each fork; ``following`` is the next way through, None after the last."""

    def __init__(self, picks: dict[Any, int], alike: bool):
        self.picks, self.alike = picks, alike
        self.sizes: dict[Any, int] = {}
        self.notes: list[tuple[str, str]] = []

    def choose(self, token: Token, fork: str, options: list[tuple[str, Any]]) -> Any:
        """fork: what kind of choice it is. options: what the piece may be read as, and the meaning."""
        if len(options) == 1:
            return options[0][1]
        key = (fork, token.text, 0 if self.alike else token.place)
        self.sizes.setdefault(key, len(options))
        said, meaning = options[min(self.picks.get(key, 0), len(options) - 1)]
        if fork != "slash":
            self.notes.append((token.text, said))
        return meaning

    def following(self) -> dict[Any, int] | None:
        order = list(self.sizes)
        while order:
            last = order.pop()
            pick = self.picks.get(last, 0) + 1
            if pick < self.sizes[last]:
                return {**{key: self.picks.get(key, 0) for key in order}, last: pick}
        return None


class _Parser:
    """One pass over the tokens; each method reads one level of the grammar."""

    def __init__(self, pieces: tuple[Token, ...], vocabulary: Vocabulary, end: int, chooser: _Chooser):
        self.pieces, self.vocabulary, self.chooser = pieces, vocabulary, chooser
        self.last = END._replace(place=end)
        self.position = self.depth = 0
        self.below = False

    @property
    def ahead(self) -> Token:
        return self.pieces[self.position] if self.position < len(self.pieces) else self.last

    def take(self) -> Token:
        token = self.ahead
        self.position += 1
        return token

    def skip(self, sign: str) -> bool:
        if self.ahead.kind == "sign" and self.ahead.text == sign:
            self.position += 1
            return True
        return False

    def whole(self) -> Expression:
        found = self.sum()
        if self.ahead is not self.last:
            key = "bracket-unopened" if self.ahead.text == ")" else "not-expected"
            raise Refused(key, self.ahead.place, written=inert(self.ahead.text))
        if weight(found) > MAX_WEIGHT:
            raise Refused("too-large", self.pieces[0].place)
        return found

    def sum(self) -> Expression:
        self.deeper()
        terms = [self.product()]
        while self.ahead.kind == "sign" and self.ahead.text in "+-":
            minus = self.take().text == "-"
            term = self.product()
            terms.append(Negative(term) if minus else term)
        self.depth -= 1
        return terms[0] if len(terms) == 1 else Sum(tuple(terms))

    def product(self) -> Expression:
        found = self.parallel(below=False)
        while True:
            if self.skip("*") or self.starts_atom():
                found = found * self.parallel(below=False)
            elif self.skip("/"):
                found = found / self.parallel(below=True)
            else:
                return found

    def parallel(self, below: bool) -> Expression:
        operands = [self.joined(below)]
        while self.skip("||"):
            operands.append(self.joined(below))
        return operands[0] if len(operands) == 1 else Parallel(tuple(operands))

    def joined(self, below: bool) -> Expression:
        """A product without a sign. below: under a slash, where what follows a space may also stand beside it."""
        self.below = below
        found = self.signed()
        while self.starts_atom():
            token = self.ahead
            if token.kind == "number":
                raise Refused("two-values", token.place, written=inert(token.text))
            if below and token.spaced and not self.chooser.choose(token, "slash", [("below", True), ("beside", False)]):
                return found
            found = found * self.power()
        return found

    def starts_atom(self) -> bool:
        return self.ahead.kind in {"number", "word"} or self.ahead.text in {"(", "%"}

    def signed(self) -> Expression:
        if self.ahead.kind != "sign" or self.ahead.text not in "+-":
            return self.power()
        self.deeper()
        minus = self.take().text == "-"
        found = self.signed()
        self.depth -= 1
        return Negative(found) if minus else found

    def power(self) -> Expression:
        base = self.atom()
        if not self.skip("^"):
            return base
        place = self.ahead.place
        self.deeper()
        exponent = self.signed()
        self.depth -= 1
        value = constant(exponent)
        if value is None:
            raise Refused("power-of-name", place)
        if abs(value) > MAX_POWER:
            raise Refused("power-too-large", place, limit=str(MAX_POWER))
        return Power(base, exponent)

    def atom(self) -> Expression:
        token = self.take()
        if token.kind == "number":
            return self.number(token)
        if token.kind == "word" or token.text == "%":
            return self.word(token)
        if token.text == "(":
            found = self.sum()
            if not self.skip(")"):
                raise Refused("bracket-unclosed", token.place)
            return found
        if token is self.last:
            raise Refused("ends-early", token.place)
        raise Refused("not-expected", token.place, written=inert(token.text))

    def number(self, token: Token) -> Expression:
        digits, _, exponent = token.text.lower().partition("e")
        value = sized(digits, exponent, token.place)
        after = self.ahead
        if after.kind != "word" and after.text != "%":
            if after.kind == "number" and not after.spaced:
                raise Refused("not-a-number", token.place, written=inert(token.text + after.text))
            return Number(value, token.text)
        options = self.suffixes(token, after, value)
        if not options:
            return Number(value, token.text)
        used, found = self.chooser.choose(after, "suffix", options)
        self.position += used
        return Number(value, token.text) if found is None else found

    def suffixes(self, token: Token, after: Token, value: Fraction) -> list[tuple[str, Any]]:
        """What letters behind a number may be: a letter for the point, a unit, a prefix, or a name to multiply by."""
        options: list[tuple[str, Any]] = []
        point = _RKM.match(after.text) if not after.spaced and token.text.isdigit() else None
        if point and (not point[3] or point[3] in UNITS):
            options += _with_point(token, point)
        unit = UNITS.get(after.text)
        if unit is not None:
            shown = f"{token.text} {unit_label(after.text)}"
            options.append((shown, (1, Measure(value * unit.scale, shown, unit.name))))
        scale = prefix_scale(after.text)
        if scale is not None:
            options.append(self.prefixed(token, after, value * scale))
        name = self.vocabulary.names(after.text)
        if name is not None:
            options.append((f"{token.text} times {after.text}", (0, None)))
        elif unit is not None and self.below and after.spaced:
            options.append((f"{token.text}, then {after.text}", (0, None)))
        elif not options and self.vocabulary.nearly(after.text) is None and not self.is_word(after.text):
            known = ", ".join(self.vocabulary.near(after.text))
            raise Refused("unknown-after-number", after.place, written=inert(after.text, 30), known=known)
        return options

    def is_word(self, word: str) -> bool:
        """Whether a word has a meaning in any circuit."""
        return word in FUNCTIONS or word in {"pi", "j", "log"}

    def prefixed(self, token: Token, after: Token, value: Fraction) -> tuple[str, Any]:
        """A prefix alone, or with its unit behind a space: ``4.7 k``, ``5 m A``."""
        following = self.pieces[self.position + 1] if self.position + 1 < len(self.pieces) else END
        unit = UNITS.get(following.text)
        joined = after.text + following.text
        if unit is not None and unit.scale == 1 and joined in UNITS and self.vocabulary.names(following.text) is None:
            shown = f"{token.text} {unit_label(joined)}"
            return shown, (2, Measure(value, shown, unit.name))
        return shorthand(value), (1, Number(value, shorthand(value)))

    def word(self, token: Token) -> Expression:
        word = token.text
        if word in FUNCTIONS and self.ahead.text == "(" and self.vocabulary.names(word) is None:
            self.take()
            argument = self.sum()
            if not self.skip(")"):
                raise Refused("bracket-unclosed", token.place)
            return Call(word, argument)
        options = self.meanings(token)
        if not options:
            self.refuse_word(token)
        found: Expression = self.chooser.choose(token, "word", options)
        return found

    def meanings(self, token: Token) -> list[tuple[str, Any]]:
        """What a word by itself may be."""
        word = token.text
        name, unit = self.vocabulary.names(word), UNITS.get(word)
        options: list[tuple[str, Any]] = []
        if name is not None:
            options.append((f"the {word} of this circuit", Name(name)))
        before = self.pieces[self.position - 2] if self.position >= 2 else END
        barred = _NO_UNIT_AFTER if name is None else _NAME_AFTER
        if unit is not None and before is not END and before.text not in barred:
            options.append((f"the unit {word}", UnitWord(unit.scale, unit_label(word), unit.name)))
        if not options and word == "pi":
            options.append((word, Number(Fraction(pi), "pi")))
        if not options and word == "j":
            options.append((word, Name("j")))
        nearly = self.vocabulary.nearly(word)
        if not options and nearly is not None:
            options.append((word, Name(nearly)))
        return options

    def refuse_word(self, token: Token) -> None:
        word = token.text
        if word == "log":
            raise Refused("log-base", token.place)
        if word in UNITS:
            raise Refused("unit-alone", token.place, written=inert(word))
        if word in FUNCTIONS:
            raise Refused("function-bracket", token.place, written=inert(word))
        raise Refused("unknown-name", token.place, written=inert(word, 30), known=", ".join(self.vocabulary.near(word)))

    def deeper(self) -> None:
        self.depth += 1
        if self.depth > MAX_DEPTH:
            raise Refused("too-deep", self.ahead.place, limit=str(MAX_DEPTH))


def _with_point(token: Token, point: re.Match[str]) -> list[tuple[str, Any]]:
    letter, part, unit_word = point.groups()
    written = f"{token.text}.{part}"
    value = sized(written, "", token.place)
    unit = UNITS.get(letter + unit_word) if unit_word or letter not in PREFIXES else None
    if unit is not None:
        shown = f"{written} {unit_label(letter + unit_word)}"
        return [(shown, (1, Measure(value * unit.scale, shown, unit.name)))]
    value *= prefix_scale(letter) or 1
    return [(shorthand(value), (1, Number(value, shorthand(value))))]


def sized(digits: str, exponent: str, place: int) -> Fraction:
    """The number, or Refused where it is longer or larger than any value."""
    try:
        return decimal_value(digits, exponent or None)
    except OverflowError:
        raise Refused("number-too-large", place, digits=str(MAX_DIGITS), power=str(MAX_EXPONENT)) from None


def shorthand(value: Fraction) -> str:
    """A number without its prefix, as it is echoed: 8.2k is 8200, 10n is 1e-8."""
    if value.denominator == 1 and value < 10**9:
        return str(value)
    return f"{float(value):.12g}" if value else "0"
