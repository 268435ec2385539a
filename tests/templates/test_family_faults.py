"""Proofreading: every mistake of a file is reported, in one go, with its line and remedy."""

from __future__ import annotations

from pathlib import Path

import pytest

from problems.templates.faults import FamilyFault, Fault
from problems.templates.library import load_family, proofread
from problems.templates.proofread import faults_of
from problems.templates.sample import MOST_DRAWS

GOOD = r"""title = "Inverting amplifier"
topic = "the two rules"
package = "single"
drawing = '''
 Vin o---[Ri]---+------[Rf]------+
                |                |
                |     |\         |
                +-----|-\        |
                      |U1>-------+---o Vout
                +-----|+/
                |     |/
               GND
'''
statement = "The bench gives {Vin}."

[values]
Vin = { unit = "V", choose = ["1", "2", "-1.5"] }
Ri = { unit = "ohm", series = "E12", from = "4.7k", to = "22k" }
Rf = { unit = "ohm", series = "E12", from = "10k", to = "47k" }

[keep]
rules = [
  "abs(V_out) <= 10 V",
  "1 uA <= abs(I_Ri) <= 10 mA",
]

[hints]
I_Ri = "Where do the ends of Ri stand?"

[[ask]]
find = "V_2"

[[ask]]
find = "V_out"
"""


def _changed(*changes: tuple[str, str]) -> str:
    text = GOOD
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return text


def _faults(text: str, draws: int = 60) -> tuple[Fault, ...]:
    return faults_of(text, "f", "f.toml", draws)


def _line(text: str, mark: str) -> int:
    return next(number for number, row in enumerate(text.split("\n"), 1) if mark in row)


def test_a_good_file_has_no_fault() -> None:
    assert _faults(GOOD) == ()


VIN = 'Vin = { unit = "V", choose = ["1", "2", "-1.5"] }\n'
RI = 'Ri = { unit = "ohm", series = "E12", from = "4.7k", to = "22k" }'
RF = 'Rf = { unit = "ohm", series = "E12", from = "10k", to = "47k" }'

