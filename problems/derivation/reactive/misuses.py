"""Wrong moves with capacitors and inductors: at a frequency, at the corner, in time."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping
from fractions import Fraction
from typing import TYPE_CHECKING

from problems.circuits.closed import closed, without
from problems.circuits.conditions import reactive, source_of
from problems.circuits.first_order import (
    GAIN,
    SEEN,
    SLOPE_OUT,
    TAU,
    TWO_PI,
    tagged,
    time_constant,
)
from problems.circuits.parts.base import Part
from problems.circuits.parts.resistor import Resistor
from problems.derivation.law import CARRIED, Law, Misuse
from problems.derivation.reactive.joint import joint_law
from problems.formulas.expression import (
    ONE,
    ZERO,
    Call,
    Expression,
    Name,
    Negative,
    Number,
    Parallel,
    keys,
    substitute,
)
from problems.quantities import LAPLACE, TIME, Quantity, current, voltage

if TYPE_CHECKING:
    from problems.derivation.lesson import Lesson

_READ_OFF = 0.3
"""How much less likely a slip is when it is only read off one step later, as a size or a gain."""
HALF = Number(Fraction(1, 2), "1/2")


def joint_misuses(quantity: Quantity, lesson: Lesson) -> tuple[Misuse, ...]:
    """Wrong moves of a quantity that follows from states, likeliest first: of its law, and of what that rests on."""
    law = joint_law(quantity, lesson)
    if law is None:
        return ()
    behind = {tail: lesson.misuses(tail) for tail in law.tails if not lesson.is_given(tail)}
    place = (quantity, law.key, law.relation, tuple(behind), lesson.truth.bearing)
    return lesson.laws.reactive.of(place, tuple(behind.values()), lambda: _joint_misuses(law, behind, lesson))


def bearing(lesson: Lesson) -> Hashable:
    """What the makers below read of a lesson beside its structure: all that its values decide."""
    states = [key for key in lesson.values if isinstance(key, Quantity) and key.when]
    moves = frozenset((key, bool(lesson.values[key])) for key in states)
    return lesson.netlist.regime, moves, lesson.joint_relations.get(SEEN), TAU in lesson.joint_relations


def likeliest_first(found: Iterable[Misuse]) -> tuple[Misuse, ...]:
    """In order of rank."""
    return tuple(sorted(found, key=lambda misuse: misuse.rank))


def _joint_misuses(law: Law, behind: Mapping[Quantity, tuple[Misuse, ...]], lesson: Lesson) -> tuple[Misuse, ...]:
    found: dict[tuple[str, Expression], Misuse] = {}
    for misuse in (*_own(law, lesson), *_carried(law, behind)):
        if law.head not in keys(misuse.relation):
            known = found.get((misuse.key, misuse.relation))
            if known is None or misuse.rank < known.rank:
                found[misuse.key, misuse.relation] = misuse
    return likeliest_first(found.values())


def _own(law: Law, lesson: Lesson) -> Iterator[Misuse]:
    makers = {
        "corner": _corner,
        "seen": _seen,
        "time-constant": _time_constant,
        "response": _response,
        "even-rise": _even_rise,
        "slope": _slope,
        "gain": _gain,
        "size": _size,
        "phase": _phase,
        "natural-frequency": _natural,
        "quality": _quality,
    }
    return makers[law.key](law, lesson) if law.key in makers else iter(())


def _carried(law: Law, behind: Mapping[Quantity, tuple[Misuse, ...]]) -> Iterator[Misuse]:
    """Wrong moves of what the law rests on, carried through it."""
    step = _READ_OFF if law.key in ("size", "phase", "gain") else CARRIED
    for tail, misuses in behind.items():
        for misuse in misuses:
            yield misuse.carried(law.relation, tail, step)


def _part(lesson: Lesson) -> Part:
    return reactive(lesson.netlist.parts)[0]


def _wrong_resistances(lesson: Lesson) -> Iterator[tuple[str, float, Expression, Mapping[str, str]]]:
    """Other resistances than the one seen: another resistor, several in line, several side by side."""
    part = _part(lesson)
    symbols = list(dict.fromkeys(p.symbol for p in lesson.netlist.parts if isinstance(p, Resistor)))
    seen = lesson.joint_relations.get(SEEN)
    options: list[tuple[str, float, Expression, Mapping[str, str]]] = []
    for symbol in symbols:
        options.append(("other-resistor-seen", 0.6, Name(symbol), {"part": part.name, "other_part": symbol}))
    for place, one in enumerate(symbols):
        for two in symbols[place + 1 :]:
            fields = {"part": part.name, "first": one, "second": two}
            options.append(("seen-in-line", 0.8, Name(one) + Name(two), fields))
            options.append(("seen-in-parallel", 0.9, Parallel((Name(one), Name(two))), fields))
    yield from (option for option in options if option[2] != seen)


def _seen(law: Law, lesson: Lesson) -> Iterator[Misuse]:
    for key, rank, resistance, fields in _wrong_resistances(lesson):
        yield Misuse(key, resistance, rank, fields)


def _time_constant(law: Law, lesson: Lesson) -> Iterator[Misuse]:
    fields = {"part": _part(lesson).name}
    yield Misuse("upside-down", ONE / law.relation, 0.6, fields)
    value = Name(_part(lesson).parameters[0].symbol)
    inductor = _part(lesson).parameters[0].unit == "H"
    yield Misuse("factors-mixed", Name(SEEN) * value if inductor else Name(SEEN) / value, 0.8, fields)
    for key, rank, resistance, more in _wrong_resistances(lesson):
        yield Misuse(key, time_constant(_part(lesson), resistance), rank, more)


def _corner(law: Law, lesson: Lesson) -> Iterator[Misuse]:
    part, fields = _part(lesson), {"part": _part(lesson).name}
    pace = time_constant(part, Name(SEEN))
    yield Misuse("two-pi-left-out", ONE / pace, 0.4, fields)
    yield Misuse("time-constant-given", pace, 0.5, fields)
    yield Misuse("upside-down", TWO_PI * pace, 0.7, fields)
    yield Misuse("time-constant-over-two-pi", pace / TWO_PI, 0.9, fields)
    yield Misuse("two-pi-above", TWO_PI / pace, 0.8, fields)
    for key, rank, resistance, more in _wrong_resistances(lesson):
        yield Misuse(key, ONE / (TWO_PI * time_constant(part, resistance)), rank, more)
        yield Misuse(key, ONE / time_constant(part, resistance), rank + 0.9, more)


def _response(law: Law, lesson: Lesson) -> Iterator[Misuse]:
    first, last = Name(tagged(law.head, "t=0")), Name(tagged(law.head, "t=inf"))
    fields = {"quantity": law.fields["quantity"]}
    left = Call("exp", Negative(Name(TIME) / Name(TAU)))
    gap = Name(first.key) - Name(last.key)
    yield Misuse("growth-for-decay", last + gap * (ONE - left), 0.5, fields)
    yield Misuse("start-ignored", last * (ONE - left), 0.5, fields)
    yield Misuse("final-value-ignored", first * left, 0.6, fields)
    yield Misuse("final-value-ignored", last * left, 0.9, fields)
    yield Misuse("gap-sign", last - gap * left, 0.7, fields)
    yield Misuse("settled-already", last, 0.8, fields)
    yield Misuse("not-moved-yet", first, 0.8, fields)
    yield Misuse("exponent-upside-down", last + gap * Call("exp", Negative(Name(TAU) / Name(TIME))), 0.9, fields)
    yield Misuse("exponent-sign", last + gap * Call("exp", Name(TIME) / Name(TAU)), 0.9, fields)
    for key, rank, resistance, more in _wrong_resistances(lesson):
        pace = time_constant(_part(lesson), resistance)
        yield Misuse(key, last + gap * Call("exp", Negative(Name(TIME) / pace)), rank, more)


def _even_rise(law: Law, lesson: Lesson) -> Iterator[Misuse]:
    part, first = _part(lesson), Name(tagged(law.head, "t=0"))
    value, fields = Name(part.parameters[0].symbol), {"quantity": law.fields["quantity"], "part": part.name}
    if law.head == current(part.name):
        yield Misuse("capacitor-blocks", ZERO, 0.6, fields)
        for source in lesson.netlist.parts:
            if source.independent:
                across = value * Name(source.parameters[0].symbol) / Name(TIME)
                yield Misuse("input-across-capacitor", across, 0.7, {**fields, "other_part": source.name})
                yield from _output_at_pin(source, lesson)
        return
    if law.relation == first:
        return
    rise = law.relation.children[1]
    yield Misuse("start-ignored", rise, 0.5, fields)
    yield Misuse("start-sign", rise - first, 0.6, fields)
    yield Misuse("slope-sign", first - rise, 0.5, fields)
    yield Misuse("not-moved-yet", first, 0.9, fields)
    slope = Name(SLOPE_OUT) if law.head == voltage("out") else None
    for resistor in (p for p in lesson.netlist.parts if isinstance(p, Resistor)):
        pace = Name(resistor.symbol) * value
        if slope is not None:
            charged = ONE - Call("exp", Negative(Name(TIME) / pace))
            more = {**fields, "other_part": resistor.name}
            yield Misuse("charging-curve", first + slope * pace * charged, 0.7, more)
            yield Misuse("charging-curve", first - slope * pace * charged, 1.0, more)


def _output_at_pin(source: Part, lesson: Lesson) -> Iterator[Misuse]:
    """The voltage of the output put where the input resistor ends."""
    first = tagged(voltage("out"), "t=0")
    if first in lesson.values:
        for resistor in (p for p in lesson.netlist.parts if isinstance(p, Resistor)):
            across = Name(source.parameters[0].symbol) - Name(first)
            yield Misuse("output-at-pin", across / Name(resistor.symbol), 0.8, {"part": resistor.name})


def _slope(law: Law, lesson: Lesson) -> Iterator[Misuse]:
    part = _part(lesson)
    value, through, fields = (
        Name(part.parameters[0].symbol),
        Name(tagged(current(part.name), "t=0")),
        {"part": part.name},
    )
    yield Misuse("slope-sign", Negative(law.relation), 0.4, fields)
    for sign in (through * value, Negative(through * value)):
        yield Misuse("slope-times-capacitance", sign, 0.8, fields)
    for source in lesson.netlist.parts:
        for resistor in (p for p in lesson.netlist.parts if isinstance(p, Resistor) and source.independent):
            product = Name(source.parameters[0].symbol) * Name(resistor.symbol) * value
            yield Misuse("differentiator-formula", Negative(product), 0.9, {**fields, "other_part": resistor.name})


def _gain(law: Law, lesson: Lesson) -> Iterator[Misuse]:
    source = source_of(lesson.netlist.parts)
    assert source is not None
    yield Misuse(
        "gain-upside-down", Name(source.parameters[0].symbol) / Name(tagged(voltage("out"), law.head.when)), 0.6
    )
    other = {"f=0": "f=inf", "f=inf": "f=0"}.get(law.head.when)
    if other and tagged(GAIN, other) in lesson.values:
        yield Misuse(
            "other-limit",
            Name(tagged(GAIN, other)),
            0.5,
            {"part": ", ".join(p.name for p in reactive(lesson.netlist.parts))},
        )
    elif not other:
        yield from _phasor_slips(law.relation, lesson)


def _size(law: Law, lesson: Lesson) -> Iterator[Misuse]:
    inner = Name(law.tails[0])
    real, imag = Call("real", inner), Call("imag", inner)
    yield Misuse("parts-added", Call("abs", real) + Call("abs", imag), 0.7)
    yield Misuse("one-part-only", Call("abs", real), 0.7)
    yield Misuse("one-part-only", Call("abs", imag), 0.8)
    yield Misuse("root-left-out", Call("abs", inner) * Call("abs", inner), 0.9)


def _phase(law: Law, lesson: Lesson) -> Iterator[Misuse]:
    inner = law.tails[0]
    value, fields = Name(inner), {"part": _part(lesson).name}
    yield Misuse("phase-sign", Call("phase", Call("conj", value)), 0.5, fields)
    yield Misuse("inversion-left-out", Call("phase", Negative(value)), 0.5)
    yield Misuse("radians-given", Call("radians", Call("phase", value)), 0.5)
    yield Misuse("arctangent-upside-down", Call("phase", Call("turn", Number(Fraction(90))) * Call("conj", value)), 0.8)
    yield Misuse("phase-sign", Call("phase", Negative(Call("conj", value))), 1.1, fields)
    for state in ("f=0", "f=inf"):
        limit = tagged(inner, state)
        if lesson.values.get(limit):
            parts = " and ".join(part.name for part in reactive(lesson.netlist.parts))
            yield Misuse("reactive-phase-left-out", Call("phase", Name(limit)), 0.6, {"part": parts})


def _natural(law: Law, lesson: Lesson) -> Iterator[Misuse]:
    yield Misuse("two-pi-left-out", TWO_PI * law.relation, 0.4, {"part": "the two parts"})
    resistors, values = _kinds(lesson)
    for resistance in resistors:
        for value in values:
            fields = {"first": str(resistance.key), "second": str(value.key)}
            yield Misuse("one-pair-only", ONE / (TWO_PI * resistance * value), 0.6, fields)
    if len(resistors) == 2 and len(values) == 2:
        sums = (resistors[0] + resistors[1]) * (values[0] + values[1])
        yield Misuse("sums-for-products", ONE / (TWO_PI * sums), 0.8)


def _kinds(lesson: Lesson) -> tuple[list[Name], list[Name]]:
    """Symbols of the resistors, and of the capacitors."""
    resistors = [Name(p.symbol) for p in lesson.netlist.parts if isinstance(p, Resistor)]
    return resistors, [
        Name(p.parameters[0].symbol) for p in reactive(lesson.netlist.parts) if p.parameters[0].unit == "F"
    ]


def _quality(law: Law, lesson: Lesson) -> Iterator[Misuse]:
    yield Misuse("upside-down", ONE / law.relation, 0.5, {"part": "the two parts"})
    yield Misuse("two-left-out", law.relation * HALF, 0.8)


def _phasor_slips(value: Expression, lesson: Lesson) -> Iterator[Misuse]:
    """Ways to write down a phasor wrongly that was found rightly."""
    size, phase = Call("abs", value), Call("phase", value)
    yield Misuse("size-alone", size, 0.4)
    for part in reactive(lesson.netlist.parts)[:1]:
        yield Misuse("phase-sign", Call("conj", value), 0.5, {"part": part.name})
    yield Misuse("radians-given", size * Call("turn", Call("radians", phase)), 0.5)


def with_phasor_misuses(own: tuple[Misuse, ...], quantity: Quantity, lesson: Lesson) -> tuple[Misuse, ...]:
    """The wrong moves of a quantity with those that come of capacitors and inductors; likeliest first."""
    law = lesson.own_law(quantity)
    if law is None or law.given or quantity.kind not in ("V", "I", "D") or quantity.source:
        return own
    place = (quantity, law.key, law.tails, lesson.truth.bearing)
    return lesson.laws.reactive.of(place, (own,), lambda: likeliest_first((*own, *_phasor_misuses(law, lesson))))


def _phasor_misuses(law: Law, lesson: Lesson) -> Iterator[Misuse]:
    if lesson.netlist.regime == "f" and law.relation != ZERO:
        yield from _phasor_slips(law.relation, lesson)
    if law.head.kind == "V" and (law.head.of in lesson.laws.view.outputs or law.head.of == "out"):
        yield from _of_the_whole(law.head, lesson)


def _of_the_whole(quantity: Quantity, lesson: Lesson) -> Iterator[Misuse]:
    """An output worked out with one thing wrong throughout."""
    fields = {"part": " and ".join(part.name for part in reactive(lesson.netlist.parts))}
    for state, key in (("f=0", "reactive-left-out"), ("f=inf", "reactive-as-wire")):
        if tagged(quantity, state) in lesson.values:
            yield Misuse(key, Name(tagged(quantity, state)), 0.7, fields)
    source, formula = source_of(lesson.netlist.parts), closed(lesson.netlist, quantity)
    if formula is None or lesson.netlist.regime != "f":
        return
    s = Name(LAPLACE)
    yield Misuse("hertz-for-radians", substitute(formula, {LAPLACE: s / TWO_PI}), 0.5, fields)
    yield Misuse("sizes-added", substitute(formula, {LAPLACE: Call("abs", s)}), 0.7, fields)
    if TAU in lesson.joint_relations:
        mirrored = Negative(ONE / (s * Name(TAU) * Name(TAU)))
        yield Misuse("shape-turned-round", substitute(formula, {LAPLACE: mirrored}), 0.8, fields)
    for state in ("f=0", "f=inf"):
        if lesson.values.get(tagged(quantity, state)):
            yield Misuse("half-at-corner", Name(tagged(quantity, state)) * HALF, 0.9, fields)
    if source is not None:
        drive = Name(source.parameters[0].symbol)
        yield Misuse("gain-upside-down", drive * drive / formula, 0.9)
    for beside in _beside(lesson):
        simpler = closed(without(lesson.netlist, beside), quantity)
        if simpler is not None:
            yield Misuse("beside-left-out", simpler, 0.8, {"part": fields["part"], "other_part": beside})


def _beside(lesson: Lesson) -> Iterator[str]:
    """Resistors that share both nodes with a capacitor or inductor."""
    pairs = [set(part.nodes) for part in reactive(lesson.netlist.parts)]
    yield from (p.name for p in lesson.netlist.parts if isinstance(p, Resistor) and set(p.nodes) in pairs)
