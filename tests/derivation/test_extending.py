"""A new part and a new law are one new file each, and everything else takes them up."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import pytest

from problems.circuits import parts
from problems.circuits.drawing import describe, read_drawing
from problems.circuits.netlist import Netlist
from problems.circuits.parts import registry
from problems.derivation import laws
from problems.derivation.laws.registry import law_kinds
from problems.derivation.lesson import Lesson
from problems.quantities import current, voltage

TOYS = Path(__file__).parent / "toys"
DRAWING = """
 Vin o---[A1]---[Ri 10k]---+---[Rf 20k]---+---o Vout
                           |              |
                           |    |\\        |
                           +----|-\\       |
                                |U1>------+
                           +----|+/
                           |    |/
                          GND
"""


@pytest.fixture
def toys() -> Iterator[None]:
    """The two toy files laid beside the real ones, and taken away again."""
    parts.__path__.append(str(TOYS / "parts"))
    laws.__path__.append(str(TOYS / "laws"))
    registry.part_types.cache_clear()
    law_kinds.cache_clear()
    yield
    parts.__path__.pop()
    laws.__path__.pop()
    registry.part_types.cache_clear()
    law_kinds.cache_clear()


@pytest.mark.usefixtures("toys")
def test_a_part_and_a_law_in_one_file_each_are_drawn_solved_and_walked() -> None:
    drawing = read_drawing(DRAWING)
    netlist = Netlist(drawing.parts({"Vin": "1 V"}), {"Vin": "1 V"}, drawing=drawing)
    lesson = Lesson.of(netlist)
    assert lesson.values[voltage("out")] == Fraction(-2)
    steps = lesson.walk((current("Ri"), voltage("out")))
    assert [step.law for step in steps] == ["toy-meter-drop", "equal-inputs", "ohm", "same-current", "hop"]
    assert all(step.exact == lesson.values[step.target] for step in steps)
    assert steps[0].why == "Nothing drops across A1."
    assert steps[0].hints[0] == "look at A1."
    assert any("A1" in line for line in describe(netlist))
