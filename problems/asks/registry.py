"""Finds every kind of ask but ``find``: each file of this folder with a ``KEY`` and ``pose``."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Mapping
from functools import cache
from typing import Any, NamedTuple

import problems.asks as folder
from problems.asks.question import Fields, Posed, Question
from problems.circuits.netlist import Netlist
from problems.derivation.lesson import Lesson
from problems.quantities import Quantity


class AskKind(NamedTuple):
    """What the file of a kind holds.

    key: the key of an [[ask]] by which it is told, and the first word of its name. fields: the keys that such a table
    has, each with the type of its value, ``str`` or ``tuple``. name: what ``Problem.asks`` calls the question. read:
    the fields of an ask written as text, without the key; raises Unfinished. check: whether a circuit has what the
    fields name; raises AskFault or UnknownQuantity. pose: the question, chosen by a number where there is a choice;
    raises what ``check`` raises, and what walks raise.
    """

    key: str
    fields: Mapping[str, type]
    name: Callable[[Netlist, Fields], str]
    read: Callable[[str], Fields]
    check: Callable[[Netlist, Fields], None]
    pose: Callable[[Lesson, Fields, int], Question]


@cache
def ask_kinds() -> Mapping[str, AskKind]:
    """Every kind there is, by key. ``ask_kinds.cache_clear()`` after the folder's path has grown."""
    found: dict[str, AskKind] = {}
    for entry in pkgutil.iter_modules(folder.__path__):
        module: Any = importlib.import_module(f"{folder.__name__}.{entry.name}")
        if hasattr(module, "KEY"):
            found[module.KEY] = AskKind(module.KEY, module.FIELDS, module.name, module.read, module.check, module.pose)
    return found


def kind_of(text: str) -> tuple[AskKind, Fields] | None:
    """The kind of an ask written as text and its fields, or None for a plain quantity. Raises Unfinished."""
    word, _, rest = text.strip().partition(" ")
    kind = ask_kinds().get(word)
    return None if kind is None else (kind, kind.read(rest.strip()))


def agenda_of(lesson: Lesson, names: tuple[str, ...], lot: int) -> tuple[tuple[Quantity, ...], tuple[Posed, ...]]:
    """The quantities to find and the questions among asks written as text, in order. lot: by which questions choose.

    Raises UnknownQuantity, AskFault, and what walks raise.
    """
    asked: list[Quantity] = []
    posed: list[Posed] = []
    for name in names:
        special = kind_of(name)
        if special is None:
            asked.append(lesson.quantity(name))
        else:
            posed.append(Posed(len(asked), special[0].pose(lesson, special[1], lot)))
    return tuple(asked), tuple(posed)
