"""The names that a typed formula may use."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field

from problems.formulas.units import Dimension


def _nothing(_: str) -> None:
    return None


@dataclass(frozen=True)
class Vocabulary:
    """The names that a text may use.

    exact: spelling to key, as written in the drawing. loose: the same without underscores and case, only where that
    means one thing; ``loosen`` makes such a spelling. between: reads ``V_a,b``. dims: dimension of each key, where
    known.
    """

    exact: Mapping[str, Hashable] = field(default_factory=dict)
    loose: Mapping[str, Hashable] = field(default_factory=dict)
    dims: Mapping[Hashable, Dimension] = field(default_factory=dict)
    loosen: Callable[[str], str] = str.lower
    between: Callable[[str], Hashable | None] = _nothing

    def names(self, word: str) -> Hashable | None:
        """What is spelled exactly so."""
        return self.exact.get(word, self.between(word) if "," in word else None)

    def nearly(self, word: str) -> Hashable | None:
        """What is spelled so but for underscores and case."""
        return self.loose.get(self.loosen(word))

    def near(self, word: str) -> tuple[str, ...]:
        """Spellings to suggest, nearest first."""
        return tuple(dict.fromkeys([*difflib.get_close_matches(word, self.exact, 4, 0.5), *self.exact]))[:8]
