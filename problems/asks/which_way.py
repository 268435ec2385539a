"""Which way: does a quantity rise, fall or stay when one value rises? By exact derivatives, told along the walk."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from typing import Any

from problems.answers.verdict import Sentence, Verdict
from problems.asks.question import Answer, AskFault, Fields, Rung, Standing, Unfinished, check_numeric, unread
from problems.asks.sensitivity import Slopes, slopes
from problems.asks.ways import way_in
from problems.circuits.netlist import Netlist
from problems.derivation.law import Place
from problems.derivation.lesson import Lesson
from problems.derivation.step import Step
from problems.formulas.dual import Dual
from problems.formulas.expression import keys
from problems.formulas.printers import engineering
from problems.quantities import Quantity, canonical, voltage
from problems.words import listed, say

KEY = "which-way"
WHEN = "when"
FIELDS: Mapping[str, type] = {KEY: str, WHEN: str}
EXAMPLE = "which-way V_out Rf"
_FILLERS = frozenset({"when", "if", "as"})


class NoSuchValue(AskFault):
    """Nothing in the circuit has a value of that name. fields: name, known."""

    key = "no-such-value"


def read(text: str) -> Fields:
    """The fields of ``which-way V_out Rf``. Raises Unfinished."""
    words = [word for word in text.split() if word.lower() not in _FILLERS]
    if len(words) != len(FIELDS):
        raise Unfinished(ask=KEY, example=EXAMPLE)
    return dict(zip(FIELDS, words, strict=True))


def name(netlist: Netlist, fields: Fields) -> str:
    """``which-way V_out Rf``. Raises UnknownQuantity, NoSuchValue."""
    return f"{KEY} {canonical(netlist.names.read(fields[KEY]))} {symbol_of(netlist, fields[WHEN])}"


def check(netlist: Netlist, fields: Fields) -> None:
    """Raises UnknownQuantity, NoSuchValue."""
    name(netlist, fields)


def symbol_of(netlist: Netlist, word: str) -> str:
    """The symbol of a value, by its own name or by that of a part that has it. Raises NoSuchValue."""
    if word in netlist.units:
        return word
    symbols = [p.symbol for part in netlist.parts if part.name == word for p in part.parameters]
    if not symbols:
        raise NoSuchValue(name=word, known=", ".join(netlist.units))
    return symbols[0]


def pose(lesson: Lesson, fields: Fields, lot: int) -> WhichWay:
    """The question; ``lot`` has nothing to choose. Raises UnknownQuantity, AskFault, and what walks raise."""
    target = lesson.netlist.names.read(fields[KEY])
    check_numeric(lesson, lesson.netlist.names.head(target))
    way = WhichWay(lesson, target, symbol_of(lesson.netlist, fields[WHEN]), lesson.walk((target,)))
    return CarriedWay(way.lesson, way.target, way.symbol, way.steps) if way.turns_round else way


@dataclass(frozen=True)
class WhichWay:
    """Which way ``target`` goes when the value of ``symbol`` rises. steps: the walk to it."""

    lesson: Lesson = field(repr=False, compare=False)
    target: Quantity
    symbol: str
    steps: tuple[Step, ...] = field(repr=False, compare=False)

    needs = ("way",)
    lines = ()

    @property
    def name(self) -> str:
        return f"{KEY} {canonical(self.target)} {self.symbol}"

    @property
    def targets(self) -> tuple[Quantity, ...]:
        return (self.target,)

    @property
    def _about(self) -> dict[str, str]:
        return {"target": self.lesson.netlist.names.head(self.target), "when": self.symbol}

    @property
    def title(self) -> str:
        return say("which-way.title", **self._about)

    @property
    def text(self) -> str:
        return say("which-way.text", **self._about)

    # ---- what moves

    @cached_property
    def slopes(self) -> Slopes:
        """Of every quantity of the circuit, and of what the walk makes on its way, such as parts taken as one."""
        found = dict(slopes(self.lesson, self.symbol))
        values = self.lesson.netlist.values
        moving: dict[Hashable, Any] = {key: Dual(value) for key, value in values.items()}
        moving[self.symbol] = Dual.of(self.symbol, values[self.symbol])
        for step in self.steps:
            if step.target not in found and step.role == "law":
                tails: dict[Hashable, Any] = {
                    tail: Dual(self.lesson.values[tail], {self.symbol: found[tail]}) for tail in step.rule.tails
                }
                moved = step.rule.relation.at({**moving, **tails})
                found[step.target] = (
                    moved.slopes.get(self.symbol, Fraction(0)) if isinstance(moved, Dual) else Fraction(0)
                )
        return found

    @property
    def sign(self) -> int:
        """+1 where the target rises with the value, -1 where it falls, 0 where it stays."""
        return self._sign(self.target)

    def _sign(self, quantity: Quantity) -> int:
        if quantity.kind == "B":
            slope = self.slopes[voltage(quantity.of)] - self.slopes[voltage(quantity.to)]
        else:
            slope = self.slopes[quantity]
        return (slope > 0) - (slope < 0)

    @property
    def _entries(self) -> tuple[Step, ...]:
        """The steps whose law has the value in it."""
        return tuple(step for step in self.steps if self.symbol in keys(step.rule.relation))

    @property
    def _moving(self) -> tuple[Step, ...]:
        """The steps whose quantity moves, in the order of the walk."""
        return tuple(step for step in self.steps if step.role != "assume" and self._sign(step.target))

    def _still(self) -> tuple[str, ...]:
        """What stands still before the first thing that moves."""
        moving = self._moving
        end = self.steps.index(moving[0]) if moving else len(self.steps)
        return tuple(step.label for step in self.steps[:end] if step.role != "assume")

    def _told(self, step: Step) -> str:
        """``V_out = V_2 − I_Rf·Rf falls as Rf rises.``"""
        key = "which-way.rises" if self._sign(step.target) > 0 else "which-way.falls"
        return say(key, relation=str(step.relation), when=self.symbol)

    @cached_property
    def chain(self) -> tuple[str, ...]:
        """What moves, which way, and what does not, step by step; for one that stays, where the effect dies and why."""
        still = self._still()
        key = "which-way.still-one" if len(still) == 1 else "which-way.still"
        said = [say(key, labels=listed(still), when=self.symbol)] if still and self.sign else []
        said += [self._told(step) for step in self._moving]
        return (*said, *(() if self.sign else (self._death(),)))

    def _death(self) -> str:
        """Why the target stays."""
        moving, entries = self._moving, self._entries
        if moving:
            last = next(s for s in self.steps[self.steps.index(moving[-1]) :] if s.target != moving[-1].target)
            moved = listed(tuple(step.label for step in moving if step.target in last.rule.tails))
            return say("which-way.cancels", relation=str(last.relation), moved=moved, label=last.label)
        if entries:
            return say("which-way.nought", relation=str(entries[0].relation), label=entries[0].label, when=self.symbol)
        return self._outside()

    def _outside(self) -> str:
        """Why a value that no step of the walk has in it does not matter."""
        view = self.lesson.laws.view
        for part in self._parts:
            for step in self.steps:
                if part in step.place.parts:
                    key = "no-current" if step.law == "no-current" else "not-in"
                    return say(f"which-way.{key}", part=part, relation=str(step.relation), why=step.why)
            nodes = {node for branch in view.branches if branch.part == part for node in (branch.start, branch.end)}
            held = next((node for node in nodes if node in view.outputs), None)
            if held is not None:
                return say("which-way.output-held", part=part, node=view.node_label(held), amp=view.outputs[held].name)
            if any(node in self.lesson.netlist.held for node in nodes):
                return say("which-way.source-held", part=part, **self._about)
        return say("which-way.not-on-the-way", **self._about)

    @property
    def _parts(self) -> tuple[str, ...]:
        """The parts that have the value."""
        parts = self.lesson.netlist.parts
        return tuple(part.name for part in parts if any(p.symbol == self.symbol for p in part.parameters))

    @property
    def turns_round(self) -> bool:
        """Whether something moves by the time an unknown is found, so that lines before rest on what comes after."""
        last = max((place for place, step in enumerate(self.steps) if step.role != "law"), default=-1)
        return any(self._sign(step.target) for step in self.steps[: last + 1])

    # ---- judging

    def judge(self, text: str, standing: Standing) -> Answer | None:
        """A way that is right, wrong, or right of the size alone; None for a statement about the circuit."""
        if "=" in text:
            return None
        said = way_in(text)
        if said is None:
            return unread("which-way.unread", **self._about)
        value = self.lesson.values[self.target]
        turned = -1 if value < 0 else 1
        if said.of_size:
            meant = said.sign * turned if value else abs(said.sign) * self.sign
            return self._right(size=bool(said.sign)) if meant == self.sign else self._wrong(meant, standing)
        if said.sign == self.sign:
            return self._right()
        if said.sign and self.sign and turned < 0:
            return Answer(Verdict("wrong", (Sentence("which-way.size-only", self._about),), free=True))
        return self._wrong(said.sign, standing)

    def _right(self, size: bool = False) -> Answer:
        way = {1: "rises", -1: "falls", 0: "stays"}[self.sign]
        why = " ".join(self.chain)
        if self.sign:
            why = self._entrance + self.chain[-1]
        sentences = [Sentence(f"which-way.right-{way}", {**self._about, "why": why})]
        if size or (self.sign and self.lesson.values[self.target] < 0):
            sentences.append(Sentence(f"which-way.{'size' if size else 'below'}-{way}", self._about))
        return Answer(Verdict("right", tuple(sentences)), frozenset(self.needs))

    @property
    def _entrance(self) -> str:
        """The first that moves, where that is not what is asked."""
        first = self._moving[0]
        return "" if first.target == self.target else say("which-way.comes-in", told=self._told(first)) + " "

    def _wrong(self, claimed: int, standing: Standing) -> Answer:
        """At first where to look; from the second wrong answer on, the first step that goes another way."""
        moving, entries = self._moving, self._entries
        again = standing.tries > 0
        if self.sign:
            first = moving[0]
            key = "which-way.first-moves" if again and first.target != self.target else "which-way.enters"
            key = "which-way.does-move" if not claimed and not again else key
        else:
            first = entries[0] if entries else self.steps[-1]
            key = "which-way.dies-at" if entries else "which-way.nowhere" if again else "which-way.where"
        fields = {**self._about, "relation": str(first.relation), "told": self._told(first) if moving else ""}
        return Answer(Verdict("wrong", (Sentence("which-way.goal", self._about), Sentence(key, fields))))

    # ---- help

    @property
    def solution(self) -> tuple[str, ...]:
        way = {1: "rises", -1: "falls", 0: "stays"}[self.sign]
        return (*self.chain, say(f"which-way.so-{way}", **self._about))

    @cached_property
    def rungs(self) -> tuple[Rung, ...]:
        place = Place(parts=self._parts)
        walk = tuple(str(step.relation) for step in self.steps if step.role != "assume")
        before = self.chain[:-1] if self.sign else ()
        return (
            Rung(say("which-way.look", **self._about), place),
            Rung(say("which-way.walk", walk="; ".join(walk), **self._about), place),
            *(Rung(sentence, place) for sentence in before),
            Rung(" ".join(self.solution), place),
        )


class CarriedWay(WhichWay):
    """The same where the walk carries an unknown that moves: no line of it shows a way before the unknown is found, so
    each change is told by its exact derivative alone."""

    @cached_property
    def chain(self) -> tuple[str, ...]:
        """That the lines lead round, which of its quantities rise and which fall, and the rate of the target."""
        told: list[str] = []
        for sign, key in ((1, "all-rise"), (-1, "all-fall")):
            moving = (
                step.label for step in self.steps if step.target != self.target and self._sign(step.target) == sign
            )
            labels = tuple(dict.fromkeys(moving))
            number = "-one" if len(labels) == 1 else ""
            told += [say(f"which-way.{key}{number}", labels=listed(labels), when=self.symbol)] if labels else []
        return (say("which-way.carried", relation=self._closing, **self._about), *told, self._rate())

    def _rate(self) -> str:
        """``The exact derivative of V_out with respect to RL is 512 µV per Ω.``"""
        slope = self.slopes.get(self.target)
        if slope is None:
            slope = self.slopes[voltage(self.target.of)] - self.slopes[voltage(self.target.to)]
        unit = self.lesson.netlist.units[self.symbol]
        per = {"": "", "ohm": "Ω"}.get(unit, unit)
        rate = engineering(slope, self.target.unit) if slope else "0"
        return say("which-way.rate-per" if slope and per else "which-way.rate", rate=rate, unit=per, **self._about)

    @property
    def _closing(self) -> str:
        """The law on which the last unknown closes."""
        return str(next(step.relation for step in reversed(self.steps) if step.role == "close"))

    @property
    def _entrance(self) -> str:
        return ""

    def _wrong(self, claimed: int, standing: Standing) -> Answer:
        sentence = Sentence("which-way.carried-ask", {**self._about, "relation": self._closing})
        return Answer(Verdict("wrong", (Sentence("which-way.goal", self._about), sentence)))

    @cached_property
    def rungs(self) -> tuple[Rung, ...]:
        place = Place(parts=self._parts)
        ask = say("which-way.carried-ask", relation=self._closing, **self._about)
        return (
            Rung(say("which-way.carried-look", **self._about), place),
            Rung(ask, place),
            Rung(" ".join(self.solution), place),
        )
