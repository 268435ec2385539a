"""Whether the loop round each op-amp is negative: only then do the two ideal rules hold."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from problems.circuits.elimination import Row, eliminate
from problems.circuits.equations import System, equations, unvalued
from problems.circuits.netlist import Netlist
from problems.circuits.parts.base import ONE
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.samples import sample
from problems.circuits.solver import flint_entry, flint_solve
from problems.quantities import GROUND, voltage

NEGATIVE, POSITIVE, NONE = "negative", "positive", "none"


def feedback(netlist: Netlist, renames: Mapping[str, str] | None = None) -> dict[str, str]:
    """Per op-amp ``"negative"``, ``"positive"`` or ``"none"``.

    The test: put a 1 V source in place of the op-amp's output, set all other sources to 0 and leave the other op-amps
    ideal. Negative when the - input then stands above the + input, positive when below, none when they stand equal or
    are not determined. With all values known the circuit's own values decide. Where some are only names, three fixed
    sets of positive values do: when those disagree (the sign depends on the values) the answer is negative if the set
    with equal values says so, as for a Howland pump, and none otherwise. renames: symbols that share a value.
    """
    if not unvalued(netlist):
        return _of_numbers(netlist, netlist.values)
    first, *others = (_of_numbers(netlist, _shared(sample(netlist, number), renames or {})) for number in range(3))
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
    responses = _responses(netlist, system)
    if responses is None:
        return {amp.name: _alone(system, amp) for amp in netlist.opamps}
    return {
        amp.name: NONE
        if amp.out == GROUND
        else _sign(-flint_entry(responses, system.unknowns[voltage(amp.out)], number))
        for number, amp in enumerate(netlist.opamps)
    }


def _responses(netlist: Netlist, system: System) -> Any:
    """A column per op-amp: the circuit's answer to V+ - V- = 1 in its equation, all else 0; None if singular.

    Scaled so that the output is 1 V, that column is the circuit of the test: with the output driven, V+ - V- is
    1 / V_out. So the output's own sign settles it, and one solution serves all op-amps.
    """
    return flint_solve(system, [{system.rows_of(amp.name)[0]: ONE} for amp in netlist.opamps])


def _alone(system: System, amp: OpAmp) -> str:
    """The test for one op-amp, worked out in full: for circuits whose equations do not settle everything."""
    if amp.out == GROUND:
        return NONE
    width = len(system.unknowns)
    rows: list[Row] = [dict(row) for row in system.rows]
    rows[system.rows_of(amp.name)[0]] = {system.unknowns[voltage(amp.out)]: Fraction(1), width: Fraction(1)}
    reduced = eliminate(rows, width)
    if any(reduced.spent):
        return NONE
    difference: Row = {}
    for node, sign in ((amp.minus, 1), (amp.plus, -1)):
        if node != GROUND:
            column = system.unknowns[voltage(node)]
            for target, entry in reduced.solved.get(column, {column: Fraction(-1)}).items():
                difference[target] = difference.get(target, Fraction(0)) + sign * entry
    if any(entry for column, entry in difference.items() if column != width):
        return NONE
    return _sign(difference.get(width, Fraction(0)))


def _sign(minus_above_plus: Any) -> str:
    """The verdict from a number of the sign of V- - V+."""
    return NONE if not minus_above_plus else NEGATIVE if minus_above_plus > 0 else POSITIVE
