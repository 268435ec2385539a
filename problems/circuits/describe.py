"""A circuit in words, one fact a line, for a reader who cannot see the drawing."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from problems import words
from problems.circuits.netlist import Netlist
from problems.circuits.parts.base import Parameter, Part
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.potentiometer import Potentiometer
from problems.circuits.parts.voltage_source import VoltageSource
from problems.formulas.printers import THIN_SPACE, engineering
from problems.quantities import GROUND


def describe(netlist: Netlist, ascii_only: bool = False) -> tuple[str, ...]:
    """The facts of a circuit: sources, parts with their ends and values, op-amps pin by pin, and what meets where.

    Works with and without a drawing; with one, nodes are called by their terminals.
    """
    return tuple(_Teller(netlist, ascii_only).facts())


class _Teller:
    """Tells one circuit."""

    def __init__(self, netlist: Netlist, ascii_only: bool):
        self.netlist, self.ascii_only = netlist, ascii_only
        self.pins = {pin: node for pin, node in netlist.pins.items() if "." in pin}

    def facts(self) -> Iterator[str]:
        for part in sorted(self.netlist.parts, key=_order):
            yield from self._telling(part)(part)
        yield from self._meetings()

    def _telling(self, part: Part) -> Callable[[Part], Iterator[str]]:
        known: dict[type[Part], Callable[[Part], Iterator[str]]] = {
            OpAmp: self._opamp,
            Potentiometer: self._potentiometer,
            VoltageSource: self._voltage_source,
            CurrentSource: self._current_source,
        }
        return known.get(type(part), self._between)

    def _say(self, key: str, **fields: str) -> str:
        return words.say(f"describe.{key}", **fields)

    def _value(self, parameter: Parameter) -> str:
        """``8.2 kΩ``; empty where it is not known."""
        value = self.netlist.values.get(parameter.symbol)
        if value is None:
            return ""
        return str(engineering(value, parameter.unit, ascii=self.ascii_only)).replace(THIN_SPACE, " ").strip()

    def _name(self, part: Part) -> str:
        value = self._value(part.parameters[0]) if part.parameters else ""
        symbol = part.parameters[0].symbol if part.parameters else part.name
        shown = [part.name, *([symbol] if symbol != part.name else []), *([value] if value else [])]
        return ", ".join(shown)

    def node(self, node: str) -> str:
        """What a node is called in a sentence."""
        if node == GROUND:
            return self._say("ground")
        if node in self.netlist.terminals:
            return self.netlist.terminals[node]
        if node in self.netlist.held:
            return self.netlist.held[node]
        pin = next((pin for pin, at in self.pins.items() if at == node), None)
        if pin is not None and node in {pin, pin.partition(".")[2]}:
            return self._pin(pin)
        return self._say("node", node=node)

    def _pin(self, pin: str) -> str:
        amp, _, number = pin.partition(".")
        return self._say("pin", pin=number, amp=amp)

    def _between(self, part: Part) -> Iterator[str]:
        ends = [self.node(node) for node in part.nodes]
        if len(ends) == 2:
            yield self._say("between", part=self._name(part), first=ends[0], second=ends[1])
        else:
            yield self._say("among", part=self._name(part), nodes=", ".join(ends))

    def _voltage_source(self, part: Part) -> Iterator[str]:
        plus, minus = part.nodes
        if minus == GROUND and self.netlist.terminals.get(plus) == part.name:
            yield self._say("driven", part=self._name(part))
        else:
            yield self._say("voltage-source", part=self._name(part), plus=self.node(plus), minus=self.node(minus))

    def _current_source(self, part: Part) -> Iterator[str]:
        first, second = (self.node(node) for node in part.nodes)
        yield self._say("current-source", part=self._name(part), first=first, second=second)

    def _potentiometer(self, part: Part) -> Iterator[str]:
        top, bottom, wiper = (self.node(node) for node in part.nodes)
        yield self._say("potentiometer", part=self._name(part), top=top, bottom=bottom)
        yield self._say("wiper", part=part.name, node=wiper)
        share = part.parameters[1]
        value = self._value(share)
        yield self._say("setting-value" if value else "setting", part=part.name, symbol=share.symbol, value=value)

    def _opamp(self, part: Part) -> Iterator[str]:
        assert isinstance(part, OpAmp)
        pins = [pin.partition(".")[2] for pin in self.pins if pin.partition(".")[0] == part.name]
        yield self._say("op-amp", part=part.name, minus=pins[0], plus=pins[1], out=pins[2])
        for pin, node in zip(pins, (part.minus, part.plus, part.out), strict=True):
            at = self.node(node)
            if at == self._say("ground"):
                yield self._say("pin-grounded", pin=pin, amp=part.name)
            elif at != self._pin(f"{part.name}.{pin}"):
                yield self._say("pin-at", pin=pin, amp=part.name, node=at)

    def _meetings(self) -> Iterator[str]:
        """What meets at each node but ground."""
        for node in self.netlist.nodes:
            parts = [part for part in self.netlist.parts if not isinstance(part, OpAmp) and node in part.nodes]
            met = [self._end(part, node) for part in parts if self.netlist.terminals.get(node) != part.name]
            own = self.node(node)
            met += [text for pin, at in self.pins.items() if at == node and (text := self._pin(pin)) != own]
            if node != GROUND and len(met) > 1:
                yield self._say("meeting", node=own, things=", ".join(met[:-1]), last=met[-1])
            elif node != GROUND and len(met) == 1:
                yield self._say("alone", node=own, thing=met[0])

    def _end(self, part: Part, node: str) -> str:
        """The end of a part at a node, where one must say which."""
        if isinstance(part, Potentiometer) and node not in {part.top, part.bottom}:
            return self._say("wiper-end", part=part.name)
        return part.name


def _order(part: Part) -> int:
    """Sources first, op-amps last."""
    return 0 if isinstance(part, VoltageSource | CurrentSource) else 2 if isinstance(part, OpAmp) else 1
