"""Which characters are wire, and towards which sides each of them runs."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

Side = Literal["left", "right", "up", "down"]

STEP: Mapping[Side, tuple[int, int]] = {"left": (0, -1), "right": (0, 1), "up": (-1, 0), "down": (1, 0)}
OPPOSITE: Mapping[Side, Side] = {"left": "right", "right": "left", "up": "down", "down": "up"}
ACROSS: Mapping[Side, str] = {"left": "|", "right": "|", "up": "-", "down": "-"}
"""The straight wire that lies across a wire running towards that side."""

RUNS: Mapping[str, tuple[Side, ...]] = {
    "-": ("left", "right"),
    "|": ("up", "down"),
    "┌": ("right", "down"),
    "┐": ("left", "down"),
    "└": ("right", "up"),
    "┘": ("left", "up"),
    "├": ("up", "down", "right"),
    "┤": ("up", "down", "left"),
    "┬": ("left", "right", "down"),
    "┴": ("left", "right", "up"),
}
"""Wire that always runs to these sides."""

JOINTS = frozenset("+*")
"""Joints run to whichever neighbour runs towards them."""

WIRE = frozenset(RUNS) | JOINTS
MARKS = WIRE | frozenset("<>^\\/[]()")
"""Everything that has a meaning by its shape and is no part of a word."""

ARROWS: Mapping[str, Side] = {"<": "left", ">": "right", "^": "up", "v": "down"}
"""A wiper's arrowhead, and the side it points to."""
