"""A circuit with one source on and all others off: a voltage source off is a wire, a current source off is gone.

One source that feeds both inputs of an op-amp is split first: a copy of it for each part that it feeds, each of the
full value. Only a node that a source holds against ground can be split so.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import fields, replace
from functools import cached_property
from typing import Any, NamedTuple, Self

from problems.circuits.netlist import Netlist, in_one_package, pin_numbers
from problems.circuits.parts.base import Part
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.voltage_source import VoltageSource
from problems.quantities import GROUND, Names, Quantity

_NO_NODE = frozenset({"name", "value", "setting", "setting_symbol"})
"""Text fields of parts that hold no node."""


class Feed(NamedTuple):
    """One thing that a source feeds from the node that it holds. pin: ``plus`` or ``minus`` of an op-amp, or empty."""

    label: str
    part: str
    pin: str = ""


class OneOn(Netlist):
    """A circuit in which one source is on. Build with ``alone``.

    tag: ``V1``, or ``Vin:Ri`` for the copy that feeds Ri. off: names of the other sources. into: every node of the
    whole circuit to the node that it is here; what a wire joins is one node, ground where ground is among it. fed: what
    the copies that are off feed, where the source is split; their ends there stand on ground.
    """

    off: tuple[str, ...]
    into: Mapping[str, str]
    fed: tuple[Feed, ...]
    ends: Mapping[str, str]
    """Node to the name of its terminal in the drawing of the whole circuit."""

    def with_values(self, values: Mapping[str, Any]) -> Self:
        changed = super().with_values(values)
        changed.tag, changed.off, changed.into, changed.fed = self.tag, self.off, self.into, self.fed
        changed.ends = self.ends
        return changed

    contributions = ()
    """Of this circuit there is one source alone."""
    states = ()
    """What a source does alone is told of the circuit as it stands, not of its states."""

    @property
    def source(self) -> Part:
        """The source that is on."""
        return self.part(self.tag.partition(":")[0])

    @cached_property
    def terminals(self) -> Mapping[str, str]:
        """The terminals of the whole circuit's drawing that are still there."""
        return {self.into[node]: name for node, name in self.ends.items() if self.into[node] != GROUND}

    @cached_property
    def names(self) -> Names:
        """Names that say of which source they speak; the source that is on prints as its symbol."""
        return Names.of(self).of_source(self.tag)

    @cached_property
    def influenced(self) -> frozenset[str]:
        """The nodes to which anything leads from the source: along parts, through op-amps from input to output.

        Everything else sits at 0 V.
        """
        start = {node for node in self.source.nodes if node != GROUND}
        while True:
            found = _flooded(self, start, {GROUND, *(amp.out for amp in self.opamps if amp.out not in start)})
            outs = {amp.out for amp in self.opamps if {amp.plus, amp.minus} & found}
            if outs <= start:
                return frozenset(found)
            start |= outs

    def reaches(self, quantity: Quantity) -> bool:
        """Whether the source can have a say in a quantity of this circuit."""
        if quantity.kind in ("V", "B"):
            return bool({quantity.of, quantity.to} & self.influenced)
        nodes = {node for part in self.parts if quantity.of.partition(".")[0] == part.name for node in part.nodes}
        if any(amp.name == quantity.of for amp in self.opamps):
            out = next(amp.out for amp in self.opamps if amp.name == quantity.of)
            met = [branch for branch in self.branches if out in (branch.start, branch.end)]
            nodes = {node for branch in met for node in (branch.start, branch.end) if node is not None}
        return bool(nodes & self.influenced)


def contributions(netlist: Netlist) -> tuple[str, ...]:
    """Tags of the contributions that add up to the whole: one a source, or one a copy of the only source."""
    names = tuple(part.name for part in netlist.parts if part.independent)
    feeds = split(netlist)
    return tuple(f"{names[0]}:{feed.label}" for feed in feeds) or names


def all_contributions(netlist: Netlist) -> tuple[str, ...]:
    """Tags of every contribution that can be spoken of: where the only source is split, its own too."""
    names = tuple(part.name for part in netlist.parts if part.independent)
    return tuple(dict.fromkeys((*names, *contributions(netlist))))


def split(netlist: Netlist) -> tuple[Feed, ...]:
    """What the only source feeds, where that leads to both inputs of an op-amp; empty where it is not to be split."""
    sources = [part for part in netlist.parts if part.independent]
    node = held_node(sources[0]) if len(sources) == 1 else None
    if node is None or any(amp.out == node for amp in netlist.opamps):
        return ()
    feeds = tuple(_feeds(netlist, node, sources[0]))
    reached = [_inputs_reached(netlist, node, feed) for feed in feeds]
    for amp in netlist.opamps:
        plus = {number for number, pins in enumerate(reached) if (amp.name, "plus") in pins}
        minus = {number for number, pins in enumerate(reached) if (amp.name, "minus") in pins}
        if plus and minus and len(plus | minus) > 1:
            return feeds
    return ()


