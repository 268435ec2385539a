"""What to say once an output is found: the gain, and what the settings do to it. A way on, no praise."""

from __future__ import annotations

from fractions import Fraction

from problems.circuits.netlist import Netlist
from problems.circuits.parts.potentiometer import Potentiometer
from problems.circuits.parts.voltage_source import VoltageSource
from problems.circuits.solution import NoSolution, exact_values
from problems.derivation.lesson import Lesson
from problems.formulas.printers import engineering
from problems.quantities import Quantity
from problems.words import say


def outlook(lesson: Lesson, quantity: Quantity) -> tuple[str, ...]:
    """Sentences about a node voltage just found; none where there are several sources or values are only names."""
    source = _only_source(lesson.netlist)
    if source is None or quantity.kind != "V" or not lesson.is_numeric or not lesson.values[source.symbol]:
        return ()
    if lesson.netlist.regime in ("t", "ramp"):
        return ()  # what an output is at an instant, as a share of the source, is no gain
    gain = lesson.values[quantity] / lesson.values[source.symbol]
    knobs = [part.share for part in lesson.netlist.parts if isinstance(part, Potentiometer)]
    if not knobs:
        return (say("outlook.gain", gain=engineering(gain, "")),)
    lines = [say("outlook.gain-at-setting", gain=engineering(gain, ""))]
    for knob in knobs:
        ends = [_gain_at(lesson.netlist, quantity, source, knob, end) for end in (0, 1)]
        if None not in ends:
            low, high = (engineering(end, "") for end in ends if end is not None)
            lines.append(say("outlook.ends", knob=knob, low=low, high=high))
    return tuple(lines)


def _only_source(netlist: Netlist) -> VoltageSource | None:
    sources = [part for part in netlist.parts if part.independent]
    only = sources[0] if len(sources) == 1 else None
    return only if isinstance(only, VoltageSource) else None


def _gain_at(netlist: Netlist, quantity: Quantity, source: VoltageSource, knob: str, end: int) -> Fraction | None:
    turned = netlist.with_values({knob: Fraction(end)})
    try:
        return Fraction(exact_values(turned)[quantity] / turned.values[source.symbol])
    except (NoSolution, KeyError):
        return None
