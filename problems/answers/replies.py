"""The replies to a statement: verdict in words, goal of the step, what the value would mean, a question."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from fractions import Fraction
from typing import Any

from problems.answers.direction import Direction, ends
from problems.answers.moves import Fit
from problems.answers.tolerance import same_direction, same_size
from problems.answers.values import only_names
from problems.answers.verdict import Sentence, Verdict
from problems.answers.vocabulary import label, labels
from problems.derivation.law import Law, said
from problems.derivation.lesson import Lesson
from problems.derivation.step import worded
from problems.formulas.expression import Call, Expression, Name, Negative, Number, Product
from problems.formulas.parser import Reading, Unreadable
from problems.formulas.phasor import Phasor, phase_of
from problems.formulas.printers import engineering, text
from problems.formulas.ratio import Ratio
from problems.formulas.spelling import inert
from problems.formulas.units import DIMENSIONS, Dimension, unit_name
from problems.quantities import GROUND, Quantity
from problems.words import has

UNIT_WORDS = {
    "V": "a voltage",
    "A": "a current",
    "ohm": "a resistance",
    "": "a pure number",
    "W": "a power",
    "Hz": "a frequency",
    "s": "a time",
    "V/s": "a voltage for each second",
    "deg": "an angle",
}


def named(quantity: Quantity, value: Fraction, lesson: Lesson) -> str:
    """``V_2 = 0.56 V``."""
    return f"{label(quantity, lesson.netlist)} = {engineering(value, quantity.unit)}"


def goal(quantity: Quantity, lesson: Lesson) -> Sentence:
    """What the step is for, from the law that the walk uses."""
    law = lesson.own_law(quantity)
    if law is not None and has(law.word_key("goal")):
        return Sentence("verdict.goal", {"goal": Sentence(law.word_key("goal"), dict(said(law.fields)))})
    return Sentence("verdict.goal-value", {"label": label(quantity, lesson.netlist)})


def why(law: Law | None) -> tuple[Sentence, ...]:
    """The one line after a right step."""
    if law is None or not has(law.word_key("why")):
        return ()
    return (Sentence(law.word_key("why"), dict(said(law.fields))),)


def states(laws: tuple[Law, ...]) -> tuple[Sentence, ...]:
    """A true equation that is new, and the laws that it states."""
    named = (Sentence(law.word_key("name"), dict(law.fields)) for law in laws)
    names = list({name.said(): name for name in named}.values())
    if not names:
        return (Sentence("verdict.equation-true"),)
    said = names[0]
    for name in names[1:]:
        said = Sentence("verdict.both", {"first": said, "second": name})
    return (Sentence("verdict.equation", {"law": said}),)


def flow(quantity: Quantity, value: Fraction, lesson: Lesson) -> Sentence | str:
    """Which way a current runs, behind its value."""
    start, end = ends(quantity, lesson.netlist)
    if quantity.kind != "I" or not value or start is None or end is None or isinstance(value, Phasor):
        return ""
    first, second = (lesson.laws.view.node_label(node) for node in (start, end))
    if value > 0:
        return Sentence("verdict.flow", {"first": first, "second": second})
    return Sentence("verdict.flow-back", {"first": first, "second": second})


def echo(
    reading: Reading, way: Direction | None, quantity: Quantity, value: Fraction, lesson: Lesson
) -> tuple[Sentence, ...]:
    """What was read, where it was not plain: a piece with two meanings, a sum with numbers, a direction."""
    if way is not None:
        fields = {
            "size": engineering(way.sign * value, quantity.unit, 4),
            "phrase": inert(way.phrase),
            "along": engineering(value, quantity.unit, 4),
            "label": label(quantity, lesson.netlist),
        }
        return (Sentence("verdict.read-way", fields),)
    single = (
        is_bare(reading.expression)
        or isinstance(_unsigned(reading.expression), Number | Name)
        or only_names(reading.expression)
    )
    if single and not reading.choices:
        return ()
    shown = text(reading.expression, lambda key: label(key, lesson.netlist))
    return (Sentence("verdict.read", {"text": shown, "value": engineering(value, quantity.unit, 4)}),)


def _unsigned(expression: Expression) -> Expression:
    while isinstance(expression, Negative):
        expression = expression.operand
    return expression


def unit_reply(quantity: Quantity, found: Dimension | None, lesson: Lesson) -> tuple[Sentence, ...]:
    """The unit does not belong to the quantity; ``found`` is None where unlike things were added."""
    fields = {
        "label": label(quantity, lesson.netlist),
        "kind": UNIT_WORDS[quantity.unit],
        "unit": _glyph(quantity.unit),
    }
    if found is None:
        return (Sentence("verdict.not-yet"), goal(quantity, lesson), Sentence("verdict.unit-clash", fields))
    name = unit_name(found)
    fields["found"] = UNIT_WORDS.get(name) or f"a quantity in {_glyph(name)}"
    return (
        Sentence("verdict.not-yet"),
        goal(quantity, lesson),
        Sentence("verdict.unit-wrong" if quantity.unit else "verdict.unit-none", fields),
    )


def _glyph(unit: str) -> str:
    return "Ω" if unit == "ohm" else unit


def half_right(value: Any, wanted: Any) -> str:
    """Which half of a phasor is off, where the other is right: ``phase-off`` or ``size-off``; else empty."""
    if not isinstance(wanted, Phasor) or not value or not wanted or isinstance(value, Ratio):
        return ""
    size, phase = same_size(value, wanted), same_direction(phase_of(value), phase_of(wanted))
    return "phase-off" if size and not phase else "size-off" if phase and not size else ""


def slip_reply(kind: str, quantity: Quantity, value: Fraction, lesson: Lesson) -> tuple[Sentence, ...]:
    """A slip named; a current or a drop against its reference is asked about its arrow."""
    fields: dict[str, str] = {"value": engineering(value, quantity.unit), "label": label(quantity, lesson.netlist)}
    key = kind
    if kind == "sign":
        key = {"I": "sign-arrow", "D": "sign-drop"}.get(quantity.kind, "sign")
        start, end = ends(quantity, lesson.netlist)
        if key == "sign-arrow" and start is not None and end is not None:
            fields |= {"first": lesson.laws.view.node_label(start), "second": lesson.laws.view.node_label(end)}
        elif key == "sign-arrow":
            key = "sign-pin"
    return (Sentence("verdict.not-yet"), goal(quantity, lesson), Sentence(f"verdict.{key}", fields))


def move_reply(
    fits: tuple[Fit, ...], quantity: Quantity, value: Fraction, lesson: Lesson, question: Sentence | None = None
) -> tuple[Sentence, ...]:
    """One wrong move: what the value would mean, and a question. Several: the question between them."""
    start = (Sentence("verdict.not-yet"), goal(quantity, lesson))
    moves = [worded(fit.misuse, value, quantity) for fit in fits[:2]]
    if len(fits) == 1:
        return (*start, Sentence("verdict.move", {"means": moves[0].why, "ask": moves[0].ask}))
    names = {"first": moves[0].name, "second": moves[1].name, "value": engineering(value, quantity.unit)}
    if question is not None:
        return (*start, Sentence("verdict.several", names), question)
    return (*start, Sentence("verdict.unclear", names))


def withheld_reply(
    quantity: Quantity,
    value: Fraction,
    rests_on: tuple[Quantity, ...],
    again: tuple[Quantity, ...],
    lesson: Lesson,
) -> tuple[Sentence, ...]:
    """What the student's own slip gives, where it takes a part of the step away."""
    fields = {
        "value": engineering(value, quantity.unit),
        "own": labels(rests_on, lesson.netlist),
        "again": labels(again, lesson.netlist),
    }
    return (Sentence("verdict.not-yet"), goal(quantity, lesson), Sentence("verdict.withheld", fields))