def held_node(source: Part) -> str | None:
    """The node that a voltage source holds against ground; None where it does not stand on ground."""
    if not isinstance(source, VoltageSource) or GROUND not in source.nodes or source.first == source.second:
        return None
    return source.second if source.first == GROUND else source.first


def _feeds(netlist: Netlist, node: str, source: Part) -> Iterable[Feed]:
    for part in netlist.parts:
        if isinstance(part, OpAmp):
            numbers = pin_numbers(netlist.package, netlist.opamps.index(part))
            alone = in_one_package(netlist.package, len(netlist.opamps))
            for pin, number in (("minus", numbers[0]), ("plus", numbers[1])):
                if getattr(part, pin) == node:
                    yield Feed(number if alone else f"{part.name}.{number}", part.name, pin)
        elif part is not source and node in part.nodes:
            yield Feed(part.name, part.name)


def _inputs_reached(netlist: Netlist, node: str, feed: Feed) -> frozenset[tuple[str, str]]:
    """The op-amp inputs to which a fed part leads, not through ground, held nodes or op-amp outputs."""
    if feed.pin:
        return frozenset({(feed.part, feed.pin)})
    held = {end for part in netlist.parts if part.independent and (end := held_node(part)) is not None}
    barred = {GROUND, *held, *(amp.out for amp in netlist.opamps)}
    own = [branch for branch in netlist.part(feed.part).branches if node in (branch.start, branch.end)]
    start = {end for branch in own for end in (branch.start, branch.end) if end is not None} - barred
    found = _flooded(netlist, start, barred)
    pins = ((amp.name, pin, getattr(amp, pin)) for amp in netlist.opamps for pin in ("plus", "minus"))
    return frozenset((name, pin) for name, pin, at in pins if at in found)


def _flooded(netlist: Netlist, start: Collection[str], barred: Collection[str]) -> set[str]:
    """The nodes that parts lead to from ``start`` without entering what is barred."""
    found, waiting = set(start), list(start)
    while waiting:
        here = waiting.pop()
        for branch in netlist.branches:
            if here in (branch.start, branch.end):
                far = branch.end if branch.start == here else branch.start
                if far is not None and far not in found and far not in barred:
                    found.add(far)
                    waiting.append(far)
    return found


def alone(netlist: Netlist, tag: str) -> OneOn:
    """The circuit with one source on, or with one copy of the only source. tag: of ``all_contributions``."""
    on, _, label = tag.partition(":")
    off = [part for part in netlist.parts if part.independent and part.name != on]
    into = _joined(netlist, [part.nodes for part in off if isinstance(part, VoltageSource)])
    fed = tuple(feed for feed in split(netlist) if feed.label != label) if label else ()
    grounded = {(feed.part, feed.pin) for feed in fed}
    node = held_node(netlist.part(on))
    gone = {part.name for part in off}
    parts = [renamed(_regrounded(part, node, grounded), into) for part in netlist.parts if part.name not in gone]
    found = OneOn(parts, netlist.values, package=netlist.package)
    found.tag, found.off, found.into, found.fed = tag, tuple(part.name for part in off), into, fed
    found.ends = netlist.terminals
    return found


def opened(netlist: Netlist, tag: str, wrongly: str) -> OneOn:
    """The circuit of ``alone`` with one source switched off the wrong way: a voltage source taken out, a current source
    made a wire. wrongly: its name."""
    source = netlist.part(wrongly)
    flipped: Part
    if isinstance(source, CurrentSource):
        flipped = VoltageSource(source.name, *source.nodes)
    else:
        flipped = CurrentSource(source.name, *source.nodes)
    parts = [flipped if part is source else part for part in netlist.parts]
    return alone(Netlist(parts, netlist.values, package=netlist.package), tag)


def _joined(netlist: Netlist, wires: Iterable[tuple[str, ...]]) -> dict[str, str]:
    """Every node to the one that stands for all that wires join to it: ground, else the first of the circuit."""
    into = {node: node for node in netlist.nodes}
    for first, second in wires:
        kept, lost = sorted((into[first], into[second]), key=netlist.nodes.index)
        into = {node: kept if at == lost else at for node, at in into.items()}
    return into


def _regrounded(part: Part, node: str | None, grounded: Collection[tuple[str, str]]) -> Part:
    """A part with the ends that a silent copy feeds on ground."""
    if node is None:
        return part
    pins = [pin for name, pin in grounded if name == part.name]
    if "" in pins:
        return renamed(part, {node: GROUND})
    return replace(part, **dict.fromkeys(pins, GROUND)) if pins else part


def renamed(part: Part, into: Mapping[str, str]) -> Part:
    """A part between other nodes."""
    ends = {
        place.name: into[end]
        for place in fields(part)
        if place.name not in _NO_NODE
        and isinstance(end := getattr(part, place.name), str)
        and into.get(end, end) != end
    }
    return replace(part, **ends) if ends else part
