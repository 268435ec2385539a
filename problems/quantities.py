"""The one place that reads, prints and aliases the names of circuit quantities.

A quantity is written as a textbook does: ``V_out`` (node to ground), ``V_3`` (pin 3 of a lone op-amp), ``V_R1`` (drop,
+ at the first terminal), ``V_a,b`` (node to node), ``I_R1`` (current into the first terminal), ``I_U1`` (current out of
an op-amp's output pin), ``I_Rp.top`` (upper half of a potentiometer).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import NamedTuple, Protocol

from problems.formulas.vocabulary import alike, first_spellings, some_of_each

GROUND = "0"
LAPLACE = "s"
"""The symbol of Laplace's variable; sources are amplitudes where it occurs."""


FREQUENCY, TIME = "f", "t"
"""The conditions that a circuit with capacitors or inductors may be given: a frequency, or an instant after a step."""

UNITS = {"I": "A", "R": "ohm", "F": "Hz", "T": "s", "G": "", "S": "V/s", "Q": ""}
"""Unit of each kind of quantity that is no voltage."""
OWN_NAMES = {"T": "tau", "G": "gain", "S": "slope", "Q": "Q"}
"""Names of the quantities of which a circuit has one at most."""
_BASE = r"(?:[VvIi]_?[^\W\d_][\w.]*(?:,[ ]?[\w.]+)?|[VvIi]_?[\d+-][\w.]*|gain)(?:\[[\w:. ]+\])?"
_STATE = r"\(\s*(?:(?P<variable>[ft])\s*=\s*)?(?P<value>0\+?|inf(?:inity)?|f_?c|test)\s*\)"
STATED = re.compile(rf"(?P<base>{_BASE})\s*{_STATE}")
"""A quantity in one state: ``V_out(f=0)``, ``gain(f=inf)``, ``V_C1(t=0)``, ``V_out(0)``."""
_DRESSED = rf"{_BASE}(?:\s*\([^()|]*\))?"
SIZED = re.compile(rf"\|\s*(?P<size>{_DRESSED})\s*\||phase(?:\s+of)?(?:\s+|\s*(?=\())\(?\s*(?P<phase>{_DRESSED})\s*\)?")
"""A size or a phase: ``|V_out|``, ``phase V_out``."""
SIZE, PHASE = "|", "<"
"""What the kind of a phasor's size and of its phase begins with: ``|V``, ``<I``."""


class Quantity(NamedTuple):
    """A voltage or current of a circuit; hashable, so it is its own key in an environment.

    kind: ``"V"`` node voltage, ``"D"`` drop across a part, ``"B"`` voltage between two nodes, ``"I"`` branch current,
    ``"R"`` resistance of several parts taken as one. of: node, part or branch (``Rp.top``). to: second node of a
    ``"B"``. source: the one source that is on, where it is that source's contribution: ``Vin``, or ``Vin:Ri`` for the
    copy of it that feeds Ri alone; empty for the quantity itself. when: the one state in which it is meant: ``f=0``,
    ``f=inf``, ``f=f_c``, ``t=0``, ``t=inf``, or ``test`` with a test source in place of the capacitor.

    Of a circuit with one capacitor or inductor there are ``"R"`` (the resistance that this sees), ``"F"`` (corner
    frequency), ``"T"`` (time constant), ``"G"`` (gain), ``"S"`` (slope of the output); at a frequency the size and the
    phase of a quantity have its kind with ``|`` and ``<`` before it.
    """

    kind: str
    of: str
    to: str = ""
    source: str = ""
    when: str = ""

    @property
    def unit(self) -> str:
        if self.kind.startswith(PHASE):
            return "deg"
        return UNITS.get(self.kind.removeprefix(SIZE), "V")

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


