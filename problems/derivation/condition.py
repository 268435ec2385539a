"""Whether a law may be used at a place of a circuit: what each law's own file answers when it is asked by name."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from problems.circuits.parts.opamp import OpAmp
from problems.derivation.view import End, View
from problems.quantities import GROUND
from problems.words import listed


class Spot(NamedTuple):
    """What a question is about: nodes, parts that are no op-amps, op-amps; in the order named."""

    nodes: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    amps: tuple[str, ...] = ()


@dataclass(frozen=True)
class Ruling:
    """key: the sentence ``may.<key>`` that answers. fields: what it names. holds: whether the law may be used."""

    holds: bool
    key: str
    fields: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Question:
    """names: what the law is called, in small letters. needs: ``node``, ``part``, ``parts`` (two), ``amp`` or nothing.
    key: its condition is the sentence ``may.<key>``. ruling: the answer at a spot that has what it needs.
    """

    names: tuple[str, ...]
    needs: str
    key: str
    ruling: Callable[[View, Spot], Ruling]


def joined(names: list[str] | tuple[str, ...]) -> str:
    """``R1, R2 and R3``, each once."""
    return listed(dict.fromkeys(names))


def live_ends(view: View, node: str) -> tuple[End, ...]:
    """The branches at a node that can carry current: not one that ends at an input pin, or nowhere."""
    ends = view.meeting.get(node, ())
    return tuple(end for end in ends if end.branch.impedance is None or not _is_dead_end(view, end.far))


def _is_dead_end(view: View, node: str) -> bool:
    return node != GROUND and len(view.meeting[node]) == 1


def amp_at_input(view: View, node: str) -> OpAmp | None:
    """The op-amp that has an input at a node."""
    return next((amp for amp in view.netlist.opamps if node in (amp.minus, amp.plus)), None)


def is_held_at_ground(view: View, node: str) -> bool:
    """Whether a node sits at 0 V whatever the sources do: only parts lead away from it, and in the end only to ground.

    A value that happens to be 0 at this setting, or a source of 0 V, holds nothing.
    """
    seen: set[str] = set()
    waiting = [node]
    while waiting:
        here = waiting.pop()
        if here in seen or here == GROUND:
            seen.add(here)
            continue
        seen.add(here)
        ends = view.meeting.get(here, ())
        if here in view.outputs or any(end.branch.impedance is None for end in ends):
            return False
        waiting += [end.far for end in ends]
    return GROUND in seen


def part_labels(ends: tuple[End, ...]) -> str:
    """The parts of some branches, each once."""
    return joined([end.branch.part for end in ends])
