"""What learners type, read as formulas: every meaning of it, within bounds, never an exception."""

from __future__ import annotations

from collections.abc import Hashable
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from problems.formulas.parser import MAX_READINGS, Reading, Unreadable, Vocabulary, parse, parse_sides
from problems.formulas.units import DIMENSIONS, PURE, UnitClash, dimension_of

VALUES: dict[Hashable, Fraction] = {
    "Vin": Fraction(4, 5),
    "Ri": Fraction(8200),
    "Rf": Fraction(33_000),
    "R2": Fraction(1000),
    "k": Fraction(7, 10),
    "V_2": Fraction(14, 25),
    "V_out": Fraction(9, 8),
    "V_+": Fraction(1, 2),
    "V_a,b": Fraction(1, 4),
    "I_Rp.top": Fraction(1, 25_000),
}
UNITS = {"V": "V", "R": "ohm", "I": "A", "k": ""}
WORDS = Vocabulary(
    {str(name): name for name in VALUES if name != "V_a,b"},
    {str(name).replace("_", "").lower(): name for name in VALUES},
    {name: DIMENSIONS[UNITS[str(name)[0]]] for name in VALUES},
    lambda word: word.replace("_", "").lower(),
    lambda word: "V_a,b" if word.replace(" ", "") == "V_a,b" else None,
)

ONE_VALUE = [
    pytest.param("4k7", Fraction(4700), id="RKM code"),
    pytest.param("4k7 Ω", Fraction(4700), id="RKM code with a unit"),
    pytest.param("2.5 mA", Fraction(1, 400), id="prefix and unit"),
    pytest.param("5 m A", Fraction(1, 200), id="prefix and unit apart"),
    pytest.param("-3V3", Fraction(-33, 10), id="unit for the point"),
    pytest.param("1e-3", Fraction(1, 1000), id="power of ten"),
    pytest.param("3/5", Fraction(3, 5), id="a fraction"),
    pytest.param("60%", Fraction(3, 5), id="per cent"),
    pytest.param("-2^2", Fraction(-4), id="power before minus"),
    pytest.param("2**3", Fraction(8), id="power with two stars"),
    pytest.param("2^-1", Fraction(1, 2), id="negative power"),
    pytest.param("Vin*Ri||R2", Fraction(4, 5) * Fraction(8_200_000, 9200), id="parallel before product"),
    pytest.param("1k||1k", Fraction(500), id="parallel of values in a circuit with k"),
    pytest.param("V_+ - V_2", Fraction(-3, 50), id="a pin named by its sign"),
    pytest.param("V_a,b", Fraction(1, 4), id="between two nodes"),
    pytest.param("V_a, b", Fraction(1, 4), id="between two nodes with a space"),
    pytest.param("V_{out}", Fraction(9, 8), id="braces as in a formula editor"),
    pytest.param("vout", Fraction(9, 8), id="no underscore, no capitals"),
    pytest.param("2 I_Rp.top", Fraction(1, 12_500), id="half of a potentiometer"),
    pytest.param("Vin × Ri ÷ Rf", Fraction(4, 5) * 8200 / 33_000, id="school signs"),
    pytest.param("\u22120.5\u00a0V", Fraction(-1, 2), id="true minus and no-break space"),
    pytest.param("\u20130.5 V", Fraction(-1, 2), id="an en dash for a minus"),
    pytest.param("\uff15\uff0e\uff15 V", Fraction(11, 2), id="full-width figures"),
    pytest.param("2\u202f\u00b5A", Fraction(1, 500_000), id="micro sign, thin space"),
    pytest.param("(0.8-0.56) V", Fraction(6, 25), id="a unit behind brackets"),
    pytest.param("Vin Rf", Fraction(26_400), id="a product without a sign"),
    pytest.param("(2)(3)", Fraction(6), id="brackets side by side"),
    pytest.param("--5", Fraction(5), id="minus minus"),
    pytest.param("abs(V_2 - Vin)", Fraction(6, 25), id="a function"),
    pytest.param("3 Volts", Fraction(3), id="Volts"),
    pytest.param("150 mVolts", Fraction(3, 20), id="mVolts"),
    pytest.param("150 millivolts", Fraction(3, 20), id="millivolts"),
    pytest.param("5 microamps", Fraction(1, 200_000), id="microamps"),
    pytest.param("5 uAmps", Fraction(1, 200_000), id="uAmps"),
    pytest.param("4.7 kilohms", Fraction(4700), id="kilohms"),
    pytest.param("V₂", Fraction(14, 25), id="a digit set low"),
    pytest.param("½ V", Fraction(1, 2), id="a half"),
    pytest.param("1¾ V", Fraction(7, 4), id="one and three quarters"),
    pytest.param("0.6 V.", Fraction(3, 5), id="a full stop behind a unit"),
    pytest.param("k*Vin . ", Fraction(14, 25), id="a full stop behind a name"),
    pytest.param("5.", Fraction(5), id="a point behind a figure"),
]

