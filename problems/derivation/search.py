"""The cheapest walk: Knuth's generalisation of Dijkstra's algorithm over the laws of a circuit.

Reference: D. E. Knuth, A generalization of Dijkstra's algorithm, Information Processing Letters 6 (1977). The cost of a
quantity is the cost of the union of the laws behind it, so that a law used twice is paid for once; that makes the walk
a good one, not a proven cheapest.
"""

from __future__ import annotations

import heapq
from collections.abc import Collection, Mapping, Sequence
from typing import NamedTuple

from problems.derivation.law import Law
from problems.quantities import Quantity


class Way(NamedTuple):
    """How a quantity is reached: the union of laws behind it, their cost, and the last of them (None where known)."""

    cost: float
    laws: frozenset[int]
    last: Law | None


def reach(laws: Sequence[Law], known: Collection[Quantity], asked: Quantity | None = None) -> dict[Quantity, Way]:
    """Every quantity that can be reached from ``known`` and the givens, each by its cheapest way.

    asked: laws marked ``only_asked`` may end there and nowhere else.
    """
    ways: dict[Quantity, Way] = {quantity: Way(0.0, frozenset(), None) for quantity in known}
    waiting: dict[Quantity, list[int]] = {}
    missing: list[int] = []
    heap: list[tuple[float, int, Quantity]] = []
    best: dict[Quantity, Way] = {}
    usable = [not law.never_walked and (not law.only_asked or law.head == asked) for law in laws]

    def offer(index: int) -> None:
        law = laws[index]
        if not usable[index] or law.head in ways:
            return
        union = frozenset((index,)).union(*(ways[tail].laws for tail in law.tails))
        way = Way(sum(laws[i].cost for i in union), union, law)
        if law.head not in best or way.cost < best[law.head].cost:
            best[law.head] = way
            heapq.heappush(heap, (way.cost, index, law.head))

    for index, law in enumerate(laws):
        open_tails = [tail for tail in law.tails if tail not in ways]
        missing.append(len(open_tails))
        for tail in open_tails:
            waiting.setdefault(tail, []).append(index)
        if not open_tails:
            offer(index)
    while heap:
        cost, _, quantity = heapq.heappop(heap)
        if quantity in ways or cost > best[quantity].cost:
            continue
        ways[quantity] = best[quantity]
        for index in waiting.get(quantity, ()):
            missing[index] -= 1
            if not missing[index]:
                offer(index)
    return ways


def teaching_order(target: Quantity, ways: Mapping[Quantity, Way], done: Collection[Quantity]) -> list[Law]:
    """The laws of a walk in the order in which to print them: each just before its use, costly tails first."""
    printed: set[Quantity] = set(done)
    order: list[Law] = []

    def visit(quantity: Quantity) -> None:
        law = ways[quantity].last
        if quantity in printed or law is None:
            return
        printed.add(quantity)
        for tail in sorted(law.tails, key=lambda tail: -ways[tail].cost):
            visit(tail)
        order.append(law)

    visit(target)
    return order
