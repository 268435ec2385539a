"""Circuits with capacitors by every method: each command ends with an answer or a sentence, whatever is stated."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from problems import family
from problems.derivation.outlook import outlook
from problems.quantities import voltage
from tutor.commands.group import group

FAMILIES = (
    "all-pass",
    "cloud-cell",
    "differentiator",
    "high-pass-inverting",
    "high-pass-non-inverting",
    "integrator",
    "lead-lag",
    "low-pass-follower",
    "low-pass-inverting",
    "low-pass-non-inverting",
    "second-order-low-pass",
    "tide-slope",
)
METHODS = ("laws", "superposition", "nodes")
STATEMENTS = (
    ("V_out = 1 V at 30 deg", "phase V_out = 69.7 deg"),
    ("V_out = 3 V", "|V_out| = 9 V"),
    ("gain = 3", "|gain| = 9"),
)


def run(*words: str, typed: str = "") -> Result:
    done = CliRunner().invoke(group, words, input=typed)
    assert done.exception is None or isinstance(done.exception, SystemExit), (words, done.exception)
    return done


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("name", FAMILIES)
def test_a_circuit_with_capacitors_is_derived_and_checked_or_refused_in_a_sentence(name: str, method: str) -> None:
    derived = run("derive", name, "--seed", "3", "--method", method)
    refused = derived.exit_code != 0
    for texts in STATEMENTS:
        checked = run("check", name, "--seed", "3", "--method", method, *texts)
        assert (checked.exit_code == 2) == refused, checked.output
        assert not refused or "superposition is not taught" in checked.stderr or "no laws lead to" in checked.stderr


@pytest.mark.parametrize(
    ("name", "texts"),
    [
        ("all-pass", ("V_out = 1 V at 30 deg", "phase V_out = 30 deg")),
        ("low-pass-follower", ("V_out = 3 V", "|V_out| = 3 V")),
        ("low-pass-inverting", ("gain = 3", "|gain| = 3")),
    ],
)
def test_the_size_or_phase_of_a_slip_follows_from_it(name: str, texts: tuple[str, str]) -> None:
    attempt = family(name).problem(seed=3).begin()
    attempt, first = attempt.state(texts[0])
    _, second = attempt.state(texts[1])
    assert first.kind != "right"
    assert second.kind == "right-carried"


def test_superposition_is_refused_in_time_and_practice_goes_on() -> None:
    refused = run("derive", "integrator", "--seed", "3", "--method", "superposition")
    assert refused.exit_code == 2
    assert "superposition is not taught here for what runs in time" in refused.stderr
    went_on = run("practice", "integrator", "--seed", "3", "--lines", typed="method superposition\nhint\nquit\n")
    assert "superposition is not taught here for what runs in time" in went_on.stdout


@pytest.mark.parametrize("name", ["integrator", "tide-slope"])
def test_an_output_at_an_instant_is_given_no_gain(name: str) -> None:
    assert outlook(family(name).problem(seed=3).lesson, voltage("out")) == ()


LOW_PASS = """
 Vin o---[R1 1k]---+---o Vout
                   |
                 [C1 1u]
                   |
                  GND
"""


@pytest.mark.parametrize("asked", ["|V_out|", "phase V_out"])
def test_without_a_frequency_there_is_no_size_and_no_phase(asked: str, tmp_path: Path) -> None:
    file = tmp_path / "low-pass.txt"
    file.write_text(LOW_PASS, encoding="utf-8")
    done = run("derive", str(file), "--set", "Vin=1 V", "--find", asked)
    assert done.exit_code == 1
    assert asked in done.output