TWO_MEANINGS = [
    pytest.param("2k", {Fraction(2000), Fraction(7, 5)}, id="k the prefix and k the setting"),
    pytest.param("2R2", {Fraction(11, 5), Fraction(2000)}, id="2R2 a value and twice R2"),
    pytest.param(
        "Vin/2 k", {Fraction(1, 2500), Fraction(4, 7), Fraction(7, 25)}, id="what follows a slash and a space"
    ),
    pytest.param("0.24/8.2 mA", {Fraction(240, 8_200) * 1000, Fraction(24, 820_000)}, id="a unit of the whole"),
    pytest.param(
        "Vin(2k-1)/10k",
        {
            Fraction(4, 5) * (a - 1) / b
            for a in (Fraction(2000), Fraction(7, 5))
            for b in (Fraction(10_000), Fraction(7))
        },
        id="each k by itself",
    ),
]

REFUSED = [
    pytest.param("0,56 V", "decimal-comma", 0, id="a decimal comma"),
    pytest.param("V_2,5", "decimal-comma", 3, id="a comma behind a name"),
    pytest.param("1,000", "comma-in-number", 0, id="a comma of thousands"),
    pytest.param("2 + 1.234,5", "thousands", 9, id="points of thousands and a decimal comma"),
    pytest.param("1,234.5", "thousands", 0, id="commas of thousands and a point"),
    pytest.param("1,234,567", "thousands", 1, id="commas of thousands twice"),
    pytest.param("0.1, 5", "stray-character", 3, id="a list of two numbers"),
    pytest.param("2 : 3", "stray-character", 2, id="a colon that says nothing"),
    pytest.param("9^9^9", "power-too-large", 2, id="powers of powers"),
    pytest.param("((((2^12)^12)^12)^12)^12", "too-large", 0, id="powers in brackets"),
    pytest.param("Vin^Ri", "power-of-name", 4, id="a name as a power"),
    pytest.param("1e400", "number-too-large", 0, id="a power of ten beyond bounds"),
    pytest.param("9" * 500, "number-too-large", 0, id="five hundred digits"),
    pytest.param("9" * 5000, "too-long", 1000, id="five thousand digits"),
    pytest.param("(" * 5000, "too-long", 1000, id="five thousand brackets"),
    pytest.param("(" * 200 + "1" + ")" * 99, "too-deep", 40, id="two hundred brackets"),
    pytest.param("-" * 200 + "1", "too-deep", 39, id="two hundred signs"),
    pytest.param("\x1b[31mred", "hidden-character", 0, id="an escape sequence"),
    pytest.param("0.5\u202e V", "hidden-character", 3, id="a bidi mark"),
    pytest.param("V_2 > 0", "comparison", 4, id="a comparison"),
    pytest.param("2 3", "two-values", 2, id="two numbers side by side"),
    pytest.param("1 000", "two-values", 2, id="a space of thousands"),
    pytest.param("2.5.3", "not-a-number", 0, id="two points"),
    pytest.param("5 Nm", "unknown-after-number", 2, id="a unit of another trade"),
    pytest.param("5 N m", "unknown-after-number", 2, id="the same unit with a space"),
    pytest.param("foo + 1", "unknown-name", 0, id="an unknown name"),
    pytest.param("V", "unit-alone", 0, id="a unit alone"),
    pytest.param("log(2)", "log-base", 0, id="a logarithm without a base"),
    pytest.param("sqrt 2", "function-bracket", 0, id="a function without brackets"),
    pytest.param("(1", "bracket-unclosed", 0, id="an open bracket"),
    pytest.param("1)", "bracket-unopened", 1, id="a bracket too many"),
    pytest.param("1 +", "ends-early", 3, id="a sign at the end"),
    pytest.param("*2", "not-expected", 0, id="a sign at the start"),
    pytest.param("  ", "nothing", 2, id="nothing"),
    pytest.param("red ; blue", "stray-character", 4, id="other words"),
    pytest.param("$5", "stray-character", 0, id="a stray sign"),
    pytest.param("1 = 2", "equals-sign", 2, id="an equation where a formula is wanted"),
]


def readings(text: str) -> tuple[Reading, ...]:
    found = parse(text, WORDS)
    assert not isinstance(found, Unreadable), found
    return found


@pytest.mark.parametrize(("text", "wanted"), ONE_VALUE)
def test_the_first_reading_has_the_value(text: str, wanted: Fraction) -> None:
    assert readings(text)[0].expression.at(VALUES) == wanted


@pytest.mark.parametrize(("text", "wanted"), TWO_MEANINGS)
def test_every_meaning_is_a_reading(text: str, wanted: set[Fraction]) -> None:
    assert {reading.expression.at(VALUES) for reading in readings(text)} == wanted


