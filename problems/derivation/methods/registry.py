"""Finds every method of analysis: each file of this folder with a ``KEY``, an ``ORDER`` and a ``walk``.

It has a ``next_step`` too where going on from what is known is more than one law after another.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Collection, Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

import problems.derivation.methods as folder

if TYPE_CHECKING:
    from problems.derivation.step import Step
    from problems.quantities import Quantity

Walk = Callable[[Any, "tuple[Quantity, ...]"], "tuple[Step, ...]"]
"""``walk(lesson, targets)``: the steps to each target in turn, every one once."""


NextStep = Callable[[Any, "Collection[Quantity]", "Quantity"], "Step | None"]
"""``next_step(lesson, known, target)``: the first step of the way to a target from what is known."""


@cache
def methods() -> Mapping[str, Walk]:
    """Every method there is, by key: the order of teaching, then the alphabet."""
    return {module.KEY: module.walk for module in _modules()}


@cache
def next_steps() -> Mapping[str, NextStep]:
    """The methods that have a way of their own to go on from what is known."""
    return {module.KEY: module.next_step for module in _modules() if hasattr(module, "next_step")}


def _modules() -> list[Any]:
    modules = [
        importlib.import_module(f"{folder.__name__}.{entry.name}") for entry in pkgutil.iter_modules(folder.__path__)
    ]
    return sorted((module for module in modules if hasattr(module, "KEY")), key=lambda m: (m.ORDER, m.KEY))