# Change of the good file, key of the one fault, and a mark of the line where it stands.
ONE = [
    pytest.param(("topic", "topik"), "unknown-key", "topik", id="misspelt key"),
    pytest.param(("title = ", "# title = "), "missing-key", "# title", id="no title"),
    pytest.param(('title = "Inverting amplifier"', "title = 3"), "type", "title", id="title is a number"),
    pytest.param(('title = "Inverting amplifier"', 'title = ""'), "length", "title", id="title is empty"),
    pytest.param(("Inverting amplifier", "In\\u001b[31mverting"), "character", "title", id="escape sequence"),
    pytest.param(("Inverting amplifier", "In\\u202Everting"), "character", "title", id="bidi mark"),
    pytest.param(('"single"', '"triple"'), "package", "package", id="unknown package"),
    pytest.param(("{Vin}", "{Vim}"), "unknown-field", "statement", id="unknown field"),
    pytest.param(("{Vin}", "{Vin"), "brace", "statement", id="open brace"),
    pytest.param(("GND\n", "GND\n Vx o---\n"), "drawing", "Vx o---", id="loose end"),
    pytest.param(("-o Vout", "-" * 50 + "o Vout"), "wide", "U1>", id="drawing too wide"),
    pytest.param((RF, ""), "no-value", "[values]", id="part without a value"),
    pytest.param(("[keep]", 'Rx = "1k"\n[keep]'), "unknown-value", "Rx", id="value without a part"),
    pytest.param(("[Rf]----", "[Rf 1k]-"), "value-twice", "Rf = ", id="value in the drawing and in the file"),
    pytest.param(('choose = ["1", "2", "-1.5"]', 'chose = ["1"]'), "value-kind", "Vin = ", id="value says nothing"),
    pytest.param(('to = "22k"', 'to = "22k", value = 3'), "value-kinds", "Ri = ", id="value says two things"),
    pytest.param(('to = "22k"', 'too = "22k"'), ("missing-key", "unknown-key"), "Ri = ", id="misspelt limit"),
    pytest.param(('"E12", from = "4.7k"', '"E13", from = "4.7k"'), "series", "Ri = ", id="unknown series"),
    pytest.param(('"4.7k", to = "22k"', '"22k", to = "4.7k"'), "limits", "Ri = ", id="limits in the wrong order"),
    pytest.param(('"4.7k", to = "22k"', '"4.8k", to = "5k"'), "empty-series", "Ri = ", id="no value within"),
    pytest.param(('"4.7k", to = "22k"', '"0", to = "22k"'), "limits", "Ri = ", id="series from zero"),
    pytest.param(('["1", "2", "-1.5"]', "[]"), "empty-list", "Vin = ", id="empty list"),
    pytest.param(('"-1.5"]', '"2,5"]'), "value", "Vin = ", id="decimal comma"),
    pytest.param(('"-1.5"]', '"lots"]'), "value-name", "Vin = ", id="a name for a value"),
    pytest.param(('"-1.5"]', '"1e400"]'), "value", "Vin = ", id="1e400 in quotes"),
    pytest.param(('"-1.5"]', "1e400]"), "value", "Vin = ", id="1e400 as a number"),
    pytest.param(('"-1.5"]', '"1e30"]'), "value-size", "Vin = ", id="1e30 volts"),
    pytest.param(('"-1.5"]', "nan]"), "value", "Vin = ", id="not a number"),
    pytest.param(('"-1.5"]', "1979-05-27]"), "value", "Vin = ", id="a date"),
    pytest.param(('"-1.5"]', "true]"), "value", "Vin = ", id="true"),
    pytest.param(('"-1.5"]', "[1]]"), "value", "Vin = ", id="a list in the list"),
    pytest.param(('"-1.5"]', '"3 mA"]'), "value", "Vin = ", id="ampere for a voltage"),
    pytest.param(('unit = "V"', 'unit = "A"'), "unit", "Vin = ", id="wrong unit"),
    pytest.param((RI, 'Ri = "-3k"'), "value-negative", "Ri = ", id="negative resistance"),
    pytest.param(("abs(V_out) <= 10 V", "abs(V_ou) <= 10 V"), "rule-unread", "V_ou)", id="unknown name in a rule"),
    pytest.param(("abs(V_out) <= 10 V", "abs(V_out) <= 10 mA"), "rule-units", "10 mA", id="rule mixes units"),
    pytest.param(("abs(V_out) <= 10 V", "V_out = 10 V"), "rule-equals", "V_out = ", id="one equals sign in a rule"),
    pytest.param(("abs(V_out) <= 10 V", "abs(V_out) >= 999 V"), "rule-never", "999", id="rule that nothing meets"),
    pytest.param(("1 uA <= abs(I_Ri) <= 10 mA", "V_2 != 0"), "rule-never", "V_2 != 0", id="rule against a law"),
    pytest.param(('title = "', 'order = "first"\ntitle = "'), "type", "order", id="order that is no number"),
    pytest.param(('find = "V_2"', 'find = "V_9"'), "unknown-quantity", "V_9", id="unknown ask"),
    pytest.param(('find = "V_2"', 'find = "V_out"'), "asked-twice", "[[ask]]", id="asked twice"),
    pytest.param(('find = "V_2"', 'choose = "Rf"'), "ask-planned", 'choose = "Rf"', id="kind of ask not built"),
    pytest.param(('find = "V_2"', 'fnd = "V_2"'), "ask-kind", "[[ask]]", id="misspelt ask"),
    pytest.param(('find = "V_2"', 'find = "V_2"\nhelp = "x"'), "unknown-key", "help", id="unknown key in an ask"),
    pytest.param(('"V_2"', '"V_2"\napart = ["no-such-move"]'), "unknown-move", "apart", id="unknown wrong move"),
    pytest.param(('I_Ri = "Where', 'I_Rx = "Where'), "unknown-quantity", "I_Rx", id="hint for nothing"),
    pytest.param(("-----|-\\", "-----|+\\"), "drawing", "|+/", id="two plus inputs"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "key", "mark"), ONE)
def test_one_mistake_is_one_fault_on_its_line(change: tuple[str, str], key: str | tuple[str, ...], mark: str) -> None:
    text = _changed(change)
    found = _faults(text)
    keys = (key,) if isinstance(key, str) else key
    assert tuple(fault.key for fault in found) == keys, "\n".join(map(str, found))
    if key not in ("missing-key", "asked-twice", "ask-kind"):
        assert found[0].line == _line(text, mark)


@pytest.mark.parametrize(("change", "key", "mark"), ONE)
def test_every_fault_has_words_and_is_safe_to_print(change: tuple[str, str], key: str, mark: str) -> None:
    for fault in _faults(_changed(change)):
        shown = str(fault)
        assert shown.startswith(f"f.toml:{fault.line}")
        assert fault.says
        assert "{" not in shown.replace("{Vin}", "").replace("{name}", "") or fault.key == "brace"
        assert shown.isprintable()


