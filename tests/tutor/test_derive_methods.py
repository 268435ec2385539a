"""``derive`` by superposition: a section for each source, with its circuit redrawn, then the sums."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from problems import Circuit
from tutor.commands.group import group

LOOSE = """
  +---(V1)---[R1=1k]---+---(I1=1mA)---+
  |                    |              |
 [R2=2k]            [R3=3k]        [R4=4k]
  |                    |              |
 GND                  GND            GND
"""


def derived(*words: str) -> str:
    done = CliRunner().invoke(group, ("derive", *words))
    assert done.exit_code == 0, done.output
    return done.stdout


def test_each_source_has_a_section_with_its_circuit() -> None:
    shown = derived("difference", "--method", "superposition", "--seed", "5")
    first, second, last = (shown.index(line) for line in ("\nWith Va alone\n", "\nWith Vb alone\n", "\nAll together\n"))
    assert first < shown.index("Vb off: 0 V, a wire to ground.") < shown.index("V_out[Va] = ") < second
    assert second < shown.index("Va off: 0 V, a wire to ground.") < shown.index("V_out[Vb] = ") < last
    assert "GND───[R3]" in shown[first:second]
    assert "GND───[R1]" in shown[second:last]
    assert "V_out = V_out[Va] + V_out[Vb]" in shown[last:]


def test_the_reason_of_several_sums_stands_once() -> None:
    shown = derived("difference", "--method", "superposition", "--seed", "5")
    assert shown.count("The circuit is linear") == 1


def test_a_circuit_that_cannot_be_redrawn_is_told_in_words(tmp_path: Path) -> None:
    path = tmp_path / "loose.txt"
    path.write_text(LOOSE, "utf-8")
    shown = derived(str(path), "--method", "superposition", "--set", "V1=1 V", "--find", "I_R3")
    alone = shown[shown.index("With V1 alone") : shown.index("With I1 alone")]
    assert "I1 off: no current, an open branch." in alone
    assert "R3, 3 kΩ, from" in alone


def test_the_plain_method_has_no_sections() -> None:
    shown = derived("difference", "--seed", "5")
    assert "alone" not in shown
    assert "All together" not in shown


def test_the_document_has_the_cases() -> None:
    found = json.loads(derived("adjustable-polarity", "--method", "superposition", "--seed", "7", "--json"))
    cases = found["cases"]
    assert [case["source"] for case in cases] == ["Vin:Ri", "Vin:Rp"]
    assert cases[0]["off"][-1] == "The copy that feeds Rp is off: 0 V, a wire from there to ground."
    again = Circuit.from_drawing("\n".join(cases[1]["drawing"]), {"Vin": "1"})
    assert {part.name for part in again.parts} == {"Vin", "Ri", "Rf", "Rp", "U1"}
    assert "V_out[Vin:Rp]" in [step["quantity"] for step in found["steps"]]
    assert "cases" not in json.loads(derived("adjustable-polarity", "--seed", "7", "--json"))


def test_help_names_the_methods() -> None:
    shown = CliRunner().invoke(group, ("derive", "--help")).stdout
    assert "superposition" in shown


@pytest.mark.parametrize("method", ["laws", "superposition"])
def test_every_method_ends_at_the_same_value(method: str) -> None:
    found = json.loads(derived("instrumentation-three", "--method", method, "--seed", "2", "--json"))
    plain = json.loads(derived("instrumentation-three", "--seed", "2", "--json"))
    assert found["steps"][-1]["value"] == plain["steps"][-1]["value"]
