"""Keep-rules: what is read, what it means, and what is refused."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from problems.circuits.netlist import Netlist
from problems.circuits.parts.potentiometer import Potentiometer
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource
from problems.circuits.solution import exact_values
from problems.templates.keep import BadRule, Rule, read_rule
from problems.templates.sides import BadSide, read_side

CIRCUIT = Netlist(
    [
        VoltageSource("Vin", "in", "0", "1 V"),
        Resistor("R1", "in", "a", "1k"),
        Resistor("R2", "a", "0", "3k"),
        Resistor("R3", "0", "b", "1k"),
        Potentiometer("Rp", "in", "0", wiper="w", value="10k", setting="0.5"),
    ]
)
VALUES: dict[Any, Any] = exact_values(CIRCUIT)  # V_a = 0.75 V, I_R1 = 0.25 mA, I_R3 = 0


def _rule(text: str) -> Rule:
    return read_rule(text, lambda side: read_side(side, CIRCUIT))


def _test(rule: Rule, values: dict[Any, Any]) -> bool | None:
    names = sorted(rule.names(), key=str)
    return rule.test({name: place for place, name in enumerate(names)})([float(values[name]) for name in names])


ROWS = [
    pytest.param("V_a == 0.75 V", True, id="equal"),
    pytest.param("V_a != 0.75 V", False, id="different"),
    pytest.param("V_a <= 0.75", True, id="limit included, bare number"),
    pytest.param("V_a < 0.75", False, id="limit left out"),
    pytest.param("1 uA <= abs(I_R1) <= 10 mA", True, id="chain"),
    pytest.param("1 mA <= abs(I_R1) <= 10 mA", False, id="chain broken on the left"),
    pytest.param("1 uA <= abs(I_R1) <= 10 uA", False, id="chain broken on the right"),
    pytest.param("I_R3 == 0 or 1 uA <= abs(I_R3) <= 10 mA", True, id="exact zero or a range"),
    pytest.param("V_a > 1 V or V_a < 0 V", False, id="neither"),
    pytest.param("V_a > 0 V and Vin == 1 V", True, id="both"),
    pytest.param("not V_a > 1 V", True, id="not"),
    pytest.param("not (V_a > 1 V or Vin == 1 V)", False, id="not of a group"),
    pytest.param("V_a > 1 V and V_a > 1 V or Vin == 1 V", True, id="and binds closer than or"),
    pytest.param("V_a > 1 V and (V_a > 1 V or Vin == 1 V)", False, id="brackets bind closest"),
    pytest.param("(R1 + R2)/R2 == 4/3", True, id="brackets of a formula"),
    pytest.param("abs(-V_a) == V_a", True, id="abs"),
    pytest.param("R1 || R2 == 750 ohm", True, id="parallel"),
    pytest.param("R1 == 1k", True, id="prefix where k is a name too"),
    pytest.param("k == 1/2", True, id="setting"),
    pytest.param("V_R1 == Vin - V_a", True, id="drop"),
    pytest.param("V_a,b == 0.75 V", True, id="between two nodes"),
]


@pytest.mark.parametrize(("text", "holds"), ROWS)
def test_a_rule_holds_or_not(text: str, holds: bool) -> None:
    assert _rule(text).holds(VALUES) is holds


@pytest.mark.parametrize(("text", "holds"), ROWS)
def test_floats_say_the_same_or_leave_it_open(text: str, holds: bool) -> None:
    assert _test(_rule(text), VALUES) in (holds, None)


def test_floats_leave_open_what_is_too_close() -> None:
    assert _test(_rule("V_a <= 0.75"), VALUES) is None
    assert _test(_rule("V_a <= 0.75"), VALUES | {key: VALUES[key] * 2 for key in _rule("V_a <= 1").names()}) is False


def test_a_comparison_is_exact() -> None:
    near = {key: value + Fraction(1, 10**30) for key, value in VALUES.items()}
    assert _rule("V_a <= 0.75").holds(VALUES)
    assert not _rule("V_a <= 0.75").holds(near)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        pytest.param("V_a = 3 V", "equals", id="one equals sign"),
        pytest.param("V_a", "no-comparison", id="nothing compared"),
        pytest.param("(V_a > 1 V", "bracket", id="bracket not closed"),
        pytest.param("V_a > 1 V)", "bracket", id="bracket not opened"),
        pytest.param("V_a >", "side", id="nothing on the right"),
        pytest.param("< V_a", "side", id="nothing on the left"),
        pytest.param("V_a > 1 V and", "side", id="ends in and"),
        pytest.param("or", "side", id="only or"),
        pytest.param("V_a > 1 mA", "units", id="volt with ampere"),
        pytest.param("gain(k=1) == 1", "gain", id="gain, which is not built"),
        pytest.param("(" * 60 + "V_a > 1" + ")" * 60, "deep", id="deep brackets"),
        pytest.param("not " * 60 + "V_a > 1", "deep", id="deep not"),
    ],
)
def test_a_bad_rule_says_why(text: str, reason: str) -> None:
    with pytest.raises(BadRule) as caught:
        _rule(text)
    assert caught.value.reason == reason


@pytest.mark.parametrize(
    "text",
    ["V_zz > 1 V", "__import__('os') > 1", "9^9^9 > 1", "V_a + I_R1 > 1", "V_a > 2,5", "V_a > ;", "V_a > \x1b[31m"],
)
def test_a_side_that_cannot_be_read_is_refused(text: str) -> None:
    with pytest.raises(BadSide) as caught:
        _rule(text)
    assert caught.value.message.isprintable()