def test_a_decimal_comma_is_refused_with_the_remedy() -> None:
    (fault,) = _faults(_changed(('"-1.5"]', '"2,5"]')))
    assert "point" in str(fault)


SWAPPED = [("|-\\", "|+\\"), ("|+/", "|-/")]


@pytest.mark.parametrize(
    ("changes", "key"),
    [
        pytest.param(SWAPPED, "feedback-positive", id="inputs exchanged"),
        pytest.param([("+------[Rf]------+", "+                +")], "drawing", id="feedback taken away"),
        pytest.param([(VIN, ""), ("The bench gives {Vin}.", "")], "no-source", id="nothing drives it"),
    ],
)  # fmt: skip
def test_a_circuit_that_cannot_be_taught_is_reported(changes: list[tuple[str, str]], key: str) -> None:
    assert key in {fault.key for fault in _faults(_changed(*changes))}


def _file(drawing: str, values: str, *asks: str) -> str:
    asked = "".join(f'[[ask]]\nfind = "{name}"\n' for name in asks)
    return f"title = 'x'\ndrawing = '''\n{drawing}'''\n[values]\n{values}\n{asked}"


def test_a_circuit_without_a_solution_names_who_disagrees() -> None:
    drawing = " Va o--(V1)--GND\n Va o--[R1]--GND\n"
    (fault,) = _faults(_file(drawing, "Va = 1\nV1 = 2\nR1 = 1000", "I_R1"))
    assert fault.key == "no-solution"
    assert "V1" in str(fault)


def test_a_file_with_a_capacitor_is_sound_in_s_at_a_frequency_and_in_time() -> None:
    drawing = " Va o--[R1]--+--o Vout\n             |\n           [C1]\n             |\n            GND\n"
    for condition, ask in (("", "V_out"), ("\nf = '100k'", "gain"), ("\nt = '1u'", "V_out"), ("", "f_c")):
        assert _faults(_file(drawing, f"Va = 1\nR1 = 1000\nC1 = '1n'{condition}", ask)) == ()


def test_a_quantity_that_many_solutions_disagree_on_is_reported_at_its_ask() -> None:
    drawing = " Va o--(V1)--GND\n Va o--(V2)--GND\n Va o--[R1]--GND\n"
    (fault,) = _faults(_file(drawing, "V1 = 2\nV2 = 2\nR1 = 1000", "I_R1", "I_V1"))
    assert (fault.key, fault.at) == ("many-solutions", "ask 2")


def test_wrong_moves_that_always_meet_the_right_answer_are_reported() -> None:
    text = _changed(
        ('series = "E12", from = "10k", to = "47k"', 'choose = ["1000k"]'),
        ('series = "E12", from = "4.7k", to = "22k"', 'choose = ["10k"]'),
        ('choose = ["1", "2", "-1.5"]', 'choose = ["0.05", "0.06"]'),
    )
    (fault,) = _faults(text)
    assert fault.key == "collision"
    assert "V_out" in fault.says


TEN = r"""title = "Ten mistakes"
topik = "summing"
package = "triple"
drawing = '''
 Vin o---[Ri]---+------[Rf]------+
                |                |
                |     |\         |
                +-----|-\        |
                      |U1>-------+---o Vout
                +-----|+/
                |     |/
               GND
 Vx o---
'''
statement = "The bench gives {Vinn}."

[values]
Vin = { unit = "V", choose = ["1", "1e400"] }
Ri = { unit = "ohm", series = "E13", from = "4.7k", to = "47k" }
Rf = { unit = "ohm", choose = ["-3k"] }
Ry = { choose = ["3k"] }
k = { choose = [1.5] }

[keep]
rules = ["I_Rq == 0", "V_out = 3"]

[[ask]]
find = "V_ou"
"""


def test_ten_mistakes_and_more_are_all_reported_at_once() -> None:
    found = _faults(TEN)
    wanted = {
        "unknown-key": "topik",
        "package": "triple",
        "drawing": "Vx o---",
        "unknown-field": "Vinn",
        "value": "1e400",
        "series": "E13",
        "value-negative": "-3k",
        "unknown-value": "Ry",
        "value-setting": "1.5",
        "rule-unread": "I_Rq",
        "rule-equals": "V_out = 3",
        "unknown-quantity": 'find = "V_ou"',
    }
    assert {fault.key for fault in found} == set(wanted)
    for fault in found:
        assert fault.line == _line(TEN, wanted[fault.key])
    assert [fault.line for fault in found] == sorted(fault.line for fault in found)


