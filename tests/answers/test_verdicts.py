"""What a learner types, and the verdict on it: every kind, in the stated order, on the vane amplifier of the bench.

Vin 0.8 V, Ri 8.2 kΩ, Rf 33 kΩ, Rg 12 kΩ, k 0.7: V_3 = V_2 = 0.56 V, I_Ri = 29.27 µA, I_Rg = 46.67 µA,
I_Rf = −17.40 µA, V_out = 1.134 V (0.56 + 0.56·33/12 − 0.24·33/8.2, worked by hand).
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from station_lesson import balanced, inverter, quantity, said, vane

from problems.answers.judge import judge
from problems.answers.read import Statement, fitting, read
from problems.answers.slips import slip
from problems.answers.tolerance import close
from problems.answers.values import value_of
from problems.answers.verdict import KINDS
from problems.formulas.printers import engineering, rounded

RIGHT = [
    pytest.param("V_3 = 0.56 V", id="value and unit"),
    pytest.param("V_3 = 560 mV", id="another prefix"),
    pytest.param("V_3 = 0.56V", id="no space"),
    pytest.param("0.56 V = V_3", id="the quantity on the right"),
    pytest.param("V_3 = 0.00056 kV", id="a prefix nobody would take"),
    pytest.param("V_3 = k Vin", id="names"),
    pytest.param("V_3 = k*Vin = 0.56 V", id="a chain"),
    pytest.param("V_+ = 0.56 V", id="the pin by its sign"),
    pytest.param("V_- = 0.56 V", id="the other pin by its sign"),
    pytest.param("V- = 0.56 V", id="the same without a line below"),
    pytest.param("V₃ = 0.56 volts.", id="a digit set low, a unit in letters, a full stop"),
    pytest.param("I_Rg: 46.7 microamps", id="a colon"),
    pytest.param("V_U1.3 = 0.56 V", id="the pin by its full name"),
    pytest.param("v3 = 0.56 V", id="loosely spelled"),
    pytest.param("V_3 = 0.7*0.8", id="a sum of bare numbers needs no unit"),
    pytest.param("V_3 = 0.7*0.8 V", id="a sum of bare numbers with a unit"),
    pytest.param("V_3 = 0V56", id="a unit for the point"),
    pytest.param("V_3 = 56e-2 V", id="power of ten"),
    pytest.param("V_3 = 14/25 V", id="a fraction"),
    pytest.param("V_3 \u2248 0.56 V", id="about equal"),
    pytest.param("V_3 = 0.56 V\r\n", id="a line end from another machine"),
    pytest.param("I_Rg = 46.7 uA", id="a current"),
    pytest.param("I_Rg = 4u67 A * 10", id="a letter for the point and a sum"),
    pytest.param("I_Ri = (0.8-0.56)/8.2k", id="k the prefix in a circuit with k"),
    pytest.param("I_Ri = (0.8-0.56)/8.2 mA", id="the unit of the whole behind a quotient"),
    pytest.param("I_Ri = (Vin - V_2)/Ri", id="a law in names"),
    pytest.param("I_Rf = I_Ri - I_Rg", id="KCL in names"),
    pytest.param("I_Rf = -17.4 uA", id="a negative current"),
    pytest.param("I_Rf = 17.4 uA from the output to pin 2", id="the same by its direction"),
    pytest.param("I_Rg = 46.7 uA to ground", id="to ground"),
    pytest.param("I_Ri = 29.3 uA into pin 2", id="into a pin"),
    pytest.param("I_Ri = 29.3 uA from Vin", id="from a source"),
    pytest.param("I_U1 = 17.4 uA", id="the current of an output pin"),
    pytest.param("V_Ri = 0.24 V", id="a drop"),
    pytest.param("V_in,2 = 0.24 V", id="between two nodes"),
    pytest.param("V_out = 0.56 + 17.4uA*33k", id="a mixed sum"),
    pytest.param("Vout = Vin*(k*(1+Rf/Ri+Rf/Rg) - Rf/Ri)", id="the whole formula in names"),
    pytest.param("V_out = (0.56/12k - (0.8-0.56)/8.2k)*33k + 0.56", id="the whole sum in numbers"),
    pytest.param("I_Rp = 40 uA", id="a potentiometer whose wiper carries nothing"),
]

NOT_YET = [
    pytest.param("V_3 = 0.56", "unit-missing", id="right value, no unit"),
    pytest.param("V_3 = -(-0.56)", "unit-missing", id="signs do not make a sum of it"),
    pytest.param("V_3 = 0.56 mA", "unit-wrong", id="a current where a voltage is asked"),
    pytest.param("V_3 = Ri", "unit-wrong", id="a resistance where a voltage is asked"),
    pytest.param("V_3 = 56 %", "unit-wrong", id="a share where a voltage is asked"),
    pytest.param("V_3 = 1 V + 2 mA", "unit-wrong", id="unlike things added"),
    pytest.param("I_Ri = 29.3 mA", "power-of-ten", id="a wrong prefix"),
    pytest.param("I_Rg = 29.3", "wrong", id="a value that nothing explains"),
    pytest.param("V_2 = 0.6 V", "rounding", id="one figure"),
    pytest.param("V_out = 1.1 V", "rounding", id="two figures"),
    pytest.param("I_Ri = -29.3 uA", "wrong-move", id="a flipped sign that a move of this step explains"),
    pytest.param("I_Ri = 29.3 uA from pin 2 to Vin", "wrong-move", id="the same by its direction"),
    pytest.param("V_3 = -0.56 V", "sign", id="a flipped sign that none explains"),
    pytest.param("V_3 = 0.24 V", "wrong-move", id="the wrong leg of a divider"),
    pytest.param("V_out = 0.56 - 17.4uA*33k", "wrong-move", id="a drop with the wrong sign"),
    pytest.param("V_out = 7.7 V", "wrong", id="a value of no known cause"),
    pytest.param("V_3 = V_3", "unreadable", id="itself"),
    pytest.param("V_2 = 1/(V_2 - V_2 + V_3 - V_3) V", "unreadable", id="itself and a division by 0"),
    pytest.param("V_out = 1/(V_2 - V_3)", "unreadable", id="a division by 0"),
    pytest.param("V_out = sqrt(0 - 1)", "unreadable", id="a root of a negative"),
    pytest.param("V_3 = 0,56 V", "unreadable", id="a decimal comma"),
    pytest.param("V_9 = 0.56 V", "unreadable", id="no such quantity"),
    pytest.param("V_3 = 0.56 V down", "unreadable", id="a direction of a voltage"),
    pytest.param("I_Ri = 29.3 uA sideways", "unreadable", id="no direction"),
    pytest.param("I_Ri = 29.3 uA to ground", "unreadable", id="a direction that the part does not have"),
    pytest.param("0.56 V", "unreadable", id="no quantity and none asked"),
    pytest.param("", "unreadable", id="nothing"),
]


@pytest.mark.parametrize("text", RIGHT)
def test_a_right_statement_is_right(text: str) -> None:
    verdict = said(vane(), text)
    assert (verdict.kind, verdict.right) == ("right", True), verdict.message
    assert verdict.message.startswith("right: ")


@pytest.mark.parametrize(("text", "kind"), NOT_YET)
def test_what_is_not_right_gets_its_kind(text: str, kind: str) -> None:
    verdict = said(vane(), text)
    assert (verdict.kind, verdict.right) == (kind, False), verdict.message
    assert verdict.kind in KINDS
    assert verdict.message


def test_a_bare_expression_is_about_the_step_asked() -> None:
    assert said(vane(), "0.56 V", "V_3").kind == "right"
    assert said(vane(), "0.56 V", "V_out").kind != "right"


def test_any_quantity_can_be_stated_whatever_is_asked() -> None:
    verdict = said(vane(), "I_Rg = 46.7 uA", "V_3")
    assert (verdict.kind, verdict.quantity) == ("right", quantity(vane(), "I_Rg"))


def test_what_is_stated_already_is_known() -> None:
    assert said(vane(), "V_3 = 0.56 V", V_3="0.56").kind == "known"
    assert said(vane(), "Vin = 0.8 V").kind == "known"
    assert said(vane(), "V_3 = 0.56 V", V_3="0.5").kind == "right"


def test_outside_an_attempt_nothing_is_known() -> None:
    lesson = vane()
    assert judge(lesson, "Vin = 0.8 V", None, {}, earlier=None).kind == "right"


def test_what_costs_a_try() -> None:
    assert said(vane(), "V_out = 7.7 V").costs_a_try
    for text in ("V_3 = 0.56", "V_3 = 0,56", "V_3 = 0.56 V", "I_Ri = -29.3 uA", "V_Rf = 574.1 mV"):
        assert not said(vane(), text).costs_a_try, text


def test_a_virtual_ground_is_zero_and_nothing_near_it() -> None:
    assert said(inverter(), "V_2 = 0").kind == "right"
    assert said(inverter(), "V_2 = 0 V").kind == "right"
    assert said(inverter(), "V_2 = 0 A").kind == "unit-wrong"
    assert said(inverter(), "V_2 = 1 uV").kind != "right"


def test_a_zero_by_cancellation_has_room() -> None:
    """With Rf = Ri and the setting at one half nothing reaches the output, though both paths act."""
    lesson = balanced()
    assert lesson.values[quantity(lesson, "V_out")] == 0
    assert said(lesson, "V_out = 0 V").kind == "right"
    assert said(lesson, "V_out = 4 mV").kind == "right"
    assert said(lesson, "V_out = 4.1 mV").kind != "right"


KINDS_OF_UNITS = [
    pytest.param("I_Rg = 46.7 uA", "I_Rg = 0.0000467 A", id="right in two scales"),
    pytest.param("I_Rg = 50.7 uA", "I_Rg = 0.0000507 A", id="wrong in two scales"),
    pytest.param("V_out = -1.134 V", "V_out = -1134 mV", id="a sign in two scales"),
]


@pytest.mark.parametrize(("one", "other"), KINDS_OF_UNITS)
def test_a_value_gets_one_verdict_in_every_scale(one: str, other: str) -> None:
    first, second = said(vane(), one), said(vane(), other)
    assert (first.kind, first.message) == (second.kind, second.message)


EDGE = Fraction(1, 100)


@given(st.fractions(min_value=Fraction(1, 10**6), max_value=10**6), st.sampled_from([1, -1]), st.sampled_from([1, -1]))
def test_the_limit_of_one_per_cent_belongs_to_it(size: Fraction, sign: int, side: int) -> None:
    right = sign * size
    assert close(right * (1 + side * EDGE), right)
    assert not close(right * (1 + side * (EDGE + Fraction(1, 10**12))), right)


@given(st.fractions(min_value=Fraction(99, 100), max_value=Fraction(101, 100)))
def test_no_value_outside_one_per_cent_is_right(share: Fraction) -> None:
    lesson = vane()
    right = lesson.values[quantity(lesson, "V_out")]
    for value in (right * share, right * (share + Fraction(2, 100)), right * (share - Fraction(2, 100))):
        text = f"V_out = {value.numerator}/{value.denominator} V"
        assert (
            said(lesson, text).right == (abs(value - right) <= abs(right) / 100)
            or said(lesson, text).kind == "unreadable"
        )


@given(st.fractions(min_value=Fraction(1, 10**6), max_value=10**6))
def test_three_figures_are_always_enough(value: Fraction) -> None:
    assert close(rounded(value, 3), value)
    assert slip(rounded(value, 3), value) in {None, "rounding"}


ECHOED = [
    pytest.param("I_Ri = (0.8-0.56)/8.2k", "Read as (0.8 − 0.56)/8200 = 29.27 µA.", id="a prefix in a sum"),
    pytest.param("V_3 = Vin*(2k - 0.7)", "Read as Vin·(2·k − 0.7) = 0.56 V.", id="a name that could be a prefix"),
    pytest.param(
        "I_Rg = 46.7 uA to ground",
        "Read as 46.7 µA to ground, that is 46.7 µA along the arrow of I_Rg.",
        id="a direction",
    ),
]


@pytest.mark.parametrize(("text", "wanted"), ECHOED)
def test_what_was_not_plain_is_echoed(text: str, wanted: str) -> None:
    assert wanted in said(vane(), text).message.replace("\u2009", " ")


def test_what_was_plain_is_not_echoed() -> None:
    assert "Read as" not in said(vane(), "V_3 = 0.56 V").message
    assert "Read as" not in said(vane(), "I_Rf = I_Ri - I_Rg").message


def test_the_reply_names_the_goal_before_the_value() -> None:
    message = said(vane(), "V_3 = 0.24 V").message
    assert (
        message.index("not yet.") < message.index("This step asks") < message.index(engineering(Fraction(24, 100), "V"))
    )
    assert message.endswith("?")


@given(
    st.fractions(min_value=Fraction(1, 1000), max_value=1000),
    st.integers(-15, 15),
    st.sampled_from(["0.991", "1", "1.0095"]),
)
def test_a_power_of_ten_is_seen_whatever_it_is(right: Fraction, power: int, share: str) -> None:
    """Within 1 % of the right value but for a power of ten; the power 0 is no slip of that kind."""
    value = right * Fraction(10) ** power * Fraction(share)
    assert (slip(value, right) == "power-of-ten") == (power != 0)


def test_the_reading_with_the_unit_asked_goes_first() -> None:
    """3/4 mA is 0.75 mA where a current is asked, not 3 over 4 mA."""
    netlist = vane().netlist
    statement = read("I_Ri = 3/4 mA", netlist, None)
    assert isinstance(statement, Statement)
    first, *others = fitting(statement.sides[0], statement.head, netlist)
    assert value_of(first.expression, {}) == Fraction(3, 4000)
    assert {value_of(other.expression, {}) for other in others} == {750}


def test_a_wrong_voltage_between_two_nodes_gets_a_verdict() -> None:
    assert said(vane(), "V_2,in = 5 V").kind == "wrong"
    assert said(vane(), "V_2,in = -0.24 V").kind == "right"
    assert said(vane(), "V_2,in = V_2 - Vin").kind == "known"
