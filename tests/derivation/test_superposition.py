"""Superposition as a lesson: every source alone, what it gives, and the sum; judged by a solver of its own."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

import pytest
from nodal_judge import Judged, Undecided, judge
from published_cases import circuit_of, published
from random_circuits import draw
from reduced_judge import made_value
from resistive_families import resistive_families

from problems import Circuit, family
from problems.circuits.netlist import Netlist
from problems.circuits.off import alone
from problems.circuits.parts import Part
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.potentiometer import Potentiometer
from problems.circuits.parts.voltage_source import VoltageSource
from problems.circuits.solution import NoSolution
from problems.derivation.affine import Affine
from problems.derivation.contribution import NotSuperposable, superposed_laws
from problems.derivation.faults import NoNegativeFeedback, NoWalk
from problems.derivation.lesson import Lesson
from problems.derivation.step import Step
from problems.quantities import GROUND, Quantity, canonical, is_made, voltage

FAMILIES = {family.name: family.problem(seed=5).circuit for family in resistive_families()}
PUBLISHED = {case["id"]: circuit_of(case) for case in published("resistive")}
METHOD = "superposition"
PLUS_PINS = ("3", "5", "10", "12")
"""Numbers of the + inputs of single, dual and quad op-amps; common practice."""


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
        full = label if "." in label else f"{part.name}.{label}"
        kept = ("plus" if full.rpartition(".")[2] in PLUS_PINS else "minus") if full in netlist.pins else ""
        own = kept if full.startswith(f"{part.name}.") else ""
        moved = {pin: GROUND for pin in ("plus", "minus") if getattr(part, pin) == node and pin != own}
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


@pytest.mark.parametrize("name", [name for name, netlist in FAMILIES.items() if "out" in netlist.nodes])
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


VANE = """
 Vin o--+---[Ri]----+----[Rf]----+--o Vout
        |           |            |
        |           |    |\\      |
        |           +----|-\\     |
       [Rp]<---+         |U1>----+
        |      +---------|+/
       GND               |/
"""
BOXED = """
        +---[R1]---+---[R2]---+--o Vout
        |          |          |
       (V1)       (I1)       [R3]
        |          |          |
       GND        GND        GND
"""
LYING = """
  +---(V1)---[R1]---+---(V2)---+---(I1)---+---[R6]--GND
  |                 |          |          |
 [R2]              [R3]       [R4]       [R5]
  |                 |          |          |
 GND               GND        GND        GND
"""
AT_A_PIN = """
 Vin o--+---[Ri]---+----[Rf]----+--o Vout
        |          |            |
        |          |    |\\      |
        |          +----|-\\     |
        |               |U1>----+
        +---------------|+/
                        |/
