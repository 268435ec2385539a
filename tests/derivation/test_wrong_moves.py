"""Misused laws give the values that students give: every entry of the catalogue that a linear circuit can have."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import pytest
from resistive_families import resistive_families
from wrong_move_catalogue import CATALOGUE, NETS, NOT_PRODUCED, OUT, OUT_STEPS, PASSIVE, REACTIVE, Entry, built, entries
from wrong_move_coverage import CAUSES, all_found, share, table
from wrong_values import counted, shares

from problems import OpAmp, Resistor, VoltageSource
from problems.answers.values import Values
from problems.circuits.netlist import Netlist
from problems.derivation import laws
from problems.derivation.lesson import Lesson
from problems.words import has

ENTRIES = list(entries())
PRODUCED = [entry for entry in ENTRIES if entry.id not in NOT_PRODUCED]
SAMPLES = {name: built(net, {}) for name, net in NETS.items()}


def test_every_entry_is_built_or_left_out_with_a_reason() -> None:
    built_ones = {entry.id for entry in ENTRIES}
    for move in CATALOGUE["move"]:
        left_out = move["circuit"] in {*OUT, *REACTIVE} or (move["circuit"], move["step"]) in OUT_STEPS
        assert left_out != (move["id"] in built_ones), move["id"]
    assert len(built_ones) == 131
    assert set(CAUSES) == built_ones


def test_the_coverage_of_the_catalogue() -> None:
    rows = all_found()
    print(table(rows))
    amps = share("op-amp", (row for row in rows if row.entry.circuit not in PASSIVE))
    whole = share("all", rows)
    assert amps.produced >= 0.95 * amps.entries
    assert whole.produced >= 0.95 * whole.entries
    assert whole.among >= 0.9 * whole.entries
    assert whole.named >= 0.5 * whole.entries
    assert whole.rightly >= 0.9 * whole.named


def test_unrelated_wrong_values_are_seldom_given_a_cause() -> None:
    counts = counted(resistive_families(), range(2), 6, seed=5)
    named, asked = shares(sum(counts.values(), Counter()))
    assert sum(map(Counter.total, counts.values())) > 800
    assert named <= 0.03
    assert asked <= 0.08


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry.id)
def test_the_right_value_of_an_entry_is_the_engine_s(entry: Entry) -> None:
    lesson = Lesson.of(entry.netlist)
    assert float(Values(lesson.values)[entry.netlist.names.read(entry.step)]) == pytest.approx(entry.right)


@pytest.mark.parametrize("entry", PRODUCED, ids=lambda entry: entry.id)
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


def test_no_virtual_ground_is_spoken_of_where_no_input_pin_is() -> None:
    """Only a divider at an input of an op-amp can be taken for one at a virtual ground."""
    parts = [VoltageSource("Vin", "in", "0", "6 V"), Resistor("Ra", "in", "m", "1k"), Resistor("Rb", "m", "0", "2k")]
    follower = OpAmp("U1", plus="m", minus="out", out="out")
    for extra, speaks in (((), False), ((follower,), True)):
        lesson = Lesson.of(Netlist([*parts, *extra]))
        keys = {move.key for move in lesson.wrong_moves(lesson.netlist.names.read("V_m"))}
        assert "divider-legs-swapped" in keys
        assert ("virtual-ground-assumed" in keys) is speaks
