"""A family's file as a definition that can be drawn from: drawing, candidates, rules and asks, all checked together."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from typing import Any

import msgspec

from problems.asks.question import AskFault
from problems.asks.registry import ask_kinds
from problems.circuits.drawing import Drawing, DrawingError, read_drawing
from problems.circuits.drawing.board import WIDEST
from problems.circuits.netlist import PACKAGES
from problems.derivation.law import Misuse
from problems.formulas.spelling import inert
from problems.problem import Circuit
from problems.quantities import LAPLACE, Quantity, UnknownQuantity, canonical
from problems.templates.eseries import preferred
from problems.templates.faults import Fault, near
from problems.templates.keep import BadRule, Rule, read_rule
from problems.templates.library import families
from problems.templates.linemap import line_map
from problems.templates.ranges import candidates, senseless
from problems.templates.report import FaultList
from problems.templates.schema import Choice, Find, Fixed, Series, Twin, asks_of, check, twin_of, value_of
from problems.templates.sides import BadSide, Side, could_be, read_side, search_side
from problems.templates.twin import NoStem, Stem, fits, stem_of

LONGEST = 200_000
"""Characters of a file; a family has some two thousand."""
STAND_INS: Mapping[str, tuple[Fraction, ...]] = {
    "ohm": preferred("E3", Fraction(1000), Fraction(470_000)),
    "V": tuple(Fraction(tenths, 10) for tenths in (1, -1, 5, -5, 10, -10, 20, 50)),
    "A": tuple(Fraction(micro, 10**6) for micro in (1, -1, 10, -10, 100, 1000)),
    "": tuple(Fraction(tenths, 10) for tenths in (3, 0, 5, 8, 10)),
}
"""Candidates, by unit, in place of those that a faulty file does not give, so that the rest of it can be looked at."""
_FIELD = re.compile(r"\{([^{}]*)\}")
_TOML_PLACE = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)")


@dataclass(frozen=True)
class Ask:
    """One question. quantity: what is asked. apart: wrong moves whose values must all differ in every variant."""

    quantity: Quantity
    apart: tuple[str, ...] = ()


@dataclass(frozen=True)
class QuestionAsk:
    """A question of another kind. place: its number among the [[ask]] tables. after: values asked before it."""

    place: int
    kind: str
    fields: Mapping[str, Any]
    after: int


@dataclass(frozen=True)
class Definition:
    """What a family is, apart from the format of its file.

    netlist: the circuit with the first candidate of every value. candidates: what each value is drawn from, in the
    order of the file. hints: a sentence of the author's own for the step of a quantity. twin: what it is a twin of.
    """

    name: str
    title: str
    drawing: Drawing
    netlist: Circuit
    asks: tuple[Ask, ...]
    questions: tuple[QuestionAsk, ...] = ()
    topic: str = ""
    statement: str = ""
    setting: str = ""
    caution: str = ""
    candidates: Mapping[str, tuple[Fraction, ...]] = field(default_factory=dict)
    rules: Mapping[str, Rule] = field(default_factory=dict)
    hints: Mapping[Quantity, str] = field(default_factory=dict)
    twin: Twin | None = None

    @cached_property
    def recalled(self) -> Mapping[Quantity, tuple[Misuse, ...]]:
        """Wrong moves that no law of the circuit has: the formula of the family that this one is a twin of.

        Nothing where the two are one circuit in two drawings, for then the formula is right.
        """
        if self.twin is None:
            return {}
        stem = stem_of(self.twin.of)
        output, move = self.netlist.names.read(stem.output), stem.recalled(self.twin.names)
        return {} if fits(move, output, self.netlist) else {output: (move,)}

    @property
    def targets(self) -> tuple[Quantity, ...]:
        """The quantities asked, in order."""
        return tuple(ask.quantity for ask in self.asks)


def define(text: str, name: str, file: str) -> tuple[Definition | None, tuple[Fault, ...]]:
    """The definition, or None and everything that is wrong with the shape of its file.

    text: the file's content. name: the family's. file: what to call the file in messages.
    """
    draft, report = draft_of(text, name, file)
    return (None if report.found else draft), report.faults


def draft_of(text: str, name: str, file: str) -> tuple[Definition | None, FaultList]:
    """As much of the definition as can be made whatever is wrong, for looking further; None without a circuit."""
    text = text.replace("\r\n", "\n")
    raw = _parsed(text, FaultList(file, {}))
    if isinstance(raw, FaultList):
        return None, raw
    report = FaultList(file, line_map(text))
    return _Definer(raw, name, report).draft(), report


def _parsed(text: str, report: FaultList) -> dict[str, Any] | FaultList:
    """The tables of the file, or the one fault of a text that is not TOML: nothing behind it can be trusted."""
    unreadable = re.search("[\ud800-\udfff]", text)  # what a decoder leaves of bytes that are not UTF-8
    if len(text) > LONGEST:
        report.whole("too-long", 1, most=LONGEST)
    elif unreadable:
        report.whole("not-text", text.count("\n", 0, unreadable.start()) + 1)
    else:
        try:
            return tomllib.loads(text, parse_float=Decimal)
        except RecursionError:
            report.whole("toml-deep", 1)
        except (ValueError, ArithmeticError) as error:
            place = _TOML_PLACE.search(str(error))
            message = inert(_TOML_PLACE.sub("", str(error)), 120)
            line, column = (int(place[1]), int(place[2])) if place and place[1] else (1, 0)
            report.whole("toml", line, column, message=message)
    return report


class _Definer:
    """Reads one file, part by part; each part goes on whatever is wrong with the others."""

    def __init__(self, raw: Mapping[str, Any], name: str, report: FaultList):
        self.raw, self.name, self.report = raw, name, report
        self.text = raw.get("drawing") if isinstance(raw.get("drawing"), str) else ""
        found = re.findall(r"\w+", str(self.text))
        self.words = tuple(dict.fromkeys(word for word in found if word not in ("o", "GND")))

    def draft(self) -> Definition | None:
        """What can be made of the file; stand-ins take the place of values that are missing or make no sense."""
        file = check(self.raw, self.report)
        package = self.package()
        drawing = self.drawing()
        entries = dict(self.entries())
        netlist = self.netlist(drawing, entries, package)
        values = self.values(entries, netlist)
        rules, (asks, questions) = self.rules(netlist), self.asks(netlist)
        hints = self.hints(netlist)
        twin = self.twin(netlist)
        self.fields(entries, netlist)
        if drawing is None or netlist is None:
            return None
        stand_ins = {
            symbol: STAND_INS.get(unit, (Fraction(1),))
            for symbol, unit in netlist.units.items()
            if symbol not in netlist.values
        }
        values = stand_ins | {name: options for name, options in values.items() if options}
        return Definition(
            name=self.name,
            title=file.title if file else "",
            drawing=drawing,
            netlist=netlist.with_values({name: options[0] for name, options in values.items()}),
            asks=asks,
            questions=questions,
            topic=file.topic if file else "",
            statement=" ".join(file.statement.split()) if file else "",
            setting=" ".join(file.setting.split()) if file else "",
            caution=" ".join(file.caution.split()) if file else "",
            candidates={name: values[name] for name in (*entries, *stand_ins) if name in values},
            rules=rules,
            hints=hints,
            twin=twin,
        )

    def package(self) -> str:
        package = self.raw.get("package", "single")
        if isinstance(package, str) and package in PACKAGES:
            return package
        if isinstance(package, str):
            self.report(("package",), "package", name=inert(package), near=near(package, PACKAGES))
        return "single"

    def drawing(self) -> Drawing | None:
        """The drawing, its faults told with the lines of the file."""
        if not self.text:
            return None
        rows = str(self.text).split("\n")
        wide = next(((row, len(line)) for row, line in enumerate(rows, 1) if len(line.rstrip()) > WIDEST), None)
        if wide is not None:
            self.report.inside(("drawing",), wide[0], WIDEST + 1, "wide", width=wide[1], most=WIDEST)
        try:
            return read_drawing(str(self.text))
        except DrawingError as error:
            for fault in error.faults:
                self.report.drawn(("drawing",), fault)
        return None

    def entries(self) -> Iterator[tuple[str, Series | Choice | Fixed | None]]:
        """The entries of [values]; None where one has no shape."""
        values = self.raw.get("values")
        for name, raw in values.items() if isinstance(values, dict) else ():
            yield name, value_of(raw, ("values", name), self.report)

    def netlist(self, drawing: Drawing | None, entries: Mapping[str, Any], package: str) -> Circuit | None:
        """The circuit with symbols for values; [values] says which terminals are driven."""
        if drawing is None:
            return None
        driven = {name: name for name in entries if name in drawing.terminal_names}
        try:
            parts = drawing.parts(driven, package)
            looked_at = {name: Fraction(name != LAPLACE) for name in Circuit(parts).conditions if name in entries}
            netlist = Circuit(parts, looked_at, package=package, drawing=drawing)
        except ValueError as error:
            self.report(("drawing",), "circuit", message=inert(str(error), 400))
            return None
        for symbol in netlist.units:
            if symbol not in entries and symbol not in netlist.values:
                self.report(("values",), "no-value", name=symbol)
        return netlist

    def values(self, entries: Mapping[str, Any], netlist: Circuit | None) -> Mapping[str, tuple[Fraction, ...]]:
        """Candidates by symbol, in the order of the file."""
        found: dict[str, tuple[Fraction, ...]] = {}
        for name, entry in entries.items():
            path = ("values", name)
            if self.unknown_value(name, netlist):
                known = netlist.settable if netlist else self.words
                self.report(path, "unknown-value", name=inert(name), near=near(name, known))
            elif netlist is not None and name in netlist.values and name not in netlist.conditions:
                self.report(path, "value-twice", name=inert(name))
            elif entry is not None:
                found[name] = candidates(entry, self.unit(name, entry, netlist), path, self.report)
        if netlist is not None:
            self.boxes(netlist)
        return found

    def boxes(self, netlist: Circuit) -> None:
        """The values written into the drawing."""
        for symbol, value in netlist.values.items():
            wrong = senseless(value, netlist.units[symbol]) if symbol in netlist.units else None
            if wrong is not None:
                self.report(("drawing",), f"value-{wrong}", value=f"{symbol} = {value}")

    def unknown_value(self, name: str, netlist: Circuit | None) -> bool:
        """Whether nothing in the circuit has that value; a broken drawing is still searched for the word."""
        if netlist is not None:
            return name not in netlist.settable
        return bool(self.text) and name not in self.words and not re.fullmatch(r"k(_\w+)?", name)

    def unit(self, name: str, entry: Series | Choice | Fixed, netlist: Circuit | None) -> str:
        """The unit of a value: that of its part, or what the file says where the drawing cannot be read."""
        if netlist is not None:
            return netlist.settable[name]
        guess = {"R": "ohm", "C": "F", "L": "H", "V": "V", "I": "A"}.get(name[:1], "")
        return guess if entry.unit in ("", guess) else entry.unit

    def rules(self, netlist: Circuit | None) -> Mapping[str, Rule]:
        """The keep-rules, by the text they are written as."""
        keep = self.raw.get("keep")
        texts = keep.get("rules") if isinstance(keep, dict) else None
        found: dict[str, Rule] = {}

        def read(side: str) -> tuple[Side, ...]:
            return search_side(side, self.words) if netlist is None else read_side(side, netlist)

        for place, text in enumerate(texts if isinstance(texts, list) else ()):
            path = ("keep", "rules", place)
            try:
                if isinstance(text, str):
                    found[text] = read_rule(text, read)
            except BadRule as error:
                self.report(path, f"rule-{error.reason}", rule=inert(text), **error.fields)
            except BadSide as error:
                self.report(path, "rule-unread", rule=inert(text), side=error.text, message=error.message)
        return found

    def asks(self, netlist: Circuit | None) -> tuple[tuple[Ask, ...], tuple[QuestionAsk, ...]]:
        """The values asked for, and the questions of other kinds, each in order."""
        found: list[Ask] = []
        questions: list[QuestionAsk] = []
        for place, kind, ask in asks_of(self.raw.get("ask")):
            if not isinstance(ask, Find):
                fields = msgspec.to_builtins(ask)
                if netlist is not None and self.can_ask(place, kind, fields, netlist):
                    questions.append(QuestionAsk(place, kind, fields, len(found)))
                continue
            quantity = self.quantity(ask.find, ("ask", place, "find"), netlist)
            if quantity is None:
                continue
            if any(quantity == earlier.quantity for earlier in found):
                self.report(("ask", place, "find"), "asked-twice", name=inert(ask.find))
            found.append(Ask(quantity, ask.apart))
        return tuple(found), tuple(questions)

    def can_ask(self, place: int, kind: str, fields: Mapping[str, Any], netlist: Circuit) -> bool:
        """Whether the circuit has what a question speaks of."""
        path = ("ask", place, kind)
        try:
            ask_kinds()[kind].check(netlist, fields)
        except UnknownQuantity as error:
            self.report(path, "unknown-quantity", name=inert(error.name), near=near(error.name, error.known))
        except AskFault as fault:
            self.report(path, "ask", says=fault.says, remedy=fault.remedy)
        else:
            return True
        return False

    def hints(self, netlist: Circuit | None) -> Mapping[Quantity, str]:
        written = self.raw.get("hints")
        found: dict[Quantity, str] = {}
        for name, sentence in written.items() if isinstance(written, dict) else ():
            quantity = self.quantity(name, ("hints", name), netlist)
            if quantity is not None:
                found[quantity] = sentence
        return found

    def twin(self, netlist: Circuit | None) -> Twin | None:
        """The twin mark, as far as it makes sense."""
        twin = twin_of(self.raw.get("twin"))
        if twin is None:
            return None
        before = len(self.report.found)
        try:
            if twin.of == self.name:
                raise NoStem(twin.of, "is-twin")
            stem = stem_of(twin.of)
        except NoStem as error:
            known = near(twin.of, [known.name for known in families()]) if error.reason == "unknown" else ""
            self.report(("twin", "of"), f"stem-{error.reason}", name=inert(twin.of), near=known)
            return None
        if netlist is not None:
            self.twin_names(twin, stem, netlist)
        return twin if len(self.report.found) == before else None

    def twin_names(self, twin: Twin, stem: Stem, netlist: Circuit) -> None:
        """Whether the formula of the stem can be written with the values of this circuit."""
        for name in twin.names:
            if name not in stem.units:
                about = {"name": inert(name), "of": twin.of, "near": near(name, stem.units)}
                self.report(("twin", "names", name), "stem-value", **about)
        for symbol in stem.symbols:
            name = twin.names.get(symbol, symbol)
            if netlist.units.get(name) != stem.units[symbol]:
                path = ("twin", "names", symbol) if symbol in twin.names else ("twin",)
                self.report(path, "stem-lacks", symbol=symbol, name=inert(name), of=twin.of)
        if stem.output not in map(canonical, netlist.names.readings.values()):
            self.report(("twin", "of"), "stem-output", name=stem.output, of=twin.of)

    def quantity(self, name: str, path: tuple[str | int, ...], netlist: Circuit | None) -> Quantity | None:
        """A quantity by name; where the drawing is broken, only a word that is nowhere in it is reported."""
        if netlist is None:
            if self.text and not could_be(name, self.words):
                self.report(path, "unknown-quantity", name=inert(name), near="")
            return None
        try:
            return netlist.names.read(name)
        except UnknownQuantity as error:
            self.report(path, "unknown-quantity", name=inert(name), near=near(name, error.known))
            return None

    def fields(self, entries: Mapping[str, Any], netlist: Circuit | None) -> None:
        """The fields in braces of the sentences."""
        known = tuple(netlist.units) if netlist is not None else (*entries, *self.words, "k")
        for key in ("statement", "setting"):
            sentence = self.raw.get(key)
            if not isinstance(sentence, str):
                continue
            for name in _FIELD.findall(sentence):
                if name.strip() not in known:
                    self.report((key,), "unknown-field", name=inert(name), near=near(name, known))
            if set("{}") & set(_FIELD.sub("", sentence)):
                self.report((key,), "brace")


def fill(sentence: str, values: Mapping[str, str]) -> str:
    """A sentence with its fields in braces filled in; a field without a value stays as it is."""
    return _FIELD.sub(lambda match: values.get(match[1].strip(), match[0]), sentence)
