"""Which law a learner means by its usual name: ``KCL at pin 2``, ``Ohm's law``, ``rule 2``."""

from __future__ import annotations

import re
from functools import cache

from problems.derivation.law import Law
from problems.derivation.laws.registry import law_kinds
from problems.derivation.step import Step
from problems.words import say

NAMES = ("kcl", "kvl", "ohm", "divider", "equal-inputs", "no-input-current")
"""The laws that have a usual name; what each may be called stands under ``[law-words]`` in the catalogue."""


def called(law: Law) -> tuple[str, ...]:
    """The usual names of the law of a step."""
    return _usual(law) or (law.key,)


def _usual(law: Law) -> tuple[str, ...]:
    kind = law_kinds().get(law.key)
    return kind.called if kind is not None else ()


def named_in(text: str, step: Step) -> frozenset[str]:
    """Every law that a text names, by a usual name or as the step at hand calls its own; of two phrases the longer."""
    rest, found = " ".join(text.lower().replace("\u2019", "'").split()), set()
    own = () if _usual(step.rule) else ((step.name.lower(), step.law),)
    for phrase, name in sorted((*_phrases(), *own), key=lambda pair: (-len(pair[0]), pair)):
        rest, times = re.subn(rf"(?<![\w-]){re.escape(phrase)}(?![\w-])", " ", rest)
        if times:
            found.add(name)
    return frozenset(found)


@cache
def _phrases() -> tuple[tuple[str, str], ...]:
    """Each phrase and the law that it names."""
    return tuple((phrase.strip(), name) for name in NAMES for phrase in say(f"law-words.{name}").split("|"))