def test_using_a_faulty_file_raises_all_its_faults(tmp_path: Path) -> None:
    file = tmp_path / "ten.toml"
    file.write_text(TEN, "utf-8")
    with pytest.raises(FamilyFault) as caught:
        load_family(file).problem(seed=1)
    assert len(caught.value.faults) >= 10
    assert str(caught.value).count("\n") == len(caught.value.faults) - 1
    assert all(fault.file == str(file) for fault in proofread(file))


@pytest.mark.parametrize(
    ("text", "key", "line"),
    [
        pytest.param('title = "x"\ndrawing = = 3\n', "toml", 2, id="not TOML"),
        pytest.param("x = " + "[" * 5000, "toml-deep", 1, id="5,000 brackets"),
        pytest.param("x = " + "9" * 5000, "toml", 1, id="5,000 digits"),
        pytest.param("x = 1\n" + "#" * 300_000, "too-long", 1, id="a long file"),
        pytest.param("title = 'x'\nx = '\udcff'\n", "not-text", 2, id="bytes that are not UTF-8"),
        pytest.param("title = 'x'\ntitle = 'y'\n", "toml", 2, id="a key twice"),
    ],
)
def test_a_text_that_is_not_a_file_of_tables_is_one_fault(text: str, key: str, line: int) -> None:
    (fault,) = _faults(text)
    assert (fault.key, fault.line) == (key, line)
    assert str(fault).isprintable()


def test_bytes_that_are_no_text_are_a_fault_and_not_an_error(tmp_path: Path) -> None:
    file = tmp_path / "b.toml"
    file.write_bytes(b"title = 'x'\n\xff\xfe = 3\n")
    assert [fault.key for fault in proofread(file)] == ["not-text"]


def test_windows_line_ends_and_a_byte_order_mark_are_no_fault(tmp_path: Path) -> None:
    file = tmp_path / "w.toml"
    file.write_bytes(b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode())
    assert proofread(file) == ()


DIVIDER = """
 Vin o--[R1 1k]--+--o Vout
                 |
                [R2 2k]
                 |
                GND
"""


@pytest.mark.parametrize(
    ("old", "new", "keys"),
    [
        pytest.param("", "", [], id="good"),
        pytest.param("[R1 1k]", "-[R1]--", ["open-value"], id="value missing"),
        pytest.param("Vout", "Va", ["no-output"], id="no output"),
        pytest.param("--o Vout", "--", ["drawing"], id="loose end"),
        pytest.param("--o Vout", "-" * 60 + "o Vout", ["wide"], id="too wide"),
        pytest.param("[R2 2k]", "[R2 -2k]", ["value-negative"], id="negative resistance"),
    ],
)
def test_a_bare_drawing_is_proofread_too(old: str, new: str, keys: list[str], tmp_path: Path) -> None:
    file = tmp_path / "divider.txt"
    file.write_text(DIVIDER.replace(old, new), "utf-8")
    assert [fault.key for fault in proofread(file, {"Vin": "3 V"})] == keys


def test_rules_that_hardly_any_draw_meets_are_told_how_parts_are_matched() -> None:
    drawing = " Va o--[R1]--+--o Vout\n             |\n           [R2]\n             |\n            GND\n"
    wide = '{ series = "E192", from = "1k", to = "10k" }'
    text = _file(drawing, f"Va = 1\nR1 = {wide}\nR2 = {wide}\n[keep]\nrules = ['R1 == R2']", "V_out")
    (fault,) = _faults(text, MOST_DRAWS)
    assert fault.key == "rules-never"
    assert "[R1 R] and [R2 R]" in fault.remedy


@pytest.mark.parametrize(
    ("change", "remedy"),
    [
        pytest.param(('"E12", from = "4.7k"', '"E13", from = "4.7k"'), "Did you mean E12?", id="a series beside E12"),
        pytest.param(("abs(V_out) <=", "abs(V_out) =<"), "<= and >= with the = behind", id="signs the wrong way round"),
        pytest.param(("{Vin}", "{xyz}"), "There are Vin, Ri, Rf.", id="several to choose from"),
        pytest.param(('find = "V_out"', 'xyz = "V_out"'), "There are find, ", id="the kinds of ask"),
    ],
)
def test_a_remedy_names_what_would_do(change: tuple[str, str], remedy: str) -> None:
    assert remedy in "\n".join(map(str, _faults(GOOD.replace(*change))))
