"""Wrong moves kept for a circuit structure, by all that they were made of: lessons that agree in it share them."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable

from problems.derivation.law import Misuse

Misuses = tuple[Misuse, ...]


class KeptMisuses:
    """Made once for a place and the wrong moves that go in, which are told apart as objects, not by their trees."""

    def __init__(self) -> None:
        # the wrong moves that went in are held with what came of them, so that no other can take over their id
        self._kept: dict[Hashable, tuple[tuple[Misuses, ...], Misuses]] = {}

    def of(self, place: Hashable, behind: tuple[Misuses, ...], make: Callable[[], Iterable[Misuse]]) -> Misuses:
        """Those of a place; ``make`` may depend on ``place`` and ``behind`` alone."""
        key = (place, tuple(id(misuses) for misuses in behind))
        if key not in self._kept:
            self._kept[key] = (behind, tuple(make()))
        return self._kept[key][1]
