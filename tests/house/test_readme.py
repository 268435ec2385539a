"""What the README shows is what the program prints, and what it tells to type works."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner
from readme_blocks import README, block, picture, worked

from problems import families
from tutor.commands.group import COMMANDS, group

TEXT = README.read_text("utf-8")
RENEW = "python -m tests.readme_blocks"


def test_the_picture_is_the_screen() -> None:
    assert block(TEXT, "picture") == picture(), f"put it in anew: {RENEW}"


def test_the_worked_circuit_is_what_derive_prints() -> None:
    assert block(TEXT, "worked") == worked(), f"put it in anew: {RENEW}"


def test_the_drawing_is_derived_as_it_stands(tmp_path: Path) -> None:
    path = tmp_path / "my.txt"
    path.write_text(block(TEXT, "drawing"), "utf-8")
    done = CliRunner().invoke(group, ["derive", str(path), "--set", "Vin=1 V"])
    assert done.exit_code == 0, done.output
    assert "= −2\u2009V" in done.output


def test_the_matched_drawing_is_proofread_and_derived_as_it_stands(tmp_path: Path) -> None:
    path = tmp_path / "matched.txt"
    path.write_text(block(TEXT, "matched"), "utf-8")
    held = [word for pair in ("Va=1", "Vb=2", "R=10k", "Rf=20k") for word in ("--set", pair)]
    assert CliRunner().invoke(group, ["author", "proofread", str(path), *held]).exit_code == 0
    done = CliRunner().invoke(group, ["derive", str(path), *held])
    assert done.exit_code == 0, done.output
    assert "= 2\u2009V" in done.output, "(Vb - Va)·Rf/R"


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_stands_in_the_table(name: str) -> None:
    assert f"`tworules {name} " in TEXT or f"`tworules {name}`" in TEXT


def test_the_readme_counts_the_families_there_are() -> None:
    assert f"{len(families())} families of circuits" in " ".join(TEXT.split())
