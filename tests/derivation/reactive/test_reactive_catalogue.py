"""The catalogue's circuits with capacitors: right steps come out right, and wrong values as misuses of laws.

``tests/derivation/wrong_moves.toml`` names the source of every entry.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any, NamedTuple

import pytest
from filters import netlist_of
from wrong_move_catalogue import CATALOGUE, value_of

from problems.answers.moves import evaluated
from problems.answers.values import Values
from problems.formulas.phasor import Degrees, Phasor
from problems.problem import Circuit

NETS = {
    "integ": "V Vin in 0 | R R in n | C Cf n out | O U1 0 n out",
    "deriv": "V Vin in 0 | C C1 in n | R R n out | O U1 0 n out",
    "lp": "V Vin in 0 1V | R R1 in n | R Rf n out | C Cf n out | O U1 0 n out",
    "hp": "V Vin in 0 1V | R R1 in a | C C1 a n | R Rf n out | O U1 0 n out",
    "sk": "V Vin in 0 1V | R R1 in x | R R2 x p | C C1 x out | C C2 p 0 | O U1 p out out",
}
STEPS: Mapping[tuple[str, str], tuple[str, Mapping[str, str]]] = {
    ("integ", "Vout"): ("V_out", {"t": "t", "V_Cf(0)": "-V0"}),
    ("integ", "iC"): ("I_Cf", {"t": "t", "V_Cf(0)": "-V0"}),
    ("integ", "sineamp"): ("|V_out|", {"f": "f", "Vin": "Vp"}),
    ("deriv", "Vout"): ("V_out", {"slope_Vin": "m", "Vin": "Va"}),
    ("lp", "fc"): ("f_c", {}),
    ("lp", "A"): ("|gain|", {"f": "f"}),
    ("lp", "phase_at_fc"): ("phase gain(f=f_c)", {}),
    ("hp", "fc"): ("f_c", {}),
    ("hp", "A"): ("|gain|", {"f": "f"}),
    ("sk", "f0"): ("f_0", {}),
    ("sk", "Q"): ("Q", {}),
}
"""Circuit and step of the catalogue to a quantity, and what the circuit is given beside its parts' values.

Triangles from square waves and squares from triangles (``tripp``, ``sqpp``), and what two stages in a row do to their
common corner (``twolp``), ask for things that a circuit at one frequency or instant does not have.
"""


class Entry(NamedTuple):
    id: str
    circuit: Circuit
    quantity: str
    right: float
    wrong: float


def entries() -> Iterator[Entry]:
    examples = {circuit["id"]: circuit.get("example", {}) for circuit in CATALOGUE["circuit"]}
    for move in CATALOGUE["move"]:
        found = STEPS.get((move["circuit"], move["step"]))
        if found is None:
            continue
        quantity, given = found
        example = examples[move["circuit"]]
        names = {part.split()[1] for part in NETS[move["circuit"]].split(" | ")}
        values: dict[str, Any] = {name: Fraction(repr(value)) for name, value in example.items() if name in names}
        values |= {name: Fraction(repr(value_of(formula, example))) for name, formula in given.items()}
        circuit = netlist_of(NETS[move["circuit"]], values)
        yield Entry(move["id"], circuit, quantity, value_of(move["correct"], example), value_of(move["wrong"], example))


ENTRIES = list(entries())
NOT_PRODUCED: frozenset[str] = frozenset()


def same(value: Any, wanted: float) -> bool:
    if isinstance(value, Degrees):
        return abs(math.remainder(float(value) - wanted, 360)) < 1e-6
    if isinstance(value, Phasor) or not isinstance(value, Fraction):
        return False
    return float(value) == pytest.approx(wanted, rel=1e-6, abs=1e-12)


def produced(entry: Entry) -> list[str]:
    """Causes whose misuse gives the wrong value of an entry."""
    lesson, quantity = entry.circuit.lesson, entry.circuit.names.read(entry.quantity)
    fits = evaluated(lesson, quantity, Values(lesson.values))
    return [fit.misuse.key for fit in fits if same(fit.value, entry.wrong)]


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry.id)
def test_the_right_value_of_an_entry_is_where_the_walk_ends(entry: Entry) -> None:
    assert same(entry.circuit.walk(entry.quantity)[-1].exact, entry.right)


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry.id)
def test_the_wrong_value_of_an_entry_is_a_misuse_of_a_law(entry: Entry) -> None:
    assert bool(produced(entry)) == (entry.id not in NOT_PRODUCED)


def test_the_share_that_is_produced() -> None:
    asked = [move for move in CATALOGUE["move"] if move["circuit"] in {*NETS, "twolp"}]
    found = sum(bool(produced(entry)) for entry in ENTRIES)
    assert found >= 0.8 * len(asked)


if __name__ == "__main__":
    for entry in ENTRIES:
        print(f"{entry.id:14} {entry.quantity:22} {', '.join(produced(entry)) or '-'}")
