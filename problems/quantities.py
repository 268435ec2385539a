"""The one place that reads, prints and aliases the names of circuit quantities.

A quantity is written as a textbook does: ``V_out`` (node to ground), ``V_3`` (pin 3 of a lone op-amp), ``V_R1`` (drop,
+ at the first terminal), ``V_a,b`` (node to node), ``I_R1`` (current into the first terminal), ``I_U1`` (current out of
an op-amp's output pin), ``I_Rp.top`` (upper half of a potentiometer).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import NamedTuple, Protocol

from problems.formulas.vocabulary import alike, first_spellings, some_of_each

GROUND = "0"
LAPLACE = "s"
"""The symbol of Laplace's variable; sources are amplitudes where it occurs."""


UNITS = {"I": "A", "R": "ohm"}
"""Unit of each kind of quantity that is no voltage."""


class Quantity(NamedTuple):
    """A voltage or current of a circuit; hashable, so it is its own key in an environment.

    kind: ``"V"`` node voltage, ``"D"`` drop across a part, ``"B"`` voltage between two nodes, ``"I"`` branch current,
    ``"R"`` resistance of several parts taken as one. of: node, part or branch (``Rp.top``). to: second node of a
    ``"B"``. source: the one source that is on, where it is that source's contribution: ``Vin``, or ``Vin:Ri`` for the
    copy of it that feeds Ri alone; empty for the quantity itself.
    """

    kind: str
    of: str
    to: str = ""
    source: str = ""

    @property
    def unit(self) -> str:
        return UNITS.get(self.kind, "V")

    def by(self, source: str) -> Quantity:
        """What that source contributes to it; with ``""``, the quantity itself."""
        return self if self.source == source else Quantity(self.kind, self.of, self.to, source)


@lru_cache(maxsize=4096)
def voltage(node: str) -> Quantity:
    """Voltage of a node against ground."""
    return Quantity("V", node)


@lru_cache(maxsize=4096)
def current(branch: str) -> Quantity:
    """Current of a branch, into its first terminal (out of the pin for an op-amp)."""
    return Quantity("I", branch)


@lru_cache(maxsize=4096)
def drop(part: str) -> Quantity:
    """Voltage across a part, + at its first terminal."""
    return Quantity("D", part)


def made_name(name: str) -> str:
    """The name of what the engine makes of a circuit's parts: ``A*`` for the resistance ``R_A*``, ``m*`` for a node."""
    return f"{name}*"


def is_made(name: Quantity | str) -> bool:
    """Whether a quantity, or the name of its place, is made by the engine and not in the drawing."""
    return (name if isinstance(name, str) else name.of).endswith("*")


class UnknownQuantity(ValueError):
    """A name that is no quantity of this circuit.

    name: what was written. known: names that would do, nearest first.
    """

    def __init__(self, name: str, known: tuple[str, ...]):
        self.name, self.known = name, known
        super().__init__(f"no quantity {name!r} in this circuit; it has {', '.join(known)}")


class HasNames(Protocol):
    """What names need of a circuit."""

    @property
    def nodes(self) -> tuple[str, ...]: ...
    @property
    def part_names(self) -> tuple[str, ...]: ...
    @property
    def current_names(self) -> tuple[str, ...]: ...
    @property
    def pins(self) -> Mapping[str, str]:
        """Pin name (``3`` of a lone op-amp, ``U1.3``, ``+``) to node."""
        ...

    @property
    def held(self) -> Mapping[str, str]:
        """Node held against ground by one source, to the source's symbol (same sign)."""
        ...

    @property
    def driven(self) -> Mapping[str, str]:
        """Current source to the symbol of its current."""
        ...

    @property
    def contributions(self) -> tuple[str, ...]:
        """Names of the sources, and of the copies of the only one where it is split."""
        ...


