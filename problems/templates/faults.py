"""What can be wrong with a family's file: one fault a mistake, each with its place and remedy."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import takewhile

from problems.formulas.spelling import inert
from problems.words import say


@dataclass(frozen=True)
class Fault:
    """One mistake in a family's file.

    key: the cause; its sentences are ``family.<key>.says`` and ``.remedy`` of the catalogue. file: as it was named.
    line, column: from 1; column 0 where the whole line is meant. at: dotted path of the key, ``""`` for the whole file.
    fields: what the sentences speak of. picture: the row of a drawing, and a caret below the place.
    """

    key: str
    file: str
    line: int
    at: str = ""
    column: int = 0
    fields: Mapping[str, object] = field(default_factory=dict)
    picture: str = field(default="", compare=False)

    @property
    def says(self) -> str:
        """What is wrong."""
        return say(f"family.{self.key}.says", **self.fields)

    @property
    def remedy(self) -> str:
        """What to do about it."""
        return say(f"family.{self.key}.remedy", **self.fields)

    @property
    def place(self) -> str:
        """``file:line`` or ``file:line:column``, safe to print whatever the file is called."""
        return f"{inert(self.file, 200)}:{self.line}" + (f":{self.column}" if self.column else "")

    def told(self, remedy: str | None = None) -> str:
        """The fault in one line. remedy: instead of the fault's own."""
        at = f" {self.at}:" if self.at else ""
        return f"{self.place}:{at} {self.says} {self.remedy if remedy is None else remedy}".rstrip()

    def __str__(self) -> str:
        return self.told()


class FamilyFault(ValueError):
    """A family's file cannot be used. faults: everything wrong with it, in the order of the file."""

    def __init__(self, faults: Iterable[Fault]):
        self.faults = tuple(faults)
        super().__init__("\n".join(map(str, self.faults)))


def near(name: str, known: Iterable[str]) -> str:
    """The remedy for an unknown name: the likeliest one meant, or what there is."""
    names = tuple(known)
    plain = {other.lower(): other for other in names}
    close = difflib.get_close_matches(name.lower(), plain, 3, 0.6)
    if close:
        # of several, the one that begins alike: E13 is nearer to E12 than to E3
        return say("family.near", name=plain[max(close, key=lambda other: _begins_alike(name.lower(), other))])
    return there_is(names) if names else ""


def _begins_alike(first: str, second: str) -> int:
    """How many letters two words have in common before they part."""
    return sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(first, second, strict=False)))


def there_is(names: Sequence[str]) -> str:
    """A sentence that says what there is to choose from."""
    return say("family.there-is" if len(names) == 1 else "family.there-are", names=", ".join(names))
