"""A second way to what the engine makes of parts taken as one: in floats, from the parts and the judge's solution.

A resistance is what a 1 A source drives across the parts alone; a replaced source is the circuit of its arms with all
else taken off. Only what stands for what (``Composite``) is taken from the engine.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from nodal_judge import Judged, judge

from problems.circuits.netlist import Netlist
from problems.circuits.parts import Part
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource
from problems.derivation.affine import Affine
from problems.derivation.lawset import LawSet
from problems.derivation.lesson import Lesson
from problems.derivation.step import Step
from problems.derivation.view import Composite
from problems.quantities import Quantity, is_made


def composites(laws: LawSet) -> Mapping[str, Composite]:
    """What every engine-made branch stands for, by name."""
    views = (law.view for law in laws.defining if law.view is not None)
    found = (view.fresh.composite for view in views)
    return {composite.branch.name: composite for composite in found if composite is not None}


def made_value(quantity: Quantity, laws: LawSet, judged: Judged, netlist: Netlist) -> float:
    """The value of an engine-made quantity."""
    made = composites(laws)
    if quantity.kind == "R":
        return _resistance(made[quantity.of], made, judged, netlist)
    if quantity.kind == "V":
        return _open_voltage(made[quantity.of], made, judged, netlist)
    return _current(quantity.of, made, judged)


def _resistance(composite: Composite, made: Mapping[str, Composite], judged: Judged, netlist: Netlist) -> float:
    start, end, _ = composite.branch[1:]
    if composite.how != "thevenin" and not is_made(start or "") and not is_made(end or ""):
        return _driven(composite, end or "0", start or "0", netlist)
    values = [
        _resistance(made[member.branch.name], made, judged, netlist)
        if member.branch.name in made
        else float(member.branch.impedance.at(netlist.values))  # type: ignore[union-attr, arg-type]
        for member in composite.members
    ]
    return sum(values) if composite.how == "series" else 1 / sum(1 / value for value in values)


def _driven(composite: Composite, first: str, second: str, netlist: Netlist) -> float:
    """What 1 A drives across the parts behind a resistance, from its second node against its first."""
    parts = [_on(netlist.part(name), first) for name in composite.parts]
    judged = judge(Netlist([*parts, CurrentSource("I9", "0", _moved(second, first), "1 A")], netlist.values))
    return judged.voltages[_moved(second, first)]


def _moved(node: str, ground: str) -> str:
    """The node's name in a circuit whose ground is another one."""
    return "0" if node == ground else "was-ground" if node == "0" else node


def _on(part: Part, ground: str) -> Part:
    return type(part)(part.name, *(_moved(node, ground) for node in part.nodes), *_rest(part))


def _rest(part: Part) -> tuple[object, ...]:
    """The values of a part."""
    return tuple(getattr(part, name) for name in ("value", "setting") if hasattr(part, name))


def _open_voltage(composite: Composite, made: Mapping[str, Composite], judged: Judged, netlist: Netlist) -> float:
    """The node's voltage with its two arms alone, their far ends held where they are."""
    parts: list[Part] = []
    node = composite.branch.end or "0"
    for number, member in enumerate(composite.members):
        name = member.branch.name
        if is_made(member.far):
            held = _open_voltage(made[member.far], made, judged, netlist)
        else:
            held = judged.voltages[member.far]
        if name in made:
            ohms = _resistance(made[name], made, judged, netlist)
        else:
            ohms = float(member.branch.impedance.at(netlist.values))  # type: ignore[union-attr, arg-type]
        parts += _arm(number, node, held, ohms)
    return judge(Netlist(parts)).voltages[node]


def _arm(number: int, node: str, volts: float, ohms: float) -> list[Part]:
    return [
        VoltageSource(f"V{number}", f"f{number}", "0", Fraction(volts)),
        Resistor(f"R{number}", f"f{number}", node, Fraction(ohms)),
    ]


def _current(name: str, made: Mapping[str, Composite], judged: Judged) -> float:
    """In line, that of any member; side by side, of all; of a replaced source, what its arms bring to the node."""
    if name not in made:
        return judged.currents[name]
    composite = made[name]
    currents = [member.sign * _current(member.branch.name, made, judged) for member in composite.members]
    if composite.how == "series":
        assert max(currents) - min(currents) < 1e-9 * max(1e-3, *map(abs, currents))
        return currents[0]
    return sum(currents) if composite.how == "parallel" else -sum(currents)


def quantity_by_judge(quantity: Quantity, laws: LawSet, judged: Judged, netlist: Netlist) -> float:
    """Any quantity, from the judge's solution."""
    if is_made(quantity):
        return made_value(quantity, laws, judged, netlist)
    if quantity.kind == "V":
        return judged.voltages[quantity.of]
    return judged.currents[quantity.of if quantity.of in judged.currents else f"{quantity.of}.top"]


def false_steps(lesson: Lesson, steps: Iterable[Step]) -> list[str]:
    """The steps whose number is another than the judge's. Raises Undecided."""
    judged = judge(lesson.netlist, 1e9)
    sizes = {"V": judged.voltages.values(), "I": judged.currents.values()}
    found = []
    for step in steps:
        kind = step.target.kind
        if step.role != "assume" and not isinstance(step.exact, Affine):
            truth = quantity_by_judge(step.target, lesson.laws, judged, lesson.netlist)
            room = max(1e-6 * abs(truth), 1e-8 * max(map(abs, sizes[kind]), default=0) if kind in sizes else 0)
            if abs(float(step.exact) - truth) > room:
                found.append(step.written())
    return found
