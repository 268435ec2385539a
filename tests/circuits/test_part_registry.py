"""A part's file that could not be told from another, or would be passed over, is refused and says why."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from problems.circuits import parts
from problems.circuits.parts import registry

HEAD = """
from dataclasses import dataclass
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.two_terminal import TwoTerminal

@dataclass(frozen=True)
"""


@pytest.fixture
def put_in(tmp_path: Path) -> Iterator[Callable[[str, str], None]]:
    """Puts a file in the folder of parts, for one test."""

    def write(name: str, body: str) -> None:
        (tmp_path / f"{name}.py").write_text(HEAD + body, "utf-8")

    parts.__path__.append(str(tmp_path))
    registry.part_types.cache_clear()
    before = set(sys.modules)
    yield write
    parts.__path__.pop()
    registry.part_types.cache_clear()
    for name in set(sys.modules) - before:
        if name.startswith("problems.circuits.parts."):
            del sys.modules[name]


def test_a_type_with_letter_and_kind_of_its_own_is_found(put_in: Callable[[str, str], None]) -> None:
    put_in("lamp", 'class Lamp(Resistor):\n    letter = "E"\n    kind = "lamp"\n')
    assert registry.by_letter("[]")["E"].kind == "lamp"


@pytest.mark.parametrize("base", ["Resistor", "TwoTerminal"])
def test_a_type_without_a_kind_is_refused(put_in: Callable[[str, str], None], base: str) -> None:
    put_in("lamp", f'class Lamp({base}):\n    letter = "E"\n')
    with pytest.raises(registry.NoKind, match=r"parts\.lamp: Lamp has no kind") as raised:
        registry.part_types()
    assert raised.value.part.__name__ == "Lamp"


def test_what_others_build_on_needs_no_kind(put_in: Callable[[str, str], None]) -> None:
    put_in("glowing", "class Glowing(Resistor):\n    is_base = True\n")
    assert "Glowing" not in {part.__name__ for part in registry.part_types()}


@pytest.mark.parametrize(
    ("letter", "brackets", "taken"),
    [
        pytest.param("R", "[]", "resistor", id="a box with R"),
        pytest.param("V", "()", "voltage-source", id="a circle with V"),
    ],
)
def test_a_letter_that_is_taken_is_refused(
    put_in: Callable[[str, str], None], letter: str, brackets: str, taken: str
) -> None:
    put_in("lamp", f'class Lamp(Resistor):\n    letter = "{letter}"\n    kind = "lamp"\n    brackets = "{brackets}"\n')
    with pytest.raises(registry.LetterTaken, match="and lamp are both drawn as") as raised:
        registry.part_types()
    assert {part.kind for part in raised.value.parts} == {taken, "lamp"}


def test_the_letter_of_a_resistor_in_other_brackets_is_free(put_in: Callable[[str, str], None]) -> None:
    put_in("lamp", 'class Lamp(Resistor):\n    letter = "R"\n    kind = "lamp"\n    brackets = "()"\n')
    assert registry.by_letter("()")["R"].kind == "lamp"
