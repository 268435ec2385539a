"""What is wrong with a drawing is said once, at its place, with a remedy; all of it together."""

from __future__ import annotations

import pickle

import pytest

from problems.circuits.drawing import DrawingError, read_drawing

STAGE = r"""
 Vin o---[Ri]---+---[Rf]---+
                |          |
                |  |\      |
                +--|-\     |
                   |U1>----+--o Vout
             GND---|+/
                   |/
"""


def places(text: str) -> list[tuple[int, int, str]]:
    with pytest.raises(DrawingError) as caught:
        read_drawing(text)
    return [(fault.row, fault.column, fault.key) for fault in caught.value.faults]


FAULTS: dict[str, tuple[str, list[tuple[int, int, str]]]] = {
    "a wire end that touches nothing": (" Vin o--+--[R1]--GND\n         |", [(2, 10, "wire-end")]),
    "a gap in a wire": (" Vin o--[R1]-- --[R2]--GND", [(1, 14, "wire-end")]),
    "a corner without a joint": (" Vin o--[R1]--|\n              |\n             GND", [(1, 14, "wire-side")]),
    "a part with one terminal": (" Vin o--[R1]--GND   --[R2]", [(1, 21, "wire-end"), (1, 23, "part-one-terminal")]),
    "a part with none": (" Vin o--[R1]--GND   [R2]", [(1, 21, "part-alone")]),
    "a part with three": (" Vin o--[R1]--GND\n         |\n   Vx o--+", [(1, 9, "part-terminals")]),
    "a part with wires at an angle": (" Vin o--[R1]\n         |\n        GND", [(1, 9, "part-angle")]),
    "a wiper on a capacitor": ("   o Vin\n   |\n [Cp]<---o A\n   |\n  GND", [(3, 2, "part-terminals")]),
    "a wiper that does not reach": ("   o Vin\n   |\n [Rp] <---o A\n   |\n  GND", [(3, 7, "stray-arrow")]),
    "a name used twice": (" Vin o--[R1]--+--[R1]--GND\n              o Vx", [(1, 19, "name-twice")]),
    "two names on one net": (" Vin o--+--[R1]--GND\n        |\n        o A", [(3, 11, "two-names")]),
    "a named terminal on ground": (" Vin o--+--[R1]--GND\n        |\n       GND", [(1, 2, "two-names")]),
    "a triangle without its tip": (STAGE.replace("U1>", "U1 "), [(6, 23, "triangle")]),
    "a triangle without its first row": (STAGE.replace("|\\  ", "    ", 1), [(4, 20, "triangle")]),
    "a triangle with two minus signs": (STAGE.replace("|+/", "|-/"), [(7, 21, "triangle-sign")]),
    "an op-amp without a name": (STAGE.replace("U1>", "  >"), [(6, 21, "triangle-name")]),
    "an input that is not wired": (STAGE.replace("GND---|", "      |"), [(7, 19, "pin-open")]),
    "a stray character": (" Vin o--[R1]--?--GND", [(1, 15, "stray")]),
    "a stray word": (" Vin o--[R1]--GND  hello", [(1, 20, "stray-word")]),
    "a ground in small letters": (" Vin o--[R1]--gnd", [(1, 15, "stray-ground")]),
    "a potentiometer of an unknown letter": ("   o Vin\n   |\n [P1]<---o A\n   |\n  GND", [(3, 3, "part-letter")]),
    "an unknown letter": (" Vin o--[Q1]--GND", [(1, 10, "part-letter")]),
    "a part called k": (" Vin o--[k]--GND", [(1, 10, "part-letter")]),
    "a part called pi": (" Vin o--[pi 3]--GND", [(1, 10, "part-letter")]),
    "a terminal called s": (" s o--[R1]--GND", [(1, 2, "terminal-reserved")]),
    "a terminal called like a function": (" atan o--[R1]--GND", [(1, 2, "terminal-reserved")]),
    "a small letter": (" Vin o--[r1]--GND", [(1, 10, "part-case")]),
    "a resistor in round brackets": (" Vin o--(R1)--GND", [(1, 9, "part-brackets")]),
    "a value of another unit": (" Vin o--[R1 10V]--GND", [(1, 10, "part-value")]),
    "a value beyond all bounds": (" Vin o--[R1 1e400]--GND", [(1, 10, "part-value")]),
    "a bracket not closed": (" Vin o--[R1--GND", [(1, 9, "bracket-unclosed")]),
    "a bracket not opened": (" Vin o--R1]--GND", [(1, 11, "bracket-unopened")]),
    "no ground": (" +--[R1]--+\n |        |\n +--[R2]--+", [(1, 1, "no-ground")]),
    "a GND that nothing touches": (" Vin o--[R1]--GND  GND", [(1, 20, "ground-alone")]),
    "a terminal without a name": (" o--[R1]--GND", [(1, 2, "terminal-nameless")]),
    "a terminal that looks like a pin": (" V1 o--[R1]--GND", [(1, 2, "terminal-digits")]),
    "a terminal called like a drop": (" VR1 o--[R1]--GND", [(1, 2, "name-clash")]),
    "a tab": (" Vin o--[R1]--+\tGND", [(1, 16, "tab")]),
    "a wide character": (" Vin o--[R1]--中--GND", [(1, 15, "wide")]),
    "an invisible character": (" Vin o--[R1]\u202e--GND", [(1, 13, "control")]),
    "too many rows": ("\n" * 300 + "x", [(201, 1, "too-large")]),
    "a row too long": ("-" * 500, [(1, 401, "too-large")]),
    "nothing": ("  \n \n", [(1, 1, "empty")]),
}


