"""The closed relation of one op-amp stage: its output from what reaches its two inputs.

Students recall stages as gain formulas, so this is where most wrong outputs come from. No walk uses it: it is there for
follow-through, for naming what a student wrote, and for its misuses.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from problems.circuits.parts.opamp import OpAmp
from problems.derivation.law import Law, Misuse, Place
from problems.derivation.view import End, View, minus, plus, potential, signed_sum
from problems.formulas.expression import ONE, ZERO, Call, Expression, Name, Parallel, Quotient, Sum, total
from problems.quantities import GROUND, current, voltage

KEY = "stage"


@dataclass(frozen=True)
class Stage:
    """One op-amp with one impedance from output to - input, and impedances or current sources into that input."""

    amp: OpAmp
    feedback: Expression
    arms: tuple[End, ...]
    sources: tuple[End, ...]

    @property
    def live_arms(self) -> tuple[End, ...]:
        """The arms that do not go to ground."""
        return tuple(arm for arm in self.arms if arm.far != GROUND)

    @property
    def reference(self) -> Expression:
        return potential(self.amp.plus)


def stages(view: View) -> Iterator[Stage]:
    """Every op-amp of the circuit that is such a stage."""
    for amp in view.netlist.opamps:
        ends = view.meeting[amp.minus]
        back = [end for end in ends if end.far == amp.out and end.branch.impedance is not None]
        arms = tuple(end for end in ends if end.far != amp.out and end.branch.impedance is not None)
        sources = tuple(end for end in ends if end.branch.impedance is None)
        fine = (
            len(back) == 1 and amp.out not in (GROUND, amp.minus) and not any(a.branch.name in view.zero for a in arms)
        )
        known = all(view.netlist.part(end.branch.name).kind == "current-source" for end in sources)
        if fine and known and view.feedback.get(amp.name) == "negative" and back[0].branch.impedance is not None:
            yield Stage(amp, back[0].branch.impedance, arms, sources)


def instances(view: View) -> Iterator[Law]:
    for stage in stages(view):
        parts = tuple(dict.fromkeys(end.branch.part for end in view.meeting[stage.amp.minus]))
        relation = output(stage, stage.reference)
        fields = {"part": stage.amp.name}
        yield Law(KEY, voltage(stage.amp.out), relation, 40, Place(parts), fields=fields, never_walked=True)


def ratio(stage: Stage, arm: End) -> Expression:
    """Feedback impedance over that of an arm."""
    assert arm.branch.impedance is not None
    return stage.feedback / arm.branch.impedance


def plus_gain(stage: Stage) -> Expression:
    """Gain from the + input: one and all the ratios."""
    return Sum((ONE, *(ratio(stage, arm) for arm in stage.arms))) if stage.arms else ONE


def arm_terms(stage: Stage) -> list[tuple[int, Expression]]:
    """What the arms and the current sources add to the output, with signs."""
    terms = [(-1, potential(arm.far) * ratio(stage, arm)) for arm in stage.live_arms]
    return terms + [(source.sign, Name(current(source.branch.name)) * stage.feedback) for source in stage.sources]


def output(stage: Stage, reference: Expression) -> Expression:
    """Output of the stage when ``reference`` is at its + input."""
    terms = arm_terms(stage)
    if reference != ZERO:
        terms.append((1, reference * plus_gain(stage)))
    return signed_sum(terms)


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    stage = next(stage for stage in stages(view) if voltage(stage.amp.out) == law.head)
    yield Misuse("minus-sign-lost", minus(ZERO, law.relation), 0.7)
    yield from _of_the_plus_path(stage)
    yield from _of_the_ratios(stage, view)
    yield from _of_several_arms(stage)
    yield from _of_the_plus_side(stage, view)
    yield from _of_the_stage_before(stage, view)
    yield from _of_swapped_parts(stage, view)


def _of_the_plus_path(stage: Stage) -> Iterator[Misuse]:
    reference, terms = stage.reference, arm_terms(stage)
    if reference == ZERO:
        yield Misuse("output-zero", ZERO, 1)
        return
    arms = signed_sum(terms)
    ratios = total(tuple(ratio(stage, arm) for arm in stage.arms))
    follower = "taken-as-follower" if not terms else "plus-input-given"
    yield Misuse(follower, reference, 0.7)
    if not stage.arms:
        return
    yield Misuse("one-left-out", plus(reference * ratios, arms), 0.6)
    if terms:
        yield Misuse("plus-gain-left-out", plus(reference, arms), 0.6)
        yield Misuse("plus-path-only", reference * plus_gain(stage), 0.9)
        yield Misuse("minus-path-only", arms, 0.8)
    for arm in stage.arms:
        yield Misuse("inverting-formula", minus(ZERO, reference * ratio(stage, arm)), 0.9, {"part": arm.branch.name})
    for arm in stage.live_arms:
        swapped = minus(reference * ratio(stage, arm), potential(arm.far) * (ONE + ratio(stage, arm)))
        yield Misuse("gains-swapped", swapped, 1)


def _of_the_ratios(stage: Stage, view: View) -> Iterator[Misuse]:
    upside = [(-1, potential(arm.far) / ratio(stage, arm)) for arm in stage.live_arms]
    gain = Sum((ONE, *(ONE / ratio(stage, arm) for arm in stage.arms)))
    if stage.reference != ZERO:
        upside.append((1, stage.reference * gain))
    if stage.arms:
        yield Misuse("ratio-upside-down", signed_sum(upside), 0.7)
    for arm in stage.arms:
        own = arm.branch.impedance
        assert own is not None
        start = potential(arm.far) if arm.far != GROUND else stage.reference
        if start == ZERO:
            continue
        fields = {"part": arm.branch.name}
        for leg in (stage.feedback, own):
            yield Misuse("op-amp-ignored", start * (leg / (own + stage.feedback)), 0.9, fields)
        if arm.far != GROUND:
            formula = "non-inverting-formula"
            yield Misuse(formula, potential(arm.far) * (ONE + ratio(stage, arm)), 0.8, fields)
    equal = [(-1, potential(arm.far)) for arm in stage.live_arms]
    if stage.reference != ZERO:
        equal.append((1, stage.reference * total((ONE,) * (1 + len(stage.arms)))))
    if equal and stage.arms:
        yield Misuse("equal-resistors-assumed", signed_sum(equal), 1.2)
    yield from _loads(stage, view)


def _loads(stage: Stage, view: View) -> Iterator[Misuse]:
    """Another part at the output put in parallel with the feedback."""
    for end in view.impedances_at(stage.amp.out):
        if end.far != stage.amp.minus and end.branch.impedance is not None:
            loaded = Stage(stage.amp, Parallel((stage.feedback, end.branch.impedance)), stage.arms, stage.sources)
            yield Misuse("load-beside-feedback", output(loaded, stage.reference), 0.9, {"part": end.branch.name})


def _of_several_arms(stage: Stage) -> Iterator[Misuse]:
    live = stage.live_arms
    rest = stage.reference * plus_gain(stage) if stage.reference != ZERO else ZERO
    if len(live) + (rest != ZERO) > 1:
        yield from _of_one_arm(stage, rest)
    if len(live) < 2:
        return
    series = total(tuple(arm.branch.impedance for arm in live if arm.branch.impedance is not None))
    voltages = total(tuple(potential(arm.far) for arm in live))
    beside = Parallel(tuple(arm.branch.impedance for arm in live if arm.branch.impedance is not None))
    yield Misuse("arms-in-series", minus(rest, stage.feedback / series * voltages), 0.8)
    yield Misuse("arms-in-parallel", minus(rest, stage.feedback / beside * voltages), 0.9)
    straight = [(1, potential(arm.far) * (ONE + ratio(stage, arm))) for arm in live]
    yield Misuse("non-inverting-formula", plus(rest, signed_sum(straight)), 0.9, {"part": live[0].branch.name})
    count = total((ONE,) * len(live))
    yield Misuse("averaged", Quotient(output(stage, stage.reference), count), 0.8)
    for arm in live:
        fields = {"part": arm.branch.name}
        yield Misuse("one-ratio-for-all", minus(rest, voltages * ratio(stage, arm)), 1, fields)
        if len(live) > 2:
            own = potential(arm.far) * ratio(stage, arm)
            yield Misuse("one-source-only", minus(rest, own), 0.75, fields)
    yield Misuse("arms-divide", plus(rest, signed_sum(_divided_terms(stage))), 1.1)


def _of_one_arm(stage: Stage, rest: Expression) -> Iterator[Misuse]:
    """The term of one arm lost, or with another sign."""
    live = stage.live_arms
    for arm in live:
        fields = {"part": arm.branch.name}
        own = potential(arm.far) * ratio(stage, arm)
        others = [(-1, potential(other.far) * ratio(stage, other)) for other in live if other is not arm]
        sized = Call("abs", potential(arm.far)) * ratio(stage, arm)
        yield Misuse("source-size-only", plus(rest, signed_sum([*others, (-1, sized)])), 0.9, fields)
        yield Misuse("source-left-out", plus(rest, signed_sum(others)), 0.9, fields)
        yield Misuse("source-sign", plus(rest, signed_sum([*others, (1, own)])), 1, fields)


def _divided_terms(stage: Stage) -> list[tuple[int, Expression]]:
    """Superposition in which the arms of the silent sources form a divider at the - input."""
    terms: list[tuple[int, Expression]] = []
    for arm in stage.live_arms:
        others = tuple(o.branch.impedance for o in stage.arms if o is not arm and o.branch.impedance is not None)
        beside: Expression = Parallel(others) if len(others) > 1 else others[0]
        assert arm.branch.impedance is not None
        share = beside / (arm.branch.impedance + beside)
        terms.append((-1, potential(arm.far) * ratio(stage, arm) * share))
    return terms


def _of_the_plus_side(stage: Stage, view: View) -> Iterator[Misuse]:
    """The resistors of the + side read as the arms of a summing stage, or as plain ratios."""
    ends = [end for end in view.impedances_at(stage.amp.plus) if end.branch.name not in view.zero]
    live = [end for end in ends if end.far != GROUND]
    summed = [
        (-1, potential(end.far) * (stage.feedback / end.branch.impedance)) for end in live if end.branch.impedance
    ]
    if len(live) > 1:
        yield Misuse("inverting-formula-on-plus-side", signed_sum(summed), 1)
    if len(ends) == 2 and len(live) == 1 and "." not in live[0].branch.name:
        (top,) = live
        bottom = next(end for end in ends if end is not top)
        assert top.branch.impedance is not None
        assert bottom.branch.impedance is not None
        reference = potential(top.far) * (bottom.branch.impedance / top.branch.impedance)
        yield Misuse("pairs-as-ratios", plus(reference, signed_sum(arm_terms(stage))), 1)
        divides = bottom.branch.impedance / (top.branch.impedance + bottom.branch.impedance)
        damped = [(sign, term * divides) for sign, term in arm_terms(stage)]
        yield Misuse("factor-of-other-path", plus(stage.reference * plus_gain(stage), signed_sum(damped)), 1.1)
        for arm in stage.live_arms:
            across = minus(potential(top.far), potential(arm.far))
            yield Misuse("plain-difference", across, 1.1)
            for gain in (ratio(stage, arm), bottom.branch.impedance / top.branch.impedance):
                yield Misuse("matched-formula", across * gain, 0.9)


def _of_the_stage_before(stage: Stage, view: View) -> Iterator[Misuse]:
    before = {other.amp.out: other for other in stages(view) if other.amp != stage.amp}
    for arm in stage.live_arms:
        earlier = before.get(arm.far)
        if earlier is None:
            continue
        fields = {"part": earlier.amp.name}
        yield Misuse("later-stage-skipped", potential(arm.far), 0.9, {"part": stage.amp.name})
        gain = ratio(stage, arm)
        for first in earlier.live_arms:
            start, first_gain = potential(first.far), ratio(earlier, first)
            yield Misuse("earlier-stage-skipped", minus(ZERO, start * gain), 0.8, fields)
            yield Misuse("gains-added", minus(ZERO, start * (first_gain + gain)), 0.8, fields)
            yield Misuse("non-inverting-formula", start * (ONE + first_gain) * (ONE + gain), 0.9, fields)
        assert arm.branch.impedance is not None
        sag = arm.branch.impedance / (arm.branch.impedance + earlier.feedback)
        yield Misuse("stage-loads-stage", minus(ZERO, potential(arm.far) * sag * gain), 1, fields)


def _of_swapped_parts(stage: Stage, view: View) -> Iterator[Misuse]:
    """A resistor of another place in the gain: that of another arm, all the arms in line, one of the + side."""
    for arm in stage.live_arms if len(stage.arms) > 1 else ():
        for other in stage.arms:
            if other is not arm and (other.far == GROUND or len(stage.live_arms) == 1):
                fields = {"part": arm.branch.name, "other_part": other.branch.name}
                own = minus(stage.reference, potential(arm.far) * ratio(stage, other))
                yield Misuse("other-arm-used", own, 0.9, fields)
    yield from _of_a_silent_plus_side(stage, view)
    if stage.reference == ZERO:
        return
    series = total(tuple(arm.branch.impedance for arm in stage.arms if arm.branch.impedance is not None))
    if len(stage.arms) > 1:
        gain = ONE + stage.feedback / series
        yield Misuse("arms-in-series", plus(stage.reference * gain, signed_sum(arm_terms(stage))), 0.9)
    for end in view.impedances_at(stage.amp.plus) if len(stage.arms) == 1 else ():
        if end.branch.impedance is not None and stage.arms[0].far == GROUND:
            fields = {"part": end.branch.name, "other_part": stage.arms[0].branch.name}
            gain = ONE + stage.feedback / (series + end.branch.impedance)
            yield Misuse("other-side-counted", stage.reference * gain, 1, fields)


def _of_a_silent_plus_side(stage: Stage, view: View) -> Iterator[Misuse]:
    """The divider of a + side that carries nothing, applied to what comes through the − side."""
    ends = () if stage.amp.plus == GROUND else view.impedances_at(stage.amp.plus)
    silent = len(ends) == 2 and all(end.far == GROUND and end.branch.name not in view.zero for end in ends)
    for end, other in (ends, ends[::-1]) if silent else ():
        assert end.branch.impedance is not None
        assert other.branch.impedance is not None
        share = end.branch.impedance / (end.branch.impedance + other.branch.impedance)
        yield Misuse("factor-of-other-path", signed_sum([(sign, term * share) for sign, term in arm_terms(stage)]), 1)
