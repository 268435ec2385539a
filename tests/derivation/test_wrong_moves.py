"""Misused laws give the values that students give: every entry of the catalogue for the twelve circuits."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from wrong_move_catalogue import NETS, Entry, built, entries

from problems.derivation import laws
from problems.derivation.lesson import Lesson
from problems.words import has

ENTRIES = list(entries())
SAMPLES = {name: built(net, {}) for name, net in NETS.items()}


def test_the_catalogue_covers_every_circuit() -> None:
    assert len(ENTRIES) > 80
    assert {entry.id.split("-")[0] for entry in ENTRIES} == {
        "inv", "ni", "buf", "ib", "su", "di", "ns", "po", "ca", "tn", "iv",
    }  # fmt: skip


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry.id)
def test_the_right_value_of_an_entry_is_the_engine_s(entry: Entry) -> None:
    lesson = Lesson.of(entry.netlist)
    assert float(lesson.values[entry.netlist.names.read(entry.step)]) == pytest.approx(entry.right)


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry.id)
def test_the_wrong_value_of_an_entry_comes_from_a_misused_law(entry: Entry) -> None:
    lesson = Lesson.of(entry.netlist)
    found = lesson.wrong_moves(entry.netlist.names.read(entry.step))
    assert any(float(move.exact) == pytest.approx(entry.wrong, rel=1e-6, abs=1e-15) for move in found)


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry.id)
def test_every_wrong_move_of_a_step_has_all_its_sentences(entry: Entry) -> None:
    for move in Lesson.of(entry.netlist).wrong_moves(entry.netlist.names.read(entry.step)):
        assert move.name
        assert move.why
        assert move.ask.endswith("?") or move.ask.endswith(".")
        assert "{" not in move.name + move.why + move.ask


def test_every_misuse_named_in_a_law_has_its_words() -> None:
    for folder in laws.__path__:
        for file in Path(folder).glob("*.py"):
            for key in re.findall(r'Misuse\(\s*"([a-z-]+)"', file.read_text("utf-8")):
                assert all(has(f"misuse.{key}.{part}") for part in ("name", "means", "ask")), (file.name, key)


@pytest.mark.parametrize("name", SAMPLES)
def test_no_wrong_move_equals_the_right_value(name: str) -> None:
    entry = next(e for e in ENTRIES if e.netlist.part_names == SAMPLES[name].part_names)
    lesson = Lesson.of(entry.netlist)
    for quantity in lesson.values:
        if not isinstance(quantity, str):
            assert all(move.exact != lesson.values[quantity] for move in lesson.wrong_moves(quantity))
