"""Wrong moves of circuits with capacitors belong to one lesson: no other variant opened before changes them."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations

import pytest
from filters import NETS, filter_circuit, netlist_of

from problems.derivation import lawset
from problems.derivation.lesson import Lesson
from problems.formulas.expression import Expression, keys
from problems.quantities import Quantity, voltage

DIFFERENCE = (
    "V Va a 0 1V | V Vb b 0 1V | R R1 a n 10k | R Rf n out 10k | C Cf n out 1n | R R2 b p 10k | R R3 p 0 10k"
    " | O U1 p n out"
)
"""Its output is 0 at dc where both inputs are alike."""
OUT = voltage("out")
Moves = tuple[tuple[str, Expression, float], ...]


@pytest.fixture(autouse=True)
def nothing_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lawset, "_KEPT", {})


def moves(lesson: Lesson, quantity: Quantity) -> Moves:
    return tuple((misuse.key, misuse.relation, misuse.rank) for misuse in lesson.misuses(quantity))


def alone(make: Callable[[], Lesson], quantity: Quantity) -> Moves:
    """The wrong moves where no lesson was opened before."""
    lawset._KEPT.clear()
    found = moves(make(), quantity)
    lawset._KEPT.clear()
    return found


def difference(vb: str) -> Lesson:
    return netlist_of(DIFFERENCE, {"f": "10 kHz", "Vb": vb}).lesson


@pytest.mark.parametrize("name", ["V_out", "phase V_out", "|V_out|"])
@pytest.mark.parametrize(("before", "after"), [("1 V", "2 V"), ("2 V", "1 V")], ids=["zero-first", "zero-last"])
def test_the_wrong_moves_of_a_variant_are_the_same_whichever_was_opened_first(
    before: str, after: str, name: str
) -> None:
    quantity = netlist_of(DIFFERENCE, {"f": "10 kHz"}).names.read(name)
    wanted = alone(lambda: difference(after), quantity)
    moves(difference(before), quantity)
    assert moves(difference(after), quantity) == wanted


def test_an_output_that_is_0_at_dc_has_no_half_of_it_at_the_corner() -> None:
    at_dc = OUT._replace(when="f=0")
    halves = {
        vb: [
            key
            for key, relation, _ in moves(difference(vb), OUT)
            if key == "half-at-corner" and at_dc in keys(relation)
        ]
        for vb in ("2 V", "1 V")
    }
    assert halves == {"2 V": ["half-at-corner"], "1 V": []}


def taught_by_each_law(lesson: Lesson, quantity: Quantity) -> list[Lesson]:
    """The lesson taught by each law that gives the quantity."""
    laws = {(law.key, law.tails): law for law in lesson.laws.headed_by(quantity)}
    return [lesson.with_taught({quantity: law}, "laws") for law in laws.values()]


PAIRS = [
    pytest.param(name, first, second, id=f"{name}-{first}-{second}")
    for name in NETS
    for lesson in [filter_circuit(name, {"f": "1 kHz"}).lesson]
    for taught in [taught_by_each_law(lesson, OUT)]
    for first, second in combinations(range(len(taught)), 2)
    for own in [[len(t.laws.misuses(OUT, t.own_law(OUT))) for t in (taught[first], taught[second])]]
    if own[0] == own[1]
]
"""Two laws of one output with equally many wrong moves of their own."""
assert PAIRS


@pytest.mark.parametrize(("name", "first", "second"), PAIRS)
def test_two_laws_with_equally_many_wrong_moves_each_have_their_own(name: str, first: int, second: int) -> None:
    def taught(place: int) -> Lesson:
        return taught_by_each_law(filter_circuit(name, {"f": "1 kHz"}).lesson, OUT)[place]

    wanted = alone(lambda: taught(second), OUT)
    moves(taught(first), OUT)
    assert moves(taught(second), OUT) == wanted
