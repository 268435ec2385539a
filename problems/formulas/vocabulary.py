"""The names that a typed formula may use."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import zip_longest

from problems.formulas.spelling import inert
from problems.formulas.tokens import Refused
from problems.formulas.units import Dimension


def _nothing(_: str) -> None:
    return None


@dataclass(frozen=True)
class Vocabulary:
    """The names that a text may use.

    exact: spelling to key, as written in the drawing. loose: the same without underscores and case, only where that
    means one thing; ``loosen`` makes such a spelling. between: reads ``V_a,b`` and ``V_out[Vin]``. dims: dimension of
    each key, where known. shown: the names to suggest, one for each thing; without any, the first spelling of each.
    sources: what may stand in the brackets of ``V_out[Vin]``; values of parts, whose keys are strings, take none.
    """

    exact: Mapping[str, Hashable] = field(default_factory=dict)
    loose: Mapping[str, Hashable] = field(default_factory=dict)
    dims: Mapping[Hashable, Dimension] = field(default_factory=dict)
    loosen: Callable[[str], str] = str.lower
    between: Callable[[str], Hashable | None] = _nothing
    shown: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()

    def names(self, word: str) -> Hashable | None:
        """What is spelled exactly so."""
        return self.exact.get(word, self.between(word) if set(word) & set(",[(| ") else None)

    def is_one_name(self, word: str, place: int) -> bool:
        """Whether a spelling with comma, star or brackets is one name. Raises Refused for brackets around no source."""
        if word.endswith("*"):
            return (self.names(word) or self.nearly(word)) is not None
        if self.between(word) is not None:
            return True
        whole, bracket, source = word.partition("[")
        key = self.names(whole) or self.nearly(whole)
        if not bracket or not self.sources or key is None or isinstance(key, str):
            return False
        raise Refused("unknown-source", place, written=inert(source.rstrip("] "), 30), sources=", ".join(self.sources))

    def nearly(self, word: str) -> Hashable | None:
        """What is spelled so but for underscores and case."""
        return self.loose.get(self.loosen(word))

    def near(self, word: str, first: Sequence[str] = ()) -> tuple[str, ...]:
        """Spellings to suggest: likely slips of the pen, those of ``first``, other near ones, some of each kind."""
        names = self.shown or first_spellings(self.exact)
        slips = alike(word, names, 2, 0.75)
        return tuple(dict.fromkeys([*slips, *first, *alike(word, names, 4, 0.5), *some_of_each(names, 8)]))[:8]


def first_spellings(names: Mapping[str, Hashable]) -> tuple[str, ...]:
    """One spelling of each thing, in order; not that of ground, whose voltage nobody asks."""
    firsts: dict[Hashable, str] = {}
    for name, key in names.items():
        firsts.setdefault(key, name)
    return tuple(name for name in firsts.values() if name != "V_0")


def alike(word: str, names: Sequence[str], most: int, cutoff: float) -> list[str]:
    """Names like a word, the most alike first; those equally alike in the order given."""
    close = set(difflib.get_close_matches(word, names, max(len(names), 1), cutoff))
    return sorted((name for name in names if name in close), key=lambda name: -_likeness(word, name))[:most]


def _likeness(word: str, name: str) -> float:
    return difflib.SequenceMatcher(None, name, word).ratio()


def some_of_each(names: Sequence[str], most: int) -> list[str]:
    """Some values, voltages and currents by turns as far as there are any, in the order given."""
    kinds: dict[str, list[str]] = {}
    for name in names:
        kinds.setdefault(name[:2] if name[:2] in ("V_", "I_") else "", []).append(name)
    by_turns = [name for turn in zip_longest(*kinds.values()) for name in turn if name is not None]
    taken = set(by_turns[:most])
    return [name for name in names if name in taken]
