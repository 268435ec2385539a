"""Finds every type of part: one subclass of Part in each file of this folder."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Mapping
from functools import cache

import problems.circuits.parts as folder
from problems.circuits.parts.base import Part


@cache
def part_types() -> tuple[type[Part], ...]:
    """Every type of part there is. ``part_types.cache_clear()`` after the folder's path has grown."""
    found: list[type[Part]] = []
    for module in pkgutil.iter_modules(folder.__path__):
        loaded = importlib.import_module(f"{folder.__name__}.{module.name}")
        for item in vars(loaded).values():
            if (
                isinstance(item, type)
                and issubclass(item, Part)
                and item.__module__ == loaded.__name__
                and "kind" in vars(item)
            ):
                found.append(item)
    return tuple(found)


def by_letter(brackets: str) -> Mapping[str, type[Part]]:
    """The types drawn in these brackets, by the letter that their names begin with."""
    return {kind.letter: kind for kind in part_types() if kind.brackets == brackets and kind.kind != "potentiometer"}
