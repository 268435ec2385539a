"""Families by name or file, values held, and files that are drawings."""

from __future__ import annotations

import shutil
import subprocess
import sys
from fractions import Fraction
from itertools import groupby
from pathlib import Path
from typing import Any

import pytest

from problems.circuits.solution import NoSolution
from problems.quantities import UnknownQuantity
from problems.templates import content as content_module
from problems.templates.bare import MissingValues
from problems.templates.content import ContentMissing, content
from problems.templates.library import UnknownFamily, families, family, load_family, proofread
from problems.templates.settings import BadSetting, UnknownSetting

ROOT = Path(__file__).resolve().parents[2]
MATCHED = r"""
title = "Matched pairs"
drawing = '''
 Va o---[R1 Ra]---+------[R2 Rb]---+
                  |                |
                  |     |\         |
                  +-----|-\        |
                        |U1>-------+---o Vout
 Vb o---[R3 Ra]---+-----|+/
                  |     |/
               [R4 Rb]
                  |
                 GND
'''
statement = "Both pairs are {Ra} and {Rb}."

[values]
Va = { choose = ["1", "2"] }
Vb = { choose = ["1.5", "3"] }
Ra = { series = "E12", from = "4.7k", to = "33k" }
Rb = { series = "E12", from = "4.7k", to = "68k" }

[[ask]]
find = "V_out"
"""
DIVIDER = """
 Vin o--[R1 1k]--+--o Vout
                 |
                [R2]
                 |
                GND
"""


def test_a_family_is_found_by_name_and_by_file(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    shutil.copy(content("families") / "inverting.toml", file)
    assert family("inverting").title == family(str(file)).title == load_family(file).title
    assert family(str(file)).name == "mine"


def test_an_unknown_family_names_near_ones() -> None:
    with pytest.raises(UnknownFamily) as caught:
        family("adjustible-polarity")
    assert caught.value.near[0] == "adjustable-polarity"
    assert "adjustable-polarity" in str(caught.value)


@pytest.mark.parametrize("name", ["", "x" * 5000, "a\0b", "\x1b[31m", "../..", "\u202eevil"])
def test_an_absurd_name_is_an_unknown_family_and_printed_inert(name: str) -> None:
    with pytest.raises(UnknownFamily) as caught:
        family(name)
    assert str(caught.value).isprintable()


def test_listing_families_loads_nothing_heavy() -> None:
    code = (
        "import sys\nfrom problems.templates.library import families\n"
        "found = [(f.name, f.title, f.topic) for f in families()]\n"
        "heavy = {'msgspec', 'sympy', 'flint', 'numpy', 'problems.circuits', 'problems.formulas'} & set(sys.modules)\n"
        "assert len(found) >= 12 and all(map(all, found)), found\nassert not heavy, heavy"
    )
    subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=True)


ORDER = (
    "divider-follower", "current-to-voltage", "inverting", "non-inverting", "inverting-summing",
    "non-inverting-summing", "inverting-reference", "difference", "t-network", "adjustable-polarity",
    "adjustable-polarity-gain", "cascade",
)  # fmt: skip


def test_families_stand_in_the_order_of_teaching() -> None:
    assert tuple(found.name for found in families() if found.name in ORDER) == ORDER
    orders = [found.order for found in families()]
    assert orders == sorted(set(orders)), "each family has a place of its own"


def test_the_families_of_a_topic_stand_together() -> None:
    topics = [topic for topic, _ in groupby(families(), key=lambda found: found.topic)]
    assert len(topics) == len(set(topics)), topics


@pytest.mark.parametrize("line", ["", "order = 0\n", "order = -3\n"], ids=["no order", "nought", "below nought"])
def test_a_family_without_a_place_comes_last(line: str, tmp_path: Path) -> None:
    file = tmp_path / "late.toml"
    file.write_text(f"title = 'Late'\ntopic = ''\n{line}drawing = ''", "utf-8")
    assert load_family(file).order > max(found.order for found in families())


def test_a_title_is_read_wherever_it_stands(tmp_path: Path) -> None:
    file = tmp_path / "late.toml"
    file.write_text("drawing = '''\n x\n'''\ntitle = 'Late'\n", "utf-8")
    assert (load_family(file).title, load_family(file).topic) == ("Late", "")


def test_a_file_that_cannot_be_read_is_listed_by_its_name(tmp_path: Path) -> None:
    file = tmp_path / "broken.toml"
    file.write_text("= = =", "utf-8")
    assert load_family(file).title == "broken"


def test_held_values_are_kept_exactly() -> None:
    problem = family("adjustable-polarity").problem(seed=7, values={"k": "0.6", "Ri": "4k7", "Vin": Fraction(1, 3)})
    values = problem.circuit.values
    assert (values["k"], values["Ri"], values["Vin"]) == (Fraction(3, 5), Fraction(4700), Fraction(1, 3))