def accident_reply(quantity: Quantity, slips: tuple[Quantity, ...], lesson: Lesson) -> tuple[Sentence, ...]:
    """A formula in names that is no law gives the right value: by the learner's own values, or by those of parts."""
    if not slips:
        return (Sentence("verdict.not-general"),)
    fields = {
        "label": label(quantity, lesson.netlist),
        "own": labels(slips, lesson.netlist),
    }
    return (Sentence("verdict.by-own-value", fields),)


def unfound_reply(head: Quantity, unfound: tuple[Quantity, ...], lesson: Lesson) -> Sentence:
    """A true relation in quantities that are not found yet: which ones."""
    names = labels(unfound, lesson.netlist)
    return Sentence("verdict.unfound", {"label": label(head, lesson.netlist), "unfound": names})


def wrong_reply(quantity: Quantity, statement: str, lesson: Lesson) -> tuple[Sentence, ...]:
    """No cause fits: where to look, as the first rung of help says it."""
    start = (Sentence("verdict.not-yet"), goal(quantity, lesson))
    law = lesson.own_law(quantity)
    if law is None or not has(law.word_key("look")):
        fields = {"label": label(quantity, lesson.netlist), "statement": statement}
        return (*start, Sentence("verdict.wrong", fields))
    look = Sentence(law.word_key("look"), dict(said(law.fields)))
    return (*start, Sentence("verdict.wrong-look", {"statement": statement, "look": look}))


def carried_reply(
    quantity: Quantity, value: Fraction, rests_on: tuple[Quantity, ...], wrong: tuple[Quantity, ...], lesson: Lesson
) -> tuple[Sentence, ...]:
    """Right from the student's own values; an earlier value that is not right is named, to come back to."""
    fields = {
        "statement": named(quantity, value, lesson),
        "own": labels(rests_on, lesson.netlist),
        "again": labels(wrong, lesson.netlist),
    }
    return (Sentence("verdict.carried" if wrong else "verdict.carried-rounded", fields),)


def unreadable(why_not: Unreadable) -> Verdict:
    """What could not be read costs no try."""
    fields: Mapping[str, str] = {"place": str(why_not.place + 1), **why_not.fields}
    return Verdict("unreadable", (Sentence("unreadable.start"), Sentence(f"unreadable.{why_not.key}", fields)))


def no_value(key: str, name: Hashable, lesson: Lesson) -> Verdict:
    """What was read has no value here."""
    return unreadable(Unreadable(key, 0, {"name": label(name, lesson.netlist)}))


def is_bare(expression: Expression) -> bool:
    """A single number without a unit."""
    plain = _unsigned(expression)
    if isinstance(plain, Product) and isinstance(plain.factors[-1], Call) and plain.factors[-1].function == "turn":
        plain = plain.factors[0]
    return type(plain) is Number


def needs_unit(quantity: Quantity) -> bool:
    """Whether its values are written with a unit; those of resistances often go without (common practice)."""
    return DIMENSIONS[quantity.unit] not in (DIMENSIONS[""], DIMENSIONS["ohm"])


def at_ground(quantity: Quantity) -> bool:
    """Whether it is the voltage of ground itself."""
    return quantity.kind == "V" and quantity.of == GROUND
