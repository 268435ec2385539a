"""The catalogue of sentences: every message of the engine is made here, from a key and fields."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any


@cache
def _catalogue() -> Mapping[str, str]:
    """Dotted key to sentence, from ``words.toml`` beside this module."""
    tables = tomllib.loads(files("problems").joinpath("words.toml").read_text("utf-8"))
    return dict(_flat("", tables))


def _flat(prefix: str, table: Mapping[str, Any]) -> list[tuple[str, str]]:
    found: list[tuple[str, str]] = []
    for key, item in table.items():
        found += _flat(f"{prefix}{key}.", item) if isinstance(item, dict) else [(prefix + key, item)]
    return found


def has(key: str) -> bool:
    """Whether the catalogue has a sentence of that key."""
    return key in _catalogue()


def say(key: str, **fields: object) -> str:
    """The sentence of that key with its fields filled in; raises KeyError for a key or field that is missing."""
    return _catalogue()[key].format_map(fields)