@dataclass(frozen=True)
class Names:
    """Names of one circuit's quantities, both ways. Build with ``Names.of(circuit)``."""

    readings: Mapping[str, Quantity]
    """Every accepted spelling, canonical ones first, to its quantity."""
    labels: Mapping[Quantity, str] = field(default_factory=dict)
    """Printed name where it differs from the canonical one: a node held by Vin prints as ``Vin``."""

    pins: Mapping[Quantity, str] = field(default_factory=dict)
    """Name by the pin for the voltage of a held node: ``V_3`` where ``Vref`` feeds pin 3."""

    sources: tuple[str, ...] = ()
    """What may stand in the brackets of ``V_out[Vin]``."""

    symbols: frozenset[str] = frozenset()
    """The labels that are symbols of sources."""

    own: str = ""
    """The source that is on, where these are the names of a circuit with one source on."""

    @classmethod
    def of(cls, circuit: HasNames) -> Names:
        readings: dict[str, Quantity] = {}
        for node in circuit.nodes:
            readings.setdefault(f"V_{node}", voltage(node))
        for name in circuit.current_names:
            readings.setdefault(f"I_{name}", current(name))
        for part in circuit.part_names:
            readings.setdefault(f"V_{part}", drop(part))
        for pin, node in circuit.pins.items():
            readings.setdefault(f"V_{pin}", voltage(node))
        labels = {voltage(node): symbol for node, symbol in circuit.held.items()}
        labels |= {current(source): symbol for source, symbol in circuit.driven.items()}
        for pin, node in circuit.pins.items():
            # a net called U1.2 prints as V_2 where no other op-amp has a pin 2
            if node.endswith(f".{pin}") and readings.get(f"V_{pin}") == voltage(node):
                labels.setdefault(voltage(node), f"V_{pin}")
        pins = {voltage(node): f"V_{pin}" for pin, node in circuit.pins.items() if pin not in ("+", "-")}
        pins = {quantity: name for quantity, name in pins.items() if readings[name] == quantity}
        if voltage(GROUND) in pins:
            labels[voltage(GROUND)] = pins[voltage(GROUND)]
        symbols = frozenset((*circuit.held.values(), *circuit.driven.values()))
        return cls(readings, labels, pins, circuit.contributions, symbols)

    def of_source(self, source: str) -> Names:
        """The names where one source alone is on: each says so, but for the source's own symbol."""
        return replace(self, own=source)

    def read(self, text: str) -> Quantity:
        """The quantity meant by ``text``; raises UnknownQuantity, naming near ones."""
        name = text.strip()
        found = self._plain(name) or self._contribution(name)
        if found is None:
            raise UnknownQuantity(name, self._nearest(name))
        return found

    def _plain(self, name: str) -> Quantity | None:
        return self.readings.get(name) or self._between(name) or _made(name) or self._loose().get(loosened(name))

    def _contribution(self, name: str) -> Quantity | None:
        """``V_out[Vin]``; the source in any case where that means one thing."""
        whole, source = in_brackets(name)
        found = self._plain(whole) if source else None
        meant = [tag for tag in self.sources if tag == source] or [
            tag for tag in self.sources if loosened(tag) == loosened(source)
        ]
        return found.by(meant[0]) if found is not None and len(meant) == 1 else None

    def write(self, quantity: Quantity) -> str:
        """The name to print."""
        source, whole = self.own or quantity.source, quantity.by("")
        label = self.labels.get(whole)
        if not source:
            return label or canonical(whole)
        if label is not None and label in self.symbols:
            return label if self.own else canonical(whole.by(source))
        return f"{label or canonical(whole)}[{source}]"

    def head(self, quantity: Quantity) -> str:
        """The name to print where the quantity is what is found: that of its pin, not of the source that holds it."""
        source, whole = self.own or quantity.source, quantity.by("")
        name = canonical(whole)
        if whole in self.labels or whole == voltage(GROUND):
            name = self.pins.get(whole, name)
        return f"{name}[{source}]" if source else name

    def _between(self, name: str) -> Quantity | None:
        left, comma, right = name.removeprefix("V_").partition(",")
        if not comma or not name.startswith("V_"):
            return None
        first, second = self.readings.get(f"V_{left.strip()}"), self.readings.get(f"V_{right.strip()}")
        if first is None or second is None or {first.kind, second.kind} != {"V"}:
            return None
        return Quantity("B", first.of, second.of)

    def _loose(self) -> dict[str, Quantity]:
        """Spellings without underscore or case, kept only where they mean one thing."""
        spelled: dict[str, set[Quantity]] = {}
        for name, quantity in self.readings.items():
            spelled.setdefault(loosened(name), set()).add(quantity)
        return {name: next(iter(found)) for name, found in spelled.items() if len(found) == 1}

    def _nearest(self, name: str) -> tuple[str, ...]:
        names = first_spellings(self.readings)
        whole, source = in_brackets(name)
        if source and (found := self._plain(whole)) is not None:
            return tuple(canonical(found.by(tag)) for tag in self.sources)
        return tuple(alike(name, names, 5, 0.4) or some_of_each(names, 8))


def in_brackets(name: str) -> tuple[str, str]:
    """``V_out[Vin]`` as ``V_out`` and ``Vin``; the second is empty where no brackets close the name."""
    whole, bracket, source = name.strip().partition("[")
    if not bracket or not source.endswith("]"):
        return name, ""
    return whole.strip(), source[:-1].strip()


def _made(name: str) -> Quantity | None:
    """The reading of a name with a star; whether the circuit has such a thing, its lesson knows."""
    letter, _, place = name.partition("_")
    return Quantity(letter, place) if letter in {"V", *UNITS} and len(place) > 1 and is_made(place) else None


def loosened(name: str) -> str:
    """A spelling without underscores, braces, spaces or case: ``V_{out}``, ``Vout`` and ``vout`` are one."""
    return name.translate(str.maketrans("", "", "_{} ")).lower()


def canonical(quantity: Quantity) -> str:
    """The name that ``Names.read`` always understands."""
    letter = quantity.kind if quantity.kind in UNITS else "V"
    place = f"{quantity.of},{quantity.to}" if quantity.kind == "B" else quantity.of
    return f"{letter}_{place}" + (f"[{quantity.source}]" if quantity.source else "")
