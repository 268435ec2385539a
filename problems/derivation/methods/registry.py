"""Finds every method of analysis: each file of this folder with a ``KEY`` and ``walk``."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

import problems.derivation.methods as folder

if TYPE_CHECKING:
    from problems.derivation.step import Step
    from problems.quantities import Quantity

Walk = Callable[[Any, "tuple[Quantity, ...]"], "tuple[Step, ...]"]
"""``walk(lesson, targets)``: the steps to each target in turn, every one once."""


@cache
def methods() -> Mapping[str, Walk]:
    """Every method there is, by key: the order of teaching, then the alphabet."""
    modules = [
        importlib.import_module(f"{folder.__name__}.{entry.name}") for entry in pkgutil.iter_modules(folder.__path__)
    ]
    taught = sorted((module for module in modules if hasattr(module, "KEY")), key=lambda m: (m.ORDER, m.KEY))
    return {module.KEY: module.walk for module in taught}
