"""Whether the loop round each op-amp is negative: only then do the two ideal rules hold."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from problems.circuits.elimination import Row, eliminate
from problems.circuits.equations import System, equations, unvalued
from problems.circuits.netlist import Netlist
from problems.circuits.parts.base import MINUS_ONE, NOUGHT, PLUS_ONE
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.samples import sample
from problems.circuits.solver import flint_entry, flint_solve
from problems.formulas.phasor import PI
from problems.quantities import FREQUENCY, GROUND, LAPLACE, voltage

NEGATIVE, POSITIVE, NONE = "negative", "positive", "none"

VERY_HIGH = Fraction(10**9)
"""Gain that stands in for an ideal op-amp's where two of them contradict each other."""


def feedback(netlist: Netlist, renames: Mapping[str, str] | None = None) -> dict[str, str]:
    """Per op-amp ``"negative"``, ``"positive"`` or ``"none"``.

    The test: put a 1 V source in place of the op-amp's output, set all other sources to 0 and leave the other op-amps
    ideal. Negative when the - input then stands above the + input, positive when below, none when they stand equal or
    are not determined. With all values known the circuit's own values decide. Where some are only names, three fixed
    sets of positive values do: when those disagree (the sign depends on the values) the answer is negative if the set
    with equal values says so, as for a Howland pump, and none otherwise. renames: symbols that share a value.
    """
    fixed: Mapping[str, Any] = {}
    if netlist.regime in ("f", "t", "ramp"):
        # the sign is a matter of the circuit, and a positive number for s serves to tell it
        fixed = {LAPLACE: 2 * PI * netlist.values.get(FREQUENCY, Fraction(1))}
    if not unvalued(netlist):
        return _of_numbers(netlist, {**netlist.values, **fixed})
    drawn = ({**_shared(sample(netlist, number), renames or {}), **fixed} for number in range(3))
    first, *others = (_of_numbers(netlist, values) for values in drawn)
    return {name: _agreed(sign, [other[name] for other in others]) for name, sign in first.items()}


def _shared(values: dict[str, Fraction], renames: Mapping[str, str]) -> dict[str, Fraction]:
    """The values with one for all symbols that are read as the same name."""
    for name, other in renames.items():
        values[name] = values.setdefault(other, values[name])
    return values


def _agreed(first: str, others: list[str]) -> str:
    if all(other == first for other in others):
        return first
    return NEGATIVE if first == NEGATIVE else NONE


def _of_numbers(netlist: Netlist, values: Mapping[str, Fraction]) -> dict[str, str]:
    if not netlist.opamps:
        return {}
    system = equations(netlist, values)
    # A column per op-amp: the circuit's answer to V+ - V- = 1 in its equation, all else 0. Scaled so that the output is
    # 1 V, that is the circuit of the test, and V+ - V- is 1 / V_out there: the output's own sign settles it.
    responses = flint_solve(system, [{system.rows_of(amp.name)[0]: PLUS_ONE} for amp in netlist.opamps])
    found: dict[str, str] = {}
    for number, amp in enumerate(netlist.opamps):
        quick = NONE
        if responses is not None and amp.out != GROUND:
            quick = _sign(-flint_entry(responses, system.unknowns[voltage(amp.out)], number))
        found[amp.name] = driven(netlist, system, amp) if quick == NONE else quick
    return found


def driven(netlist: Netlist, system: System, amp: OpAmp) -> str:
    """The test for one op-amp worked out in full, for circuits where one solution does not serve all.

    Where the other op-amps cannot all be ideal with this output held (a loop that runs through two of them), they get a
    very high gain instead.
    """
    if amp.out == GROUND:
        return NONE
    for drag in (Fraction(0), 1 / VERY_HIGH):
        above = _minus_above_plus(system, amp, _test_rows(netlist, system, amp, drag))
        if above is not None:
            return _sign(above)
    return NONE


def _test_rows(netlist: Netlist, system: System, amp: OpAmp, drag: Fraction) -> list[Row]:
    """The equations of the test: this output at 1 V, for the others V+ - V- = drag · V_out, sources at 0."""
    width = len(system.unknowns)
    rows: list[Row] = [dict(row) for row in system.rows]
    for other in netlist.opamps:
        row = rows[system.rows_of(other.name)[0]]
        if other is amp:
            row.clear()
            row |= {system.unknowns[voltage(amp.out)]: PLUS_ONE, width: PLUS_ONE}
        elif other.out != GROUND:
            column = system.unknowns[voltage(other.out)]
            row[column] = row.get(column, NOUGHT) - drag
    return rows


def _minus_above_plus(system: System, amp: OpAmp, rows: list[Row]) -> Fraction | None:
    """V- less V+ under these equations; None where they contradict each other or leave it open."""
    width = len(system.unknowns)
    reduced = eliminate(rows, width)
    if any(reduced.spent):
        return None
    difference: Row = {}
    for node, sign in ((amp.minus, 1), (amp.plus, -1)):
        if node != GROUND:
            column = system.unknowns[voltage(node)]
            for target, entry in reduced.solved.get(column, {column: MINUS_ONE}).items():
                difference[target] = difference.get(target, NOUGHT) + sign * entry
    above: Fraction = difference.pop(width, NOUGHT)
    return None if any(difference.values()) else above


def _sign(minus_above_plus: Any) -> str:
    """The verdict from a number of the sign of V- - V+."""
    return NONE if not minus_above_plus else NEGATIVE if minus_above_plus > 0 else POSITIVE
