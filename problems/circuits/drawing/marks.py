"""What a rendering is asked to show, and what it is made of."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal, NamedTuple

Style = Literal["wire", "part", "name", "known", "lit"]
Values = Literal["legend", "place", "none"]


class Span(NamedTuple):
    """Text of one style: ``wire``, ``part``, ``name`` (names, pin numbers, arrows), ``known`` (values), ``lit``."""

    text: str
    style: Style


Row = tuple[Span, ...]


@dataclass(frozen=True)
class Marks:
    """What to show on a drawing beside itself.

    currents: branch to its value as text; ``""`` shows the arrow with its name only. drops: parts whose + and - to
    show. voltages: node to its value as text. parts, pins, nets: what to light up (a pin as ``U1.2``, or ``2``
    of a lone op-amp).
    """

    currents: Mapping[str, str] = field(default_factory=dict)
    drops: frozenset[str] = frozenset()
    voltages: Mapping[str, str] = field(default_factory=dict)
    parts: frozenset[str] = frozenset()
    pins: frozenset[str] = frozenset()
    nets: frozenset[str] = frozenset()


def with_sources(marks: Marks, boxed: Mapping[str, str]) -> Marks:
    """The marks, with the direction of every drawn source: without it nobody could read a sign from the picture.

    boxed: the kind of each part drawn as a source.
    """
    currents = {name: "" for name, kind in boxed.items() if kind == "current-source"}
    drops = {name for name, kind in boxed.items() if kind == "voltage-source"}
    return replace(marks, currents={**currents, **marks.currents}, drops=marks.drops | drops)


def plain(rows: Iterable[Row]) -> list[str]:
    """The text of the rows, without styles."""
    return ["".join(span.text for span in row).rstrip() for row in rows]
