"""Circuits without one solution, and names that do not exist: what is said, and about whom."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from problems.circuits.faults import (
    CircuitFault,
    ManySolutions,
    NoSolution,
    UnknownNode,
    UnknownPart,
    WiperCarries,
)
from problems.circuits.netlist import Netlist
from problems.circuits.parts import Part
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.potentiometer import Potentiometer
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource
from problems.circuits.solution import Solution, exact_values, solve
from problems.quantities import current, voltage

NONE: dict[str, tuple[list[Part], set[str], set[str]]] = {
    "two sources side by side at different voltages": (
        [VoltageSource("V1", "a", "0", 1), VoltageSource("V2", "a", "0", 2), Resistor("R1", "a", "0", 1)],
        set(),
        {"V1", "V2"},
    ),
    "the same with names": (
        [VoltageSource("V1", "a", "0"), VoltageSource("V2", "a", "0"), Resistor("R1", "a", "0")],
        set(),
        {"V1", "V2"},
    ),
    "a wire across a source": ([VoltageSource("V1", "a", "0", 1), Resistor("R1", "a", "0", 0)], set(), {"V1", "R1"}),
    "a source with both ends on one net": (
        [VoltageSource("V1", "a", "a", 1), Resistor("R1", "a", "0", 1)],
        set(),
        {"V1"},
    ),
    "a current source into nothing": ([CurrentSource("I1", "0", "a", 1)], {"a"}, {"I1"}),
    "a current source into a dead end": (
        [CurrentSource("I1", "0", "a", 1), Resistor("R1", "a", "b", 1)],
        {"a", "b"},
        {"I1"},
    ),
    "an op-amp without a path back": (
        [VoltageSource("V1", "a", "0", 1), Resistor("R1", "out", "0", 1), OpAmp("U1", "a", "0", "out")],
        set(),
        {"V1", "U1"},
    ),
    "an op-amp output on ground": (
        [
            VoltageSource("V1", "in", "0", 1),
            Resistor("R1", "in", "n", 1),
            Resistor("R2", "n", "0", 1),
            OpAmp("U1", "0", "n", "0"),
        ],
        {"n"},
        {"V1", "R1", "R2", "U1"},
    ),
    "a negative resistance that cancels another": (
        [VoltageSource("V1", "a", "0", 1), Resistor("R1", "a", "b", 1000), Resistor("R2", "b", "0", -1000)],
        {"b"},
        {"V1", "R1", "R2"},
    ),
}


@pytest.mark.parametrize(("parts", "nodes", "names"), NONE.values(), ids=NONE.keys())
def test_a_contradiction_names_those_at_fault(parts: list[Part], nodes: set[str], names: set[str]) -> None:
    with pytest.raises(NoSolution) as caught:
        solve(Netlist(parts))
    assert set(caught.value.nodes) == nodes
    assert set(caught.value.parts) == names
    assert all(name in str(caught.value) for name in names)
    assert isinstance(caught.value, ValueError)


SIDE_BY_SIDE: list[Part] = [
    VoltageSource("V1", "a", "0", 1),
    VoltageSource("V2", "a", "0", 1),
    Resistor("R1", "a", "0", 1),
]
FLOATING: list[Part] = [VoltageSource("V1", "a", "0", 1), Resistor("R1", "a", "0", 1), Resistor("R2", "b", "c", 1)]
UNHEARD: list[Part] = [VoltageSource("V1", "a", "0", 0), Resistor("R1", "out", "0", 1), OpAmp("U1", "a", "0", "out")]
WIRES: list[Part] = [
    VoltageSource("V1", "a", "0", 1),
    Resistor("Ra", "a", "b", 0),
    Resistor("Rb", "a", "b", 0),
    Resistor("R", "b", "0", 1),
]

MANY: dict[str, tuple[list[Part], Callable[[Solution], Any], set[str], set[str]]] = {
    "current of equal sources side by side": (SIDE_BY_SIDE, lambda s: s.current("V1"), set(), {"V1", "V2"}),
    "power of one of them": (SIDE_BY_SIDE, lambda s: s.power("V2"), set(), {"V1", "V2"}),
    "voltage of a floating part": (FLOATING, lambda s: s.voltage("b"), {"b", "c"}, set()),
    "output that the inputs do not notice": (UNHEARD, lambda s: s.voltage("out"), {"out"}, {"U1", "R1"}),
    "current of two wires side by side": (WIRES, lambda s: s.current("Ra"), set(), {"Ra", "Rb"}),
}


@pytest.mark.parametrize(("parts", "ask", "nodes", "names"), MANY.values(), ids=MANY.keys())
def test_what_is_not_determined_is_refused_by_name(
    parts: list[Part], ask: Callable[[Solution], Any], nodes: set[str], names: set[str]
) -> None:
    with pytest.raises(ManySolutions) as caught:
        ask(solve(Netlist(parts)))
    assert set(caught.value.nodes) == nodes
    assert set(caught.value.parts) == names
    assert all(
        name in str(caught.value) for name in nodes | names if (not {"nodes"} & {name} and name in names) or not names
    )


@pytest.mark.parametrize(
    ("parts", "ask", "value"),
    [
        (SIDE_BY_SIDE, lambda s: s.voltage("a"), 1),
        (SIDE_BY_SIDE, lambda s: s.current("R1"), 1),
        (FLOATING, lambda s: s.voltage("b", "c"), 0),
        (FLOATING, lambda s: s.voltage("a"), 1),
        (UNHEARD, lambda s: s.voltage("a"), 0),
        (WIRES, lambda s: s.current("V1"), -1),
    ],
    ids=[
        "node of equal sources",
        "load of equal sources",
        "across a floating part",
        "elsewhere",
        "input",
        "wires' sum",
    ],
)
def test_what_is_determined_is_given_all_the_same(
    parts: list[Part], ask: Callable[[Solution], Any], value: int
) -> None:
    assert ask(solve(Netlist(parts))) == value


def test_exact_values_leave_out_what_is_not_determined_and_say_so_when_asked() -> None:
    values = exact_values(Netlist(SIDE_BY_SIDE))
    assert values[voltage("a")] == 1
    assert current("V1") not in values
    with pytest.raises(ManySolutions, match="V1 and V2"):
        values[current("V1")]
    with pytest.raises(KeyError):
        values[voltage("nowhere")]


def test_a_gain_is_refused_where_one_source_alone_contradicts_another() -> None:
    with pytest.raises(NoSolution) as caught:
        solve(Netlist(SIDE_BY_SIDE)).transfer("a", "V1")
    assert set(caught.value.parts) == {"V1", "V2"}


POT = Netlist(
    [VoltageSource("V1", "a", "0", 1), Potentiometer("Rp", "a", "0", "w", 10, "0.5"), Resistor("RL", "w", "0", 10)]
)


@pytest.mark.parametrize(
    ("ask", "error", "said"),
    [
        (lambda s: s.voltage("x"), UnknownNode, "'x'.*0, a and w"),
        (lambda s: s.voltage("a", "y"), UnknownNode, "'y'"),
        (lambda s: s.current("R9"), UnknownPart, "'R9'.*V1, Rp, RL, Rp.top and Rp.bottom"),
        (lambda s: s.power("R9"), UnknownPart, "'R9'"),
        (lambda s: s.transfer("w", "RL"), UnknownPart, "no source 'RL'.*V1"),
        (lambda s: s.transfer("q", "V1"), UnknownNode, "'q'"),
        (lambda s: s.current("Rp"), WiperCarries, "Rp.top or Rp.bottom"),
    ],
    ids=["node", "second node", "part", "power", "no source", "gain to nowhere", "loaded wiper"],
)
def test_a_wrong_name_says_what_exists(ask: Callable[[Solution], Any], error: type[ValueError], said: str) -> None:
    with pytest.raises(error, match=said):
        ask(solve(POT))


def test_faults_of_circuits_are_one_family() -> None:
    assert issubclass(NoSolution, CircuitFault)
    assert issubclass(ManySolutions, CircuitFault)
    assert issubclass(CircuitFault, ValueError)