"""
DRAWN = {
    "vane": (VANE, {"Vin": "1 V"}),
    "sources in boxes": (BOXED, {"V1": "1 V", "I1": "1 mA"}),
    "sources that lie": (LYING, {"V1": "1 V", "V2": "2 V", "I1": "1 mA"}),
    "a pin on the source": (AT_A_PIN, {"Vin": "1 V"}),
}


def same_but_for_names(one: Netlist, other: Netlist) -> bool:
    """The same parts between the same nodes, whatever they are called; ground is ground."""
    mine, theirs = ({part.name: part for part in netlist.parts} for netlist in (one, other))
    assert mine.keys() == theirs.keys()
    pairs = {(GROUND, GROUND)}
    for name in mine:
        assert type(mine[name]) is type(theirs[name])
        pairs |= set(zip(mine[name].nodes, theirs[name].nodes, strict=True))
    return len({a for a, _ in pairs}) == len({b for _, b in pairs}) == len(pairs)


def drawn_circuits() -> Iterator[tuple[str, Circuit]]:
    yield from FAMILIES.items()
    for name, (drawing, values) in DRAWN.items():
        yield name, Circuit.from_drawing(drawing, values)


@pytest.mark.parametrize(
    ("name", "circuit"), drawn_circuits(), ids=lambda value: value if isinstance(value, str) else ""
)
def test_every_circuit_with_one_source_on_is_redrawn(name: str, circuit: Circuit) -> None:
    for tag in circuit.contributions:
        case = circuit.lesson.case(tag)
        assert case.rows is not None, tag
        assert len(max(case.rows, key=len)) <= 80
        again = Circuit.from_drawing("\n".join(case.rows), {case.netlist.source.name: "1"}, package=circuit.package)
        assert same_but_for_names(again, case.netlist)


def test_the_values_of_a_redrawn_circuit_are_the_contributions() -> None:
    circuit = FAMILIES["difference"]
    for case in circuit.lesson.cases(voltage("out")):
        values = {symbol: circuit.values[symbol] for symbol in case.netlist.units}
        again = Circuit.from_drawing("\n".join(case.rows or ()), values)
        assert again.lesson.values[voltage("out")] == circuit.lesson.superposed.values[voltage("out").by(case.source)]


def test_each_section_says_what_switching_off_means() -> None:
    circuit = Circuit.from_drawing(*DRAWN["sources that lie"])
    said = {case.source: case.off for case in (circuit.lesson.case(tag) for tag in ("V1", "I1"))}
    assert said["V1"] == ("V2 off: 0 V, a wire from node n3 to node n4.", "I1 off: no current, an open branch.")
    assert all("wire" in sentence for sentence in said["I1"])
    first, second = FAMILIES["adjustable-polarity"].lesson.cases(voltage("out"))
    assert "split" in first.off[0]
    assert second.off == (
        "The copy that feeds Rp is on.",
        "The copy that feeds Ri is off: 0 V, a wire from there to ground.",
    )


def test_a_part_left_with_a_loose_end_is_told_in_words() -> None:
    drawing = LYING.replace("---[R6]--GND", "")
    circuit = Circuit.from_drawing(drawing, DRAWN["sources that lie"][1])
    case = circuit.lesson.case("V1")
    assert case.rows is None
    assert any("R5" in fact for fact in case.description)


def test_a_circuit_without_a_drawing_is_told_in_words() -> None:
    circuit = FAMILIES["difference"]
    (first, _) = Lesson.of(Netlist(circuit.parts, circuit.values)).cases(voltage("out"))
    assert first.rows is None
    assert any("R3" in fact and "ground" in fact for fact in first.description)


def test_one_source_that_is_not_split_gives_the_whole() -> None:
    steps = FAMILIES["inverting"].walk("V_out", METHOD)
    assert str(steps[-1].relation) == "V_out = V_out[Vin]"
    assert [step.law for step in steps[:-1]] == [step.law for step in FAMILIES["inverting"].walk("V_out")]


NAMED = re.compile(r"(?<![A-Za-z])[VI]_\w[\w.,*]*(\[[^\]]+\])?")
"""A voltage or current as printed, with the source that it is a contribution of."""


@pytest.mark.parametrize("name", FAMILIES)
def test_every_quantity_in_a_printed_line_of_one_source_names_that_source(name: str) -> None:
    circuit = FAMILIES[name]
    try:
        steps = [
            step for target in family(name).problem(seed=5).targets for step in circuit.walk(canonical(target), METHOD)
        ]
    except NotSuperposable:
        pytest.skip("its sources cannot be on one at a time")
    seen = 0
    for step in steps:
        for line in (step.written(), str(step.relation)) if step.target.source else ():
            for found in NAMED.finditer(line):
                seen += 1
                assert found[1] == f"[{step.target.source}]", line
    assert seen


def test_an_input_at_ground_is_named_with_the_source_that_is_on() -> None:
    steps = FAMILIES["instrumentation-three"].walk("V_out", METHOD)
    written = {step.written().replace("\u2009", " ") for step in steps}
    assert {"V_6[Va] = V_5[Va] = 0 V", "V_2[Vb] = V_3[Vb] = 0 V"} <= written
