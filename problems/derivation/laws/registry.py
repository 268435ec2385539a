"""Finds every law: each file of this folder with a ``KEY`` and ``instances``."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from typing import NamedTuple

import problems.derivation.laws as folder
from problems.derivation.law import Law, Misuse
from problems.derivation.view import View


class LawKind(NamedTuple):
    """What a law file holds.

    key: as in the laws that it makes. instances: every place of a circuit where it holds. misuses: the ways it goes
    wrong at one such place. words: sentences for keys that the catalogue lacks.
    """

    key: str
    instances: Callable[[View], Iterator[Law]]
    misuses: Callable[[Law, View], Iterator[Misuse]]
    words: Mapping[str, str]


def _none(law: Law, view: View) -> Iterator[Misuse]:
    return iter(())


@cache
def law_kinds() -> Mapping[str, LawKind]:
    """Every law there is, by key. ``law_kinds.cache_clear()`` after the folder's path has grown."""
    found: dict[str, LawKind] = {}
    for entry in pkgutil.iter_modules(folder.__path__):
        module = importlib.import_module(f"{folder.__name__}.{entry.name}")
        if hasattr(module, "KEY"):
            misuses = getattr(module, "misuses", _none)
            found[module.KEY] = LawKind(module.KEY, module.instances, misuses, getattr(module, "WORDS", {}))
    return found
