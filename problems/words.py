"""The catalogue of sentences: every message of the engine is made here, from a key and fields."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from functools import cached_property
from os.path import dirname, join
from typing import Any


class Catalogue:
    """Sentences by dotted key, read from one TOML file when the first is asked for.

    path: the file. Opened by path, not through ``importlib.resources``, which costs 15 ms at every start.
    """

    def __init__(self, path: str):
        self.path = path

    @cached_property
    def sentences(self) -> Mapping[str, str]:
        """Dotted key to sentence."""
        with open(self.path, "rb") as file:
            return dict(_flat("", tomllib.load(file)))

    def has(self, key: str) -> bool:
        """Whether the catalogue has a sentence of that key."""
        return key in self.sentences

    def say(self, key: str, **fields: object) -> str:
        """The sentence of that key with its fields filled in; raises KeyError for a key or field that is missing."""
        return self.sentences[key].format_map(fields)


def _flat(prefix: str, table: Mapping[str, Any]) -> list[tuple[str, str]]:
    found: list[tuple[str, str]] = []
    for key, item in table.items():
        found += _flat(f"{prefix}{key}.", item) if isinstance(item, dict) else [(prefix + key, item)]
    return found


_engine = Catalogue(join(dirname(__file__), "words.toml"))
has = _engine.has
say = _engine.say


def listed(names: Iterable[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``; nothing where there are none."""
    *first, last = [*names] or [""]
    return say("list.and", first=", ".join(first), last=last) if first else last
