"""The sections of a walk by superposition: for each source what switching the others off means, and what is left."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

from problems.circuits.describe import describe
from problems.circuits.drawing.drawing import Drawing
from problems.circuits.drawing.switched import redrawn
from problems.circuits.netlist import Netlist
from problems.circuits.off import Feed, OneOn, split
from problems.circuits.parts.voltage_source import VoltageSource
from problems.derivation.step import Step
from problems.quantities import GROUND
from problems.words import say


@dataclass(frozen=True)
class Case:
    """One source on. source: its name, or that of its copy (``Vin:Ri``). netlist: the circuit with the others off."""

    source: str
    netlist: OneOn
    whole: Netlist = field(repr=False)

    @property
    def off(self) -> tuple[str, ...]:
        """What switching off means for each source that is off, a sentence each."""
        return tuple(_sentences(self.netlist, self.whole))

    @property
    def changed(self) -> bool:
        """Whether anything is switched off in it, so that it is another circuit than the whole."""
        return bool(self.netlist.off or self.netlist.fed)

    @cached_property
    def drawn(self) -> Netlist | None:
        """The same circuit, read from its own drawing; None where there is none, or it cannot be redrawn."""
        drawing = self.whole.drawing
        return redrawn(self.whole, drawing, self.netlist) if isinstance(drawing, Drawing) else None

    @property
    def rows(self) -> tuple[str, ...] | None:
        """The circuit redrawn, as plain text; None where it cannot be."""
        drawn = self.drawn
        return drawn.drawing.rows if drawn is not None and isinstance(drawn.drawing, Drawing) else None

    @property
    def description(self) -> tuple[str, ...]:
        """The circuit in words, one fact a line."""
        return tuple(describe(self.netlist))


def sections(steps: tuple[Step, ...]) -> Iterator[tuple[str, tuple[Step, ...]]]:
    """The steps in runs that speak of one source each; ``""`` for those that speak of the whole circuit."""
    run: list[Step] = []
    for step in steps:
        if run and step.target.source != run[0].target.source:
            yield run[0].target.source, tuple(run)
            run = []
        run.append(step)
    if run:
        yield run[0].target.source, tuple(run)


def _sentences(netlist: OneOn, whole: Netlist) -> Iterator[str]:
    if not (netlist.off or netlist.fed):
        yield say("case.only", source=netlist.tag)
    if netlist.fed:
        on, _, label = netlist.tag.partition(":")
        feeds = split(whole)
        if feeds[0].label == label:
            yield say("case.split", source=on)
        yield say("case.copy-on", part=next(_fed(feed) for feed in feeds if feed.label == label))
        for feed in netlist.fed:
            yield say("case.copy-off", part=_fed(feed))
    for name in netlist.off:
        part = whole.part(name)
        if not isinstance(part, VoltageSource):
            yield say("case.current-off", source=name)
        elif GROUND in part.nodes:
            yield say("case.voltage-off", source=name)
        else:
            first, second = (whole.terminals.get(node, say("describe.node", node=node)) for node in part.nodes)
            yield say("case.floating-off", source=name, first=first, second=second)


def _fed(feed: Feed) -> str:
    return say("case.pin", pin=feed.label) if feed.pin else feed.label
