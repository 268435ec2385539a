"""The exact solution against a float nodal solution written separately, on random circuits."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable

import pytest
from nodal_judge import Judged, Undecided, judge
from random_circuits import both_inputs_driven, draw

from problems.circuits.netlist import Netlist
from problems.circuits.solution import NoSolution, exact_values, solve
from problems.quantities import current, voltage

CIRCUITS = 500
DRIVEN_SHARE = 0.30
MOST_REJECTED_PER_KEPT = 2


def agree(exact: float, judged: float, largest: float) -> bool:
    """1e-9 of the value itself; where the exact value is 0, of nothing in particular, 1e-12 of the largest."""
    return math.isclose(exact, judged, rel_tol=1e-9, abs_tol=0.0 if exact else 1e-12 * largest)


def assert_equal(netlist: Netlist, judged: Judged, seed: int) -> None:
    exact = exact_values(netlist)
    assert set(judged.voltages) == set(netlist.nodes)
    assert set(judged.currents) == set(netlist.branch_names)
    for found, quantity in ((judged.voltages, voltage), (judged.currents, current)):
        largest = max(abs(value) for value in found.values())
        for name, value in found.items():
            assert agree(float(exact[quantity(name)]), value, largest), f"seed {seed}: {quantity(name)}"


def determined(netlist: Netlist) -> bool:
    """Whether the exact engine finds exactly one value for everything."""
    try:
        exact = exact_values(netlist)
    except NoSolution:
        return False
    return all(voltage(node) in exact for node in netlist.nodes) and all(
        current(name) in exact for name in netlist.branch_names
    )


def test_five_hundred_random_circuits_equal_the_float_judge(record_property: Callable[[str, object], None]) -> None:
    count: Counter[str] = Counter()
    seed = 0
    while count["kept"] < CIRCUITS:
        netlist = draw(seed)
        seed += 1
        try:
            judged = judge(netlist)
        except Undecided:
            # Both methods have to refuse the same circuits, or one of them hides something.
            assert not determined(netlist), f"seed {seed - 1}"
            count["rejected"] += 1
            continue
        assert determined(netlist), f"seed {seed - 1}"
        assert_equal(netlist, judged, seed - 1)
        count["kept"] += 1
        count["driven"] += both_inputs_driven(netlist)
    for name, value in count.items():
        record_property(name, value)
    assert count["driven"] >= DRIVEN_SHARE * CIRCUITS, count
    assert count["rejected"] <= MOST_REJECTED_PER_KEPT * CIRCUITS, count


def test_random_circuits_span_the_sizes_they_promise() -> None:
    drawn = [draw(seed) for seed in range(300)]
    assert {len(netlist.nodes) for netlist in drawn} == set(range(3, 13))
    assert {len(netlist.opamps) for netlist in drawn} == {1, 2, 3}


SOLVABLE = tuple(seed for seed in range(120) if determined(draw(seed)))
"""Seeds of circuits that have one solution, by the engine's own word; the test above holds it to the judge's."""


@pytest.mark.parametrize("seed", SOLVABLE)
def test_contributions_of_the_sources_add_up_to_the_whole(seed: int) -> None:
    netlist = draw(seed)
    solution = solve(netlist)
    sources = [part for part in netlist.parts if part.independent]
    for node in netlist.nodes:
        parts = [solution.transfer(node, part.name) * netlist.values[part.parameters[0].symbol] for part in sources]
        assert sum(parts) == solution.voltage(node)


@pytest.mark.parametrize("seed", SOLVABLE)
def test_powers_of_all_parts_add_up_to_nothing(seed: int) -> None:
    netlist = draw(seed)
    solution = solve(netlist)
    assert sum(solution.power(part.name) for part in netlist.parts) == 0
