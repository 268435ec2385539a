"""Finds every type of part: one subclass of Part in each file of this folder."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator, Mapping
from functools import cache

import problems.circuits.parts as folder
from problems.circuits.parts.base import Part


class NoKind(ValueError):
    """A type of part has no kind of its own, so that nothing could tell it from the type it builds on. part: it."""

    def __init__(self, part: type[Part]):
        self.part = part
        super().__init__(
            f"{part.__module__}: {part.__name__} has no kind; give it one, or is_base = True where it is no part itself"
        )


class LetterTaken(ValueError):
    """Two types of part could not be told apart in a drawing. parts: both."""

    def __init__(self, first: type[Part], second: type[Part]):
        self.parts = (first, second)
        where = f"in {first.brackets}" if first.brackets else "without brackets"
        super().__init__(
            f"{first.kind} and {second.kind} are both drawn as {first.letter} {where}; "
            "give one of them another letter or other brackets"
        )


@cache
def part_types() -> tuple[type[Part], ...]:
    """Every type of part there is. ``part_types.cache_clear()`` after the folder's path has grown.

    Raises NoKind, LetterTaken.
    """
    found = tuple(part for module in pkgutil.iter_modules(folder.__path__) for part in _parts_of(module.name))
    drawn: dict[tuple[str, str], type[Part]] = {}
    for part in found:
        other = drawn.setdefault((part.brackets, part.letter), part) if _told_by_letter(part) else part
        if other is not part:
            raise LetterTaken(other, part)
    return found


def _parts_of(module: str) -> Iterator[type[Part]]:
    """The types of part in one file of the folder."""
    loaded = importlib.import_module(f"{folder.__name__}.{module}")
    for item in vars(loaded).values():
        own = isinstance(item, type) and issubclass(item, Part) and item.__module__ == loaded.__name__
        if not own or vars(item).get("is_base", False):
            continue
        if "kind" not in vars(item):
            raise NoKind(item)
        yield item


def _told_by_letter(part: type[Part]) -> bool:
    """Whether letter and brackets tell it; a potentiometer, drawn as a resistor is, is told by its wiper."""
    return part.kind != "potentiometer"


def by_letter(brackets: str) -> Mapping[str, type[Part]]:
    """The types drawn in these brackets, by the letter that their names begin with."""
    return {part.letter: part for part in part_types() if part.brackets == brackets and _told_by_letter(part)}
