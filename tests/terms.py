"""Formulas of the tests' own: written as a student writes them, worked out in plain floats; nothing of the engine's."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

UNIT = {"V": "V", "I": "A", "R": "ohm"}
PREFIXES = ((1e9, "G"), (1e6, "M"), (1e3, "k"), (1.0, ""), (1e-3, "m"), (1e-6, "u"), (1e-9, "n"))


@dataclass(frozen=True)
class World:
    """One set of values of a circuit. of: every name, as a student writes it, to its value. scale: largest voltage."""

    of: Mapping[str, float]
    scale: float


@dataclass(frozen=True)
class Term:
    """A formula. op: ``name``, ``figure``, ``+``, ``*``, ``/``, ``||`` or ``neg``."""

    op: str
    parts: tuple[Term, ...] = ()
    name: str = ""
    factor: float = 1.0
    shift: float = 0.0

    def value(self, world: World) -> float:
        """Its value; a figure is what is typed, so it has four figures. May raise ZeroDivisionError."""
        if self.op == "name":
            return world.of[self.name]
        found = [part.value(world) for part in self.parts]
        if self.op == "figure":
            found = [four(found[0] * self.factor + self.shift * world.scale)]
        if self.op == "neg":
            found = [-found[0]]
        if self.op == "*":
            return math.prod(found)
        if self.op == "/":
            return found[0] / found[1]
        return math.fsum(found) if self.op != "||" else 1 / sum(1 / each for each in found)

    def __add__(self, other: Term) -> Term:
        return Term("+", (*(self.parts if self.op == "+" else (self,)), other))

    def __neg__(self) -> Term:
        return self.parts[0] if self.op == "neg" else Term("neg", (self,))

    def __sub__(self, other: Term) -> Term:
        return self + -other

    def __mul__(self, other: Term) -> Term:
        return Term("*", (self, other))

    def __truediv__(self, other: Term) -> Term:
        return Term("/", (self, other))

    def beside(self, other: Term) -> Term:
        return Term("||", (self, other))

    @property
    def has_figures(self) -> bool:
        return self.op == "figure" or any(part.has_figures for part in self.parts)

    @property
    def addends(self) -> tuple[Term, ...]:
        return self.parts if self.op == "+" else (self,)


ZERO = Term("+", ())


def name(text: str) -> Term:
    return Term("name", name=text)


def figure(of: Term, unit: str) -> Term:
    """The value of a formula, typed with its unit."""
    return Term("figure", (of,), unit)


def four(value: float) -> float:
    """The value with four figures."""
    return float(f"{value:.3e}")


@dataclass
class Hand:
    """How one student writes: spaces, signs and prefixes by lot. bare: figures without units, one of these students."""

    dice: random.Random
    bare: bool = False
    gap: str = field(init=False)

    def __post_init__(self) -> None:
        self.gap = self.dice.choice(("", " "))

    def write(self, term: Term, world: World, tight: bool = False) -> str:
        """The text of a formula; ``tight`` where a sum must stand in brackets."""
        if term.op == "name":
            return term.name
        if term.op == "figure":
            text = self.figure(term.value(world), term.name)
            return f"({text})" if tight and text.startswith("-") else text
        if term.op == "+":
            text = self.sum(term.parts, world)
            return f"({text})" if tight else text
        if term.op == "neg":
            text = "-" + self.write(term.parts[0], world, tight=True)
            return f"({text})" if tight else text
        written = [self.write(part, world, tight=True) for part in term.parts]
        if term.op == "/" and term.parts[1].op in ("*", "/", "||"):
            written[1] = f"({written[1]})"
        if term.op == "/" and term.parts[1].op == "figure":
            written[1] = f"({written[1]})" if " " in written[1] else written[1]
        if term.op == "||":
            written = [f"({w})" if p.op == "*" else w for w, p in zip(written, term.parts, strict=True)]
        if term.op == "*":
            written = [f"({w})" if p.op == "||" else w for w, p in zip(written, term.parts, strict=True)]
        text = f"{self.gap}{term.op}{self.gap}".join(written)
        return f"({text})" if tight and term.op in ("||", "/") else text

    def sum(self, parts: tuple[Term, ...], world: World) -> str:
        if not parts:
            return "0"
        text = self.write(parts[0], world, tight=parts[0].op == "figure")
        for part in parts[1:]:
            sign, inner = ("-", part.parts[0]) if part.op == "neg" else ("+", part)
            text += f" {sign} {self.write(inner, world, tight=True)}"
        return text

    def figure(self, value: float, unit: str) -> str:
        """A typed value: with a prefix, in exponent form or plain."""
        if not value:
            return "0" if self.bare else f"0 {unit}"
        style = self.dice.random()
        if style < 0.15:
            number, prefix = f"{value:.3e}", ""
        else:
            size = next((each for each in PREFIXES if abs(value) >= each[0]), PREFIXES[-1])
            if style < 0.3 and size[0] > 1e-9:
                size = PREFIXES[PREFIXES.index(size) + 1]
            number, prefix = f"{value / size[0]:.6g}", size[1]
            if "e" in number:
                number, prefix = f"{value:.3e}", ""
        if self.bare:
            return number + prefix
        return f"{number}{self.dice.choice(('', ' '))}{prefix}{unit}"


def subterms(term: Term, place: tuple[int, ...] = ()) -> Iterator[tuple[tuple[int, ...], Term]]:
    """Every formula inside a formula, with the way to it; what a figure was worked out from is not in it."""
    yield place, term
    if term.op != "figure":
        for index, part in enumerate(term.parts):
            yield from subterms(part, (*place, index))


def put(term: Term, place: tuple[int, ...], new: Term) -> Term:
    """The formula with another in one place."""
    if not place:
        return new
    parts = list(term.parts)
    parts[place[0]] = put(parts[place[0]], place[1:], new)
    return Term(term.op, tuple(parts), term.name, term.factor, term.shift)
