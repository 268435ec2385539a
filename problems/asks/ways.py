"""Which way a learner says that something goes: ``rises``, ``it gets more negative``, ``no effect``, ``+``."""

from __future__ import annotations

import re
from functools import cache
from typing import NamedTuple

from problems.words import say

WAYS = {"rises": 1, "falls": -1, "stays": 0}
SIGNS = {"+": 1, "-": -1, "\u2212": -1, "0": 0, "\u2191": 1, "\u2193": -1}
_CLAUSE = re.compile(r"(?<=\S)\s*\b(?:if|when|as|while|because|since|with)\b.*")
_DENIAL = re.compile(r"\b(?:not|never|no)\b|n't\b")


class Way(NamedTuple):
    """sign: +1 it rises, -1 it falls, 0 it stays. of_size: whether that is said of the size, without the sign."""

    sign: int
    of_size: bool


def way_in(text: str) -> Way | None:
    """The one way that a text names; None where it names none, or several, or denies one."""
    plain = " ".join(text.lower().replace("\u2019", "'").split()).strip(" .!")
    if plain in SIGNS:
        return Way(SIGNS[plain], False)
    rest, found = _CLAUSE.sub("", plain), set()
    for phrase, name in _phrases():
        rest, times = re.subn(rf"(?<![\w-]){re.escape(phrase)}(?![\w-])", " ", rest)
        if times:
            found.add(name)
    of_size = "size" in found or "|" in rest or bool(found & {"size-rises", "size-falls"})
    signs = {WAYS[name.removeprefix("size-")] for name in found if name != "size"}
    return Way(signs.pop(), of_size) if len(signs) == 1 and not _DENIAL.search(rest) else None


@cache
def _phrases() -> tuple[tuple[str, str], ...]:
    """Each phrase and what it says, long ones first: ``more negative`` before ``more``."""
    names = (*WAYS, "size", "size-rises", "size-falls")
    pairs = [(phrase.strip(), name) for name in names for phrase in say(f"ways.{name}").split("|")]
    return tuple(sorted(pairs, key=lambda pair: (-len(pair[0]), pair)))
