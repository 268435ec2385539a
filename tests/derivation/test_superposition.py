"""Superposition as a lesson: every source alone, what it gives, and the sum; judged by a solver of its own."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from nodal_judge import Judged, Undecided, judge
from published_cases import circuit_of, published
from random_circuits import draw
from reduced_judge import made_value

from problems import families
from problems.circuits.netlist import Netlist
from problems.circuits.off import alone
from problems.circuits.parts import Part
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.potentiometer import Potentiometer
from problems.circuits.parts.voltage_source import VoltageSource
from problems.circuits.solution import NoSolution
from problems.derivation.affine import Affine
from problems.derivation.contribution import superposed_laws
from problems.derivation.lesson import Lesson, NoNegativeFeedback
from problems.derivation.step import Step
from problems.derivation.writer import NoWalk
from problems.quantities import GROUND, Quantity, is_made, voltage

FAMILIES = {family.name: family.problem(seed=5).circuit for family in families()}
PUBLISHED = {case["id"]: circuit_of(case) for case in published("resistive")}
METHOD = "superposition"


def switched_off(netlist: Netlist, tag: str) -> Netlist:
    """The circuit with all sources but one at 0, and each copy but one of a split source too. Nothing of it is merged:
    a voltage source of 0 V stands where the engine has a wire."""
    on, _, label = tag.partition(":")
    parts: list[Part] = []
    for part in netlist.parts:
        if isinstance(part, VoltageSource | CurrentSource):
            value = netlist.values[part.symbol] if part.name == on else 0
            parts.append(type(part)(part.name, part.first, part.second, value))
        else:
            parts.append(part)
    if label:
        source = netlist.part(on)
        node = next(end for end in source.nodes if end != GROUND)
        parts = [_off_ground(part, node, label, netlist) for part in parts]
    return Netlist(
        parts, {**netlist.values, **{p.symbol: p.value for s in parts for p in s.parameters if s.independent}}
    )


def _off_ground(part: Part, node: str, label: str, netlist: Netlist) -> Part:
    """A part that is not the one fed, with its ends at the split node put on ground."""
    if part.independent or part.name == label:
        return part
    if isinstance(part, OpAmp):
        pins = {pin: at for pin, at in netlist.pins.items() if pin == label}
        kept = {"plus"} if pins and part.plus == node and part.minus != node else {"minus"} if pins else set()
        moved = {pin: GROUND for pin in ("plus", "minus") if getattr(part, pin) == node and pin not in kept}
        return replace(part, **moved)
    ends = ("top", "bottom", "wiper") if isinstance(part, Potentiometer) else ("first", "second")
    return replace(part, **{end: GROUND for end in ends if getattr(part, end) == node})


def judged_value(judged: Judged, quantity: Quantity, netlist: Netlist) -> float:
    """A quantity from the judge's voltages and currents."""
    if quantity.kind == "V":
        return judged.voltages[quantity.of]
    if quantity.kind == "B":
        return judged.voltages[quantity.of] - judged.voltages[quantity.to]
    if quantity.kind == "D":
        first, second = netlist.part(quantity.of).nodes[:2]
        return judged.voltages[first] - judged.voltages[second]
    return judged.currents[quantity.of if quantity.of in judged.currents else f"{quantity.of}.top"]


def assert_true(steps: tuple[Step, ...], netlist: Netlist) -> None:
    """Every step of a walk that comes to a number, against the judge on the circuit it speaks of."""
    circuits = {"": netlist} | {tag: switched_off(netlist, tag) for tag in netlist.contributions}
    judged = {tag: judge(circuits[tag]) for tag in {step.target.source for step in steps}}
    sizes = [abs(v) for j in judged.values() for v in j.voltages.values()]
    currents = [abs(v) for j in judged.values() for v in j.currents.values()]
    for step in steps:
        if not isinstance(step.exact, Affine):
            whole = step.target.by("")
            tag = step.target.source
            if is_made(whole):
                laws = superposed_laws(Lesson.of(netlist).laws)
                own, circuit = (laws.parts[tag], alone(netlist, tag)) if tag else (laws.whole, netlist)
                found = made_value(whole, own, judged[tag], circuit)
            else:
                found = judged_value(judged[tag], whole, circuits[tag])
            room = {"I": 1e-8 * max(currents), "R": 0}.get(whole.kind, 1e-8 * max(sizes))
            assert float(step.exact) == pytest.approx(found, rel=1e-6, abs=room), step.written()


def walked() -> Iterator[tuple[int, Netlist, Quantity]]:
    """Random circuits that can be walked, each with one voltage or current to find."""
    for seed in range(120):
        netlist = draw(seed)
        try:
            lesson = Lesson.of(netlist)
            targets = [
                q for q in dict.fromkeys(netlist.names.readings.values()) if q.kind in "VI" and q in lesson.values
            ]
            target = targets[seed % len(targets)]
            lesson.walk((target,))
            judge(netlist, 1e9)
        except (NoNegativeFeedback, NoSolution, NoWalk, Undecided):
            continue
        yield seed, netlist, target


@pytest.mark.parametrize(
    ("seed", "netlist", "target"), walked(), ids=lambda value: str(value) if isinstance(value, int) else ""
)
def test_a_random_circuit_is_walked_source_by_source(seed: int, netlist: Netlist, target: Quantity) -> None:
    lesson = Lesson.of(netlist)
    steps = lesson.walk((target,), METHOD)
    assert steps[-1].target == target
    assert steps[-1].exact == lesson.values[target]
    assert_true(steps, netlist)


def test_enough_random_circuits_are_walked() -> None:
    assert len(list(walked())) >= 25


@pytest.mark.parametrize("name", FAMILIES)
def test_a_family_is_walked_by_superposition(name: str) -> None:
    netlist = FAMILIES[name]
    steps = Lesson.of(netlist).walk((voltage("out"),), METHOD)
    assert steps[-1].law == METHOD
    assert_true(steps, netlist)


@pytest.mark.parametrize("name", PUBLISHED)
def test_a_published_circuit_is_walked_by_superposition(name: str) -> None:
    netlist = PUBLISHED[name]
    lesson = Lesson.of(netlist)
    for quantity in dict.fromkeys(netlist.names.readings.values()):
        if quantity.kind == "V" and quantity != voltage(GROUND):
            try:
                plain = lesson.walk((quantity,))
            except (NoWalk, NoNegativeFeedback):
                continue
            assert lesson.walk((quantity,), METHOD)[-1].exact == plain[-1].exact


def test_a_source_that_feeds_both_inputs_is_split_into_copies() -> None:
    circuit = FAMILIES["adjustable-polarity"]
    assert circuit.contributions == ("Vin", "Vin:Ri", "Vin:Rp")
    last = circuit.walk("V_out", METHOD)[-1]
    assert str(last.relation) == "V_out = V_out[Vin:Ri] + V_out[Vin:Rp]"
    k, gain, vin = (circuit.values[name] for name in ("k", "Rf", "Vin"))
    gain /= circuit.values["Ri"]
    values = circuit.lesson.superposed.values
    assert values[circuit.names.read("V_out[Vin:Ri]")] == -gain * vin
    assert values[circuit.names.read("V_out[Vin:Rp]")] == k * vin * (1 + gain)


def test_one_source_that_is_not_split_gives_the_whole() -> None:
    steps = FAMILIES["inverting"].walk("V_out", METHOD)
    assert str(steps[-1].relation) == "V_out = V_out[Vin]"
    assert [step.law for step in steps[:-1]] == [step.law for step in FAMILIES["inverting"].walk("V_out")]