@pytest.mark.parametrize(("text", "key", "place"), REFUSED)
def test_what_cannot_be_read_says_why_and_where(text: str, key: str, place: int) -> None:
    found = parse(text, WORDS)
    assert isinstance(found, Unreadable)
    assert (found.key, found.place) == (key, place)


def test_the_comma_is_answered_with_the_point() -> None:
    found = parse("0,56", WORDS)
    assert isinstance(found, Unreadable)
    assert found.fields["point"] == "0.56"


@pytest.mark.parametrize(
    ("text", "joined"),
    [("1.234,5", "1234.5"), ("1,234.5", "1234.5"), ("1,234,567", "1234567"), ("1.234.567,8", "1234567.8")],
)
def test_marks_of_thousands_are_answered_with_the_figures_without_them(text: str, joined: str) -> None:
    found = parse(text, WORDS)
    assert isinstance(found, Unreadable)
    assert found.fields == {"written": text, "joined": joined}


@pytest.mark.parametrize("text", ["V_2: 0.5 V", "V_2 := 0.5 V", "V_2 : 0.5 V"])
def test_a_colon_behind_the_first_name_says_equals(text: str) -> None:
    assert parse_sides(text, WORDS) == parse_sides("V_2 = 0.5 V", WORDS)


@pytest.mark.parametrize(
    "text",
    ["V_2=0.15V V_out=0.15V", "V_2=1 V, V_out=2 V", "V_2=1; V_out=2", "V_2 = 1 V and V_out = 2 V"],
)
def test_two_statements_on_a_line_are_told_so(text: str) -> None:
    found = parse_sides(text, WORDS)
    assert isinstance(found, Unreadable)
    assert found.key == "two-statements"


@pytest.mark.parametrize(
    "text", ["V_out = V_2 = 0.5 V", "V_out = k Vin = 0.5 V", "V_out = 2 V_2 = 1 V", "V_2 = Vin V_2 = 1"]
)
def test_a_chain_of_equals_signs_is_one_statement(text: str) -> None:
    assert not isinstance(parse_sides(text, WORDS), Unreadable)


def test_what_was_chosen_is_told() -> None:
    assert [reading.choices for reading in readings("2k")] == [(("k", "2000"),), (("k", "2 times k"),)]
    assert readings("4.7 kΩ")[0].choices == ()


PARTS_NAMED_LIKE_OTHER_THINGS = Vocabulary({name: name for name in ("k", "s", "j", "pi", "V", "A", "m")})


@pytest.mark.parametrize("name", ["k", "s", "j", "pi", "V", "A", "m"])
def test_a_part_goes_before_what_else_its_name_could_be(name: str) -> None:
    found = parse(f"{name} + 1", PARTS_NAMED_LIKE_OTHER_THINGS)
    assert not isinstance(found, Unreadable)
    assert found[0].expression.at({name: Fraction(5)}) == 6


DIMENSION = [
    pytest.param("Vin/Ri", DIMENSIONS["A"], id="names"),
    pytest.param("2.5 mA * 4 kΩ", DIMENSIONS["V"], id="values with units"),
    pytest.param("1 + Rf/Ri", PURE, id="a bare number beside a ratio"),
    pytest.param("2.5", None, id="a bare number is open"),
    pytest.param("Vin/8200", None, id="a bare number in a quotient leaves it open"),
    pytest.param("(0.8 - 0.56) V", DIMENSIONS["V"], id="a unit behind brackets closes it"),
    pytest.param("sqrt(Vin^2)", DIMENSIONS["V"], id="a root of a square"),
]


@pytest.mark.parametrize(("text", "wanted"), DIMENSION)
def test_the_unit_of_a_formula(text: str, wanted: object) -> None:
    assert dimension_of(readings(text)[0].expression, WORDS.dims) == wanted


def test_unlike_things_are_not_added() -> None:
    with pytest.raises(UnitClash):
        dimension_of(readings("Vin + Ri")[0].expression, WORDS.dims)


MOSTLY_FORMULAS = st.text(alphabet="0123456789.,eEkmMuRVAIin_+-*/^()|= sfpij,{}[]%Ω", max_size=120)


@given(st.one_of(st.text(max_size=300), MOSTLY_FORMULAS))
@example("\ud800")
@example("2" * 1000)
@example("1e" * 300)
@example("V_" * 300)
@example("√(")
@example("².³")
def test_any_text_is_read_or_refused(text: str) -> None:
    found = parse_sides(text, WORDS)
    if isinstance(found, Unreadable):
        assert 0 <= found.place <= max(len(text), 1000)
        assert all(field.isprintable() for field in found.fields.values())
    else:
        assert all(len(side) <= MAX_READINGS for side in found)
