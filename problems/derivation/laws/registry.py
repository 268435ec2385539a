"""Finds every law: each file of this folder with a ``KEY`` and ``instances``."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from types import MappingProxyType
from typing import NamedTuple

import problems.derivation.laws as folder
from problems.derivation.condition import Question
from problems.derivation.law import LAWS, Law, Misuse
from problems.derivation.view import View


class LawKind(NamedTuple):
    """What a law file holds.

    key: as in the laws that it makes. instances: every place of a circuit where it holds. misuses: the ways it goes
    wrong at one such place. words: sentences for keys that the catalogue lacks. methods: those in whose walks it may
    stand (``METHODS`` of its file); follow-through and naming use every law. of_branches: whether it speaks of branches
    and of how they meet alone, not of sources and op-amps, so that it holds in reduced circuits too (``OF_BRANCHES``).
    defines: when it says what an engine-made quantity is, its place among the laws that do: resistances are worked out
    before the currents through them (``DEFINES``; 0 where it says no such thing). called: what people usually call it,
    by the keys of ``[law-words]`` (``CALLED``); none where it goes by its own name.
    """

    key: str
    instances: Callable[[View], Iterator[Law]]
    misuses: Callable[[Law, View], Iterator[Misuse]]
    words: Mapping[str, str] = MappingProxyType({})
    methods: tuple[str, ...] = (LAWS,)
    of_branches: bool = False
    defines: int = 0
    called: tuple[str, ...] = ()


TOLD = ("WORDS", "METHODS", "OF_BRANCHES", "DEFINES", "CALLED")
"""What a law file may tell of itself."""


def laws_of(method: str) -> str:
    """The method by whose laws one searches: its own where some law names it, else plain laws."""
    return method if any(method in kind.methods for kind in law_kinds().values()) else LAWS


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
            more = {name.lower(): getattr(module, name) for name in TOLD if hasattr(module, name)}
            found[module.KEY] = LawKind(module.KEY, module.instances, misuses, **more)
    return found


@cache
def questions() -> tuple[Question, ...]:
    """Whether a law may be used, asked by name: what every file of this folder answers."""
    modules = [
        importlib.import_module(f"{folder.__name__}.{entry.name}") for entry in pkgutil.iter_modules(folder.__path__)
    ]
    return tuple(question for module in modules for question in getattr(module, "QUESTIONS", ()))
