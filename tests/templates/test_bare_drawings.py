"""Bare drawings: what is open or wrong is told with file, row and remedy, in proofreading and in use alike."""

from __future__ import annotations

from pathlib import Path

import pytest

from problems.quantities import UnknownQuantity
from problems.templates.bare import MissingValues
from problems.templates.faults import FamilyFault
from problems.templates.library import load_family, proofread
from problems.templates.settings import BadSetting, UnknownSetting

INVERTING = r"""
           +----[Rf 20k]----+
           |                |
           |     |\         |
 Vin o-[Ri]+-----|-\        |
                 |U1>-------+--o Vout
             +---|+/
            GND  |/
"""
EXCHANGED = INVERTING.replace("|-\\", "|*\\").replace("|+/", "|-/").replace("|*\\", "|+\\")
RESISTANCE = r"""
 Vin o---[Rs 10k]----+-------[Ra 22k]-----+
                     |        |\          |
                     +--------|+\         |
                              |U1>--------+---o Vout
                  +--+--------|-/         |
                  |  |        |/          |
 GND---[Rc 10k]---+  +-------[Rb 10k]-----+
"""
BATTERIES = """
 GND---(V1 5V)---+---(V2 3V)---GND
                 |
                 o Vout
"""
POTENTIOMETER = """
 Vin o--+
        |
     [Rp 10k]<---o Vout
        |
       GND
"""
CAPACITOR = """
 Vin o--[R1 1k]--+--o Vout
                 |
              [C1 1n]
                 |
                GND
"""
NO_SOURCE = """
 Vx o--+--[R1 1k]--+--o Vout
       |           |
    [R2 1k]     [R3 1k]
       |           |
      GND         GND
"""
TWO_INPUTS = """
 Va o--[R1 1k]--+--o Vout
                |
 Vb o--[R2 1k]--+
                |
              [R3 1k]
                |
               GND
"""
CLASH = " Vin o--[R1 X]--+--o Vout\n                |\n              (V1 X)\n                |\n               GND\n"

CASES = [
    pytest.param(INVERTING, {"Ri": "10k"}, [("idle", 5, 2)], id="an input without a value"),
    pytest.param(INVERTING, {"Vin": "1"}, [("open-value", 5, 9)], id="a box without a value"),
    pytest.param(INVERTING, {}, [("idle", 5, 2), ("open-value", 5, 9)], id="both"),
    pytest.param(INVERTING, {"Vin": "1", "Ri": "10k"}, [], id="all given"),
    pytest.param(TWO_INPUTS, {"Va": "1"}, [("idle", 4, 2)], id="one of two inputs without a value"),
    pytest.param(RESISTANCE, {}, [("idle", 2, 2)], id="no talk of feedback while nothing drives it"),
    pytest.param(RESISTANCE, {"Vin": "1"}, [], id="feedback settled by the source"),
    pytest.param(EXCHANGED, {"Vin": "1", "Ri": "1k"}, [("feedback-positive", 6, 19)], id="inputs exchanged"),
    pytest.param(BATTERIES, {}, [("no-solution", 2, 9)], id="two batteries in parallel"),
    pytest.param(POTENTIOMETER, {"Vin": "1"}, [("open-setting", 4, 7)], id="a setting without a value"),
    pytest.param(CAPACITOR, {"Vin": "1", "s": "0"}, [], id="a capacitor at dc"),
    pytest.param(CAPACITOR, {"Vin": "1", "f": "1k"}, [], id="a capacitor at a frequency"),
    pytest.param(CAPACITOR, {"Vin": "1"}, [], id="a capacitor in s"),
    pytest.param(NO_SOURCE, {}, [("idle", 2, 2)], id="no source at all"),
    pytest.param(CLASH, {"Vin": "1"}, [("circuit", 1, 10)], id="one symbol for two things"),
]


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "mine.txt"


@pytest.mark.parametrize(("text", "values", "wanted"), CASES)
def test_each_fault_stands_at_its_part(
    text: str, values: dict[str, str], wanted: list[tuple[str, int, int]], file: Path
) -> None:
    file.write_text(text, "utf-8")
    found = proofread(file, values)
    assert [(fault.key, fault.line, fault.column) for fault in found] == wanted
    for fault in found:
        row, caret = fault.picture.splitlines()
        assert row[2:] == text.split("\n")[fault.line - 1]
        assert caret.index("^") == fault.column + 1
        assert str(fault).startswith(f"{file}:{fault.line}:{fault.column}: ")


@pytest.mark.parametrize(("text", "values", "wanted"), CASES)
def test_a_drawing_that_cannot_be_used_raises_what_proofreading_finds(
    text: str, values: dict[str, str], wanted: list[tuple[str, int, int]], file: Path
) -> None:
    file.write_text(text, "utf-8")
    if not wanted:
        assert load_family(file).problem(values=values).steps
        return
    with pytest.raises(FamilyFault) as caught:
        load_family(file).problem(values=values)
    assert caught.value.faults == proofread(file, values)
    opened = {key for key, _, _ in wanted} <= {"idle", "open-value", "open-setting"}
    assert isinstance(caught.value, MissingValues) is opened


def test_a_drawing_that_cannot_be_read_raises_its_faults_with_the_file(file: Path) -> None:
    file.write_text(" Vin o--[R1 1k]--\n", "utf-8")
    with pytest.raises(FamilyFault) as caught:
        load_family(file).problem()
    assert str(caught.value).startswith(f"{file}:1:17: ")


def test_a_terminal_that_is_asked_may_hang_free(file: Path) -> None:
    file.write_text(TWO_INPUTS, "utf-8")
    assert load_family(file).problem(values={"Va": "1"}, find=("V_b",)).steps
    assert proofread(file, {"Va": "1"}, ("V_b",)) == ()


def test_an_output_behind_a_resistor_may_hang_free_whatever_is_asked(file: Path) -> None:
    file.write_text(" Va o--+--[R1 1k]--o Vout\n       |\n    [R2 1k]\n       |\n      GND\n", "utf-8")
    assert proofread(file, {"Va": "1"}, ("I_R2",)) == ()


@pytest.mark.parametrize(
    ("values", "find", "error"),
    [
        pytest.param({"Vq": "1"}, (), UnknownSetting, id="a value of nothing"),
        pytest.param({"Vin": "1 A"}, (), BadSetting, id="a value with the wrong unit"),
        pytest.param({"Vin": "1"}, ("V_q",), UnknownQuantity, id="a quantity that is not there"),
    ],
)
def test_what_the_caller_gets_wrong_is_no_fault_of_the_drawing(
    values: dict[str, str], find: tuple[str, ...], error: type[ValueError], file: Path
) -> None:
    file.write_text(INVERTING, "utf-8")
    with pytest.raises(error):
        proofread(file, values, find)
    with pytest.raises(error):
        load_family(file).problem(values=values, find=find)


@pytest.mark.parametrize(
    ("box", "name"), [pytest.param("[R3]", "R3", id="no value"), pytest.param("[R3 R]", "R", id="a name for a value")]
)
def test_the_remedy_for_an_open_value_names_the_box_it_belongs_into(box: str, name: str, file: Path) -> None:
    file.write_text(TWO_INPUTS.replace("[R3 1k]", box), "utf-8")
    (fault,) = proofread(file, {"Va": "1", "Vb": "2"})
    assert fault.fields["name"] == name
    assert "[R3 10k]" in fault.remedy
    assert f"{name} = 10k" in fault.remedy
    assert "[values]" not in str(fault)