@pytest.mark.parametrize(("text", "expected"), FAULTS.values(), ids=FAULTS)
def test_each_mistake_is_named_once_at_its_place(text: str, expected: list[tuple[int, int, str]]) -> None:
    assert places(text) == expected


def test_all_mistakes_of_a_drawing_come_together() -> None:
    text = " V1 o--[R1]--+--[R1]---\n             |\n      [Q1 10V]-+-?\n"
    assert {key for _, _, key in places(text)} >= {"terminal-digits", "name-twice", "wire-end", "part-letter", "stray"}


@pytest.mark.parametrize(
    ("good", "bad", "expected"),
    [
        ("                |  |\\", "               |  |\\", (4, 1, "row-short")),
        ("                   |U1>", "                    |U1>", (6, 1, "row-long")),
    ],
    ids=["a blank too few before", "a blank too many before"],
)
def test_a_row_out_of_step_is_one_mistake(good: str, bad: str, expected: tuple[int, int, str]) -> None:
    assert good in STAGE
    assert places(STAGE.replace(good, bad, 1)) == [expected]


def test_a_message_shows_place_line_caret_and_remedy() -> None:
    with pytest.raises(DrawingError, match="row 1, column 15") as caught:
        read_drawing(" Vin o--[R1]--?--GND")
    assert str(caught.value).split("\n")[1:] == ["   Vin o--[R1]--?--GND", "                ^"]
    assert caught.value.faults[0].remedy in str(caught.value)


def test_a_value_that_cannot_be_read_is_told_once_with_an_example() -> None:
    with pytest.raises(DrawingError) as caught:
        read_drawing(" Vin o--[R1 5q]--GND")
    (fault,) = caught.value.faults
    assert fault.problem == "the value '5q' of R1 has no unit 'q'."
    assert fault.remedy.startswith("Write it like 4.7k.")
    assert str(fault).lower().count("write") == 1


def test_a_ground_in_small_letters_is_told_the_word() -> None:
    with pytest.raises(DrawingError, match="GND"):
        read_drawing(" Vin o--[R1]--gnd")


def test_control_and_bidi_characters_are_not_echoed() -> None:
    with pytest.raises(DrawingError) as caught:
        read_drawing(" Vin o--[R1]\x1b]0;title\x07\u202e--GND")
    assert "\x1b" not in str(caught.value)
    assert "\u202e" not in str(caught.value)
    assert "U+202E" in str(caught.value)


def test_the_error_survives_a_process_border() -> None:
    with pytest.raises(DrawingError) as caught:
        read_drawing(" o--[R1")
    assert pickle.loads(pickle.dumps(caught.value)).faults == caught.value.faults


def test_a_terminal_may_be_called_like_the_source_at_it_and_no_other() -> None:
    source = """  Vin o--+--[R1]--+--o Vout
         |        |
       (Vin 1V)  [R2]
         |        |
        GND      GND"""
    assert [part.name for part in read_drawing(source).parts({"Vin": "2 V"})] == ["R1", "Vin", "R2"]
    assert places(source.replace("Vin o", " Va o").replace("Vout", "Vin ")) == [(1, 24, "name-clash")]
