"""Learner text cut into numbers, words and signs, with the place of each."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from problems.formulas.spelling import code_point, hidden, inert, plain
from problems.formulas.values import MAX_DIGITS

MAX_LENGTH = 1000
"""Characters of a statement; a long honest one has a hundred."""
MAX_TOKENS = 300


@dataclass(frozen=True)
class Unreadable:
    """What could not be read, as a value: nothing is raised at a learner.

    key: names the sentence ``unreadable.<key>``, which says what does not fit and what would. place: index into the
    text as it was typed. fields: what the sentence names, safe to print.
    """

    key: str
    place: int = 0
    fields: Mapping[str, str] = field(default_factory=dict)


class Refused(Exception):
    """Carries an Unreadable out of the depth of a parser; never leaves this package."""

    def __init__(self, key: str, place: int, **fields: str):
        self.why = Unreadable(key, place, fields)
        super().__init__(key)


class Token(NamedTuple):
    """kind: ``number``, ``word`` or ``sign``. place: where it stands in the text as typed. spaced: after a space."""

    kind: str
    text: str
    place: int
    spaced: bool


END = Token("end", "", -1, True)

_TOKEN = re.compile(
    r"""
      (?P<comma>(?<![\w,.])\d+,\d+(?![\d,]*\w))
    | (?P<number>(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)
    | (?P<given_by>[VvIiRr](?:_[+-]|\w*(?:\{[\w.,+\-]+\})?(?:\.\w+)*(?:,[ ]?\w+(?:\.\w+)?|\*)?)
                   [ ]?\[[ ]?[^\W\d]\w*(?:[ ]?:[ ]?[\w.]+)?[ ]?\])
    | (?P<state>
          \|\s*[\w.,+()=\s-]+?\s*\|
        | \bphase(?:\s+of)?(?:\s+|\s*\(\s*)[\w.,]+(?:\s*\(\s*[\w=+\s]+\))?(?:\s*\))?
        | [A-Za-z]\w*(?:\.\w+)?\s*\(\s*(?:[ft]\s*=\s*)?[\w+]+\s*\)
      )
    | (?P<between>[Vv]_\w+(?:\.\w+)?,[ ]?\w+(?:\.\w+)?)
    | (?P<pin>[Vv]_[+-](?!\w)|[Vv][+-](?=\s*(?:[=)*×/]|\Z)))
    | (?P<starred>[^\W\d]\w*\*(?!\*)(?=\s*(?:[-+*×/=|)\]}]|\Z)))
    | (?P<word>[^\W\d]\w*(?:\{[\w.,+\-]+\})?(?:\.\w+)*)
    | (?P<sign>\*\*|\|\||==|[-+*×/^()=%\[\]{}])
    """,
    re.VERBOSE,
)
_STATELESS = re.compile(re.sub(r"\| \(\?P<state>.*?\n      \)", "", _TOKEN.pattern, flags=re.DOTALL), re.VERBOSE)
"""The same without quantities in a state, for text that only looks like one."""
_FULL_STOP = re.compile(r"(?<![\d.])\.\s*\Z")
_COLON = re.compile(":=?")
_FIGURES = re.compile(rf"[\d.,]{{1,{MAX_DIGITS}}}(?<=\d)")
_ALIKE = {"**": "^", "×": "*", "==": "=", "[": "(", "]": ")", "{": "(", "}": ")"}


def tokens(text: str, known: Callable[[str, int], bool]) -> tuple[Token, ...]:
    """The pieces of a text. Raises Refused.

    known: whether a spelling with a comma (``V_a,b``), a star (``R_A*``) or brackets (``V_out[Vin]``), at a place,
    names a quantity.
    """
    if len(text) > MAX_LENGTH:
        raise Refused("too-long", MAX_LENGTH, limit=str(MAX_LENGTH))
    unseen = hidden(text)
    if unseen is not None:
        raise Refused("hidden-character", unseen, character=code_point(text[unseen]))
    shown, places = plain(text)
    # a star may belong to a name, another sign of multiplication never does
    shown = "".join("×" if sign == "*" != text[place] else sign for sign, place in zip(shown, places, strict=True))
    shown = _FULL_STOP.sub("", shown)
    found: list[Token] = []
    position = 0
    while position < len(shown):
        if shown[position] == " ":
            position += 1
            continue
        if shown[position] == ":" and len(found) == 1 and found[0].kind == "word":  # V_3: 0.6 V, V_3 := 0.6 V
            found.append(Token("sign", "=", places[position], False))
            position += len(_COLON.match(shown, position)[0])  # type: ignore[index]
            continue
        token, position = _next(shown, position, places, known)
        found.append(token)
        if len(found) > MAX_TOKENS:
            raise Refused("too-long", token.place, limit=str(MAX_LENGTH))
    return tuple(found)


def _next(shown: str, position: int, places: list[int], known: Callable[[str, int], bool]) -> tuple[Token, int]:
    match = _TOKEN.match(shown, position)
    if match is not None and match.lastgroup == "state":
        written = " ".join(match.group().split())
        if known(written, places[position]):
            return Token("word", written, places[position], position == 0 or shown[position - 1] == " "), match.end()
        match = _STATELESS.match(shown, position)
    place, spaced = places[position], position == 0 or shown[position - 1] == " "
    if match is None:
        raise _stray(shown, position, place)
    kind, text, end = str(match.lastgroup), match.group(), match.end()
    if kind == "comma":
        raise _comma(shown, position, place)
    if kind == "given_by" and not known(unbraced(text), place):
        text = text.partition("[")[0].rstrip("*")
        kind, end = "between" if "," in text else "word", position + len(text)
    if kind == "between" and not known(text, place):
        text = text.partition(",")[0]
        kind, end = "word", position + len(text)
    if kind == "starred":
        # R_A* is a name, R1*-2 is not
        kind, text = "word", text if known(text, place) else text.removesuffix("*")
        end = position + len(text)
    if kind == "sign":
        return Token(kind, _ALIKE.get(text, text), place, spaced), end
    return Token("number" if kind == "number" else "word", unbraced(text), place, spaced), end


def unbraced(text: str) -> str:
    """``V_{out}`` as ``V_out``."""
    return text.replace("{", "").replace("}", "")


def _comma(shown: str, position: int, place: int) -> Refused:
    """A comma between digits: of thousands where three digits follow or there is another mark, else of a decimal."""
    found = _FIGURES.match(shown, position)
    written = found[0] if found else ""
    *groups, part = re.split("[.,]", written)
    marks = [sign for sign in written if sign in ".,"]
    if len(marks) > 1:
        apart = "." if marks.count(marks[-1]) == 1 else ""
        if any(len(group) != 3 for group in (*groups[1:], *([] if apart else [part]))):
            return Refused("stray-character", place, character=",")
        fields = {"written": written, "joined": "".join(groups) + apart + part}
        return Refused("thousands", place, **{name: inert(text) for name, text in fields.items()})
    key = "comma-in-number" if len(part) == 3 else "decimal-comma"
    fields = {"written": written, "point": f"{groups[0]}.{part}", "joined": groups[0] + part}
    return Refused(key, place, **{name: inert(text) for name, text in fields.items()})


def _stray(shown: str, position: int, place: int) -> Refused:
    character = shown[position]
    before = re.search(r"(\d[\d.]*)$", shown[max(0, position - MAX_DIGITS) : position])
    if before and re.match(r",\s?\d", shown[position:]):
        return _comma(shown.replace(", ", ","), position - len(before[1]), place)
    if character in ",;" and "=" in shown[:position] and "=" in shown[position:]:
        return Refused("two-statements", place)
    return Refused("comparison" if character in "<>≤≥≠" else "stray-character", place, character=inert(character))
