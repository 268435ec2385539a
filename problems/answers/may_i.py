"""“May I use … here?”: a question about a law by name, answered with its condition and whether that holds."""

from __future__ import annotations

import re

from problems.circuits.netlist import Netlist
from problems.derivation.condition import Question, Spot
from problems.derivation.law import NOWHERE, Place
from problems.derivation.laws.registry import questions
from problems.derivation.lesson import Lesson
from problems.formulas.spelling import inert
from problems.formulas.tokens import MAX_LENGTH
from problems.quantities import GROUND, UnknownQuantity
from problems.words import say

_ASKS = re.compile(r"\s*(?:may|can|could|should|do)\s+(?:i|we)\b\s*(?:use|take|apply|say|assume)?\b", re.IGNORECASE)
_FILLER = re.compile(
    "at|for|the|of|to|on|and|with|between|from|node|pin|part|op-amp|opamp|here|law|rule|is|are|an?|it|this|there|point|by"
    "|or|through|current",
    re.IGNORECASE,
)
"""Words of a question that name no place."""
EXAMPLE = "divider at node q"


def is_question(text: str, *, naming: bool = False) -> bool:
    """Whether a line asks about a law rather than stating something: ``may I …``, or a law by its name.

    naming: whether a law by its name alone is an answer here; it then asks only with a question mark.
    """
    if _ASKS.match(text[:MAX_LENGTH]):
        return True
    found = _law(_plain(text)) if "=" not in text and len(text) <= MAX_LENGTH else None
    return found is not None and ((found[1] == 0 and not naming) or text.rstrip().endswith("?"))


def may_i(lesson: Lesson, text: str, here: Place = NOWHERE) -> str:
    """The answer in words. here: what stands for a place where none is named. Never raises for what can be typed."""
    if len(text) > MAX_LENGTH:
        return say("may.too-long", example=EXAMPLE)
    plain = _plain(text)
    found = _law(plain)
    if found is None:
        known = ", ".join(question.names[0] for question in questions())
        return say("may.which", known=known, example=EXAMPLE)
    question, start, end = found
    words = re.findall(r"[^\s,;()]+", f"{plain[:start]} {plain[end:]}")
    spot, strange = _spot(words, lesson.netlist)
    if strange:
        return say("may.place", written=inert(strange, 30))
    completed = _completed(spot, question, here, lesson.netlist)
    if completed is None:
        return say(f"may.{question.key}")
    ruling = question.ruling(lesson.laws.view, completed)
    return say(f"may.{ruling.key}", **ruling.fields)


def _plain(text: str) -> str:
    """The question without its first words and its mark."""
    return _ASKS.sub("", text, count=1).strip().rstrip("?!. ").replace("’", "'")


def _law(plain: str) -> tuple[Question, int, int] | None:
    """The law that is named, with where its name stands; the longest name that fits."""
    lowered = plain.lower().replace("-", " ")
    found = [
        (len(name), question, match.start(), match.end())
        for question in questions()
        for name in question.names
        if (match := re.search(rf"(?<![\w.]){re.escape(name)}(?![\w.])", lowered))
    ]
    longest = max(found, key=lambda each: each[0], default=None)
    return None if longest is None else longest[1:]


def _spot(words: list[str], netlist: Netlist) -> tuple[Spot, str]:
    """The places named, and the first word that is none of them."""
    nodes: list[str] = []
    parts: list[str] = []
    amps: list[str] = []
    for word in words:
        node = _node(word, netlist)
        part = _part(word, netlist)
        if part is not None:
            (amps if part in {amp.name for amp in netlist.opamps} else parts).append(part)
        elif node is not None:
            nodes.append(node)
        elif not _FILLER.fullmatch(word):
            return Spot(), word
    return Spot(tuple(nodes), tuple(parts), tuple(amps)), ""


def _part(word: str, netlist: Netlist) -> str | None:
    """A part, or half a track, by its name or that of its current."""
    known = {name.lower(): name for name in (*netlist.branch_names, *(part.name for part in netlist.parts))}
    shorter = word[2:] if word[:2] in ("I_", "i_") else word
    return known.get(shorter.lower())


def _node(word: str, netlist: Netlist) -> str | None:
    """A node by its name, by a pin, by a terminal, or by its voltage."""
    if word.lower() in {"ground", "gnd"}:
        return GROUND
    if word in netlist.nodes and word != GROUND:
        return word
    if word in netlist.pins:
        return netlist.pins[word]
    try:
        found = netlist.names.read(word if word[:1] in "Vv" else f"V_{word}")
    except UnknownQuantity:
        return next((node for node, label in netlist.terminals.items() if label.lower() == word.lower()), None)
    return found.of if found.kind == "V" else None


def _completed(spot: Spot, question: Question, here: Place, netlist: Netlist) -> Spot | None:
    """The spot with what the question needs, from the place at hand where it was not named; None without."""
    amps = [amp.name for amp in netlist.opamps]
    pins = tuple(netlist.pins[pin] for pin in here.pins if pin in netlist.pins)
    if question.needs == "node" and not spot.nodes:
        found = spot._replace(nodes=() if spot.parts else (pins or here.nodes))
        return found if found.nodes else None
    if question.needs == "amp" and not spot.amps:
        touched = [a.name for a in netlist.opamps if {a.minus, a.plus, a.out} & {*spot.nodes}]
        found = spot._replace(amps=tuple(touched or (amps if len(amps) == 1 else ())))
        return found if found.amps else None
    least = {"part": 1, "parts": 2}.get(question.needs, 0)
    if len(spot.parts) < least:
        parts = tuple(part for part in here.parts if part not in amps)
        return spot._replace(parts=parts) if len(parts) >= least and not spot.parts else None
    return spot