def start_of(part: str, unit: str) -> str:
    """Symbol of what a capacitor (unit F) or an inductor starts from: ``V_C1(0)``, ``I_L1(0)``."""
    return f"{'V' if unit == 'F' else 'I'}_{part}(0)"


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
    def states(self) -> tuple[str, ...]:
        """The states in which quantities may be meant: ``f=0`` and others; none without capacitors and inductors."""
        ...

    @property
    def further(self) -> Mapping[str, Quantity]:
        """Names of what is no voltage or current, such as ``f_c``."""
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
    states: tuple[str, ...] = ()
    """The states in which a quantity may be meant; with any of them a quantity has a size and a phase too."""

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
        for name, quantity in circuit.further.items():
            readings.setdefault(name, quantity)
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
        return cls(readings, labels, pins, circuit.contributions, symbols, states=circuit.states)

    def of_source(self, source: str) -> Names:
        """The names where one source alone is on: each says so, but for the source's own symbol."""
        return replace(self, own=source)

    def read(self, text: str) -> Quantity:
        """The quantity meant by ``text``; raises UnknownQuantity, naming near ones."""
        name = text.strip()
        found = self._found(name)
        if found is None:
            raise UnknownQuantity(name, self._nearest(name))
        return found

    def _found(self, name: str) -> Quantity | None:
        return self._plain(name) or self._contribution(name) or self.in_state(name)

    def in_state(self, name: str) -> Quantity | None:
        """A size, a phase, or a quantity in one state: ``|V_out|``, ``phase V_out``, ``V_out(f=0)``; else None."""
        if not self.states:
            return None
        match = SIZED.fullmatch(name)
        inner = (match["size"] or match["phase"]) if match else ""
        if match and inner:
            sized = self._found(inner.strip())
            mark = SIZE if match["size"] else PHASE
            return sized._replace(kind=mark + sized.kind) if sized is not None and sized.kind in "VIDBG" else None
        match = STATED.fullmatch(name)
        if match is None:
            return None
        state = self._state(match["variable"], match["value"])
        found = self._found(match["base"])
        return found._replace(when=state) if state and found is not None and found.kind in "VIDBG" else None

    def _state(self, variable: str | None, value: str) -> str:
        """The state meant, if it is one of this circuit."""
        at = "0" if value.startswith("0") else "inf" if value.startswith("inf") else "f_c" if value != "test" else ""
        meant = [f"{letter}={at}" for letter in ([variable] if variable else ["t", "f"])] if at else [value]
        return next((state for state in meant if state in self.states), "")

    def _dressed(self, quantity: Quantity, plain: Callable[[Quantity], str]) -> str:
        """The name with its state, as a size or a phase; a source has one value in all states."""
        if quantity.kind[:1] in (SIZE, PHASE):
            inner = self._dressed(quantity._replace(kind=quantity.kind[1:]), plain)
            return f"|{inner}|" if quantity.kind[0] == SIZE else f"phase {inner}"
        name = plain(quantity._replace(when=""))
        return f"{name}({quantity.when})" if quantity.when and name not in self.symbols else name

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
        if quantity.when or quantity.kind[:1] in (SIZE, PHASE):
            return self._dressed(quantity, self.write)
        source, whole = self.own or quantity.source, quantity.by("")
        label = self.labels.get(whole)
        if not source:
            return label or canonical(whole)
        if label is not None and label in self.symbols:
            return label if self.own else canonical(whole.by(source))
        return f"{label or canonical(whole)}[{source}]"

    def head(self, quantity: Quantity) -> str:
        """The name to print where the quantity is what is found: that of its pin, not of the source that holds it."""
        if quantity.when or quantity.kind[:1] in (SIZE, PHASE):
            return self._dressed(quantity, self.head)
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
    if quantity.kind[:1] in (SIZE, PHASE):
        inner = canonical(quantity._replace(kind=quantity.kind[1:]))
        return f"|{inner}|" if quantity.kind[0] == SIZE else f"phase {inner}"
    if quantity.when:
        return f"{canonical(quantity._replace(when=''))}({quantity.when})"
    if quantity.kind in OWN_NAMES:
        return OWN_NAMES[quantity.kind]
    letter = quantity.kind.lower() if quantity.kind == "F" else quantity.kind if quantity.kind in UNITS else "V"
    place = f"{quantity.of},{quantity.to}" if quantity.kind == "B" else quantity.of
    return f"{letter}_{place}" + (f"[{quantity.source}]" if quantity.source else "")