@pytest.mark.parametrize(
    ("values", "error", "words"),
    [
        pytest.param({"q": "1"}, UnknownSetting, "Ri", id="unknown name"),
        pytest.param({"RI": "1k"}, UnknownSetting, "Did you mean Ri", id="wrong case"),
        pytest.param({"k": "1.5"}, BadSetting, "from 0 to 1", id="setting above 1"),
        pytest.param({"k": -1}, BadSetting, "from 0 to 1", id="setting below 0"),
        pytest.param({"Ri": "-3k"}, BadSetting, "0 or more", id="negative resistance"),
        pytest.param({"Ri": "1e400"}, BadSetting, "too large", id="1e400"),
        pytest.param({"Vin": "1e30"}, BadSetting, "power of ten", id="1e30 volts"),
        pytest.param({"Ri": "9" * 5000}, BadSetting, "too long", id="5,000 digits"),
        pytest.param({"Ri": 10**5000}, BadSetting, "digits", id="5,000 digits as a number"),
        pytest.param({"Ri": "R"}, BadSetting, "number", id="a name"),
        pytest.param({"Ri": None}, BadSetting, "number", id="nothing"),
        pytest.param({"Ri": float("nan")}, BadSetting, "finite", id="not a number"),
        pytest.param({"Vin": "2 mA"}, BadSetting, "V", id="ampere for volt"),
        pytest.param({"Vin": "\x1b[31m"}, BadSetting, "", id="escape sequence"),
    ],
)
def test_a_value_that_cannot_be_held_is_refused(values: dict[str, Any], error: type[ValueError], words: str) -> None:
    with pytest.raises(error) as caught:
        family("adjustable-polarity").problem(values=values)
    assert words in str(caught.value)
    assert str(caught.value).isprintable()


@pytest.mark.parametrize("values", [{"Rf": 0}, {"k": 0}, {"k": 1}, {"Vin": 0}])
def test_values_of_zero_are_ordinary(values: dict[str, Any]) -> None:
    every = {"Vin": 1, "Ri": "10k", "Rf": "20k", "Rp": "10k", "k": "0.6"}
    assert family("adjustable-polarity").problem(values=every | values).steps


def test_a_value_that_shorts_the_source_names_who_disagrees() -> None:
    with pytest.raises(NoSolution, match="Vin and Rp"):
        family("adjustable-polarity").problem(values={"Vin": 1, "Ri": "10k", "Rf": "20k", "Rp": 0, "k": "0.6"})


def test_other_quantities_can_be_asked() -> None:
    problem = family("inverting").problem(seed=1, find=("V_Rf",))
    assert problem.asks == ("V_Rf",)
    with pytest.raises(UnknownQuantity):
        family("inverting").problem(find=("V_nowhere",))


def test_hints_of_the_author_reach_the_problem() -> None:
    assert "I_R1" in family("difference").problem(seed=1).tips


def test_a_bare_drawing_is_a_family_of_one(tmp_path: Path) -> None:
    file = tmp_path / "divider.txt"
    file.write_text(DIVIDER, "utf-8")
    problem = load_family(file).problem(values={"R2": "2k", "Vin": "3 V"})
    assert problem.asks == ("V_out",)
    assert problem.answer("V_out") == 2
    with pytest.raises(MissingValues) as caught:
        load_family(file).problem(values={"Vin": "3 V"})
    assert caught.value.names == ("R2",)
    with pytest.raises(UnknownSetting):
        load_family(file).problem(values={"R9": "3 V"})


@pytest.mark.parametrize("tied", ["Ra", "R1"], ids=["by a name of its own", "by the name of one of them"])
def test_one_value_name_in_two_boxes_ties_them(tied: str, tmp_path: Path) -> None:
    file = tmp_path / "matched.toml"
    text = (
        MATCHED if tied == "Ra" else MATCHED.replace("[R1 Ra]", "[R1]---").replace("R3 Ra", "R3 R1").replace("Ra", "R1")
    )
    file.write_text(text, "utf-8")
    assert proofread(file) == ()
    for seed in range(5):
        problem = load_family(file).problem(seed=seed)
        values = problem.circuit.values
        assert set(values) == {"Va", "Vb", tied, "Rb"}
        # V_out = (V_b - V_a) * R2/R1 where both pairs are alike: the textbook's difference amplifier
        assert problem.lesson.values[problem.asked[0]] == (values["Vb"] - values["Va"]) * values["Rb"] / values[tied]
    with pytest.raises(UnknownSetting):
        load_family(file).problem(values={"R3": "10k"})


def test_families_are_loaded_once() -> None:
    assert family("inverting") is family("inverting")
    assert families() is families()


def test_content_is_found_in_a_wheel_before_a_checkout(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    package = tmp_path / "problems"
    (tmp_path / "content").mkdir()
    monkeypatch.setattr(content_module, "_PACKAGE", package)
    assert content() == tmp_path / "content"
    (package / "_content").mkdir(parents=True)
    assert content("families") == package / "_content" / "families"


def test_missing_content_says_where_it_was_looked_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(content_module, "_PACKAGE", tmp_path / "problems")
    with pytest.raises(ContentMissing, match="_content"):
        content()
