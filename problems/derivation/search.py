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
from problems.quantities import Quantity, is_made


class Way(NamedTuple):
    """How a quantity is reached: the union of laws behind it, their cost, and the last of them (None where known)."""

    cost: float
    laws: frozenset[int]
    last: Law | None


def reach(laws: Sequence[Law], known: Collection[Quantity], asked: Quantity | None = None) -> dict[Quantity, Way]:
    """Every quantity that can be reached from ``known`` and the givens, each by its cheapest way.

    asked: laws marked ``only_asked`` may end there and nowhere else.
    """
    return _Search(laws, known, asked).run()


def closure(laws: Sequence[Law]) -> set[Quantity]:
    """Every quantity that can be reached from the givens at all: quicker than ``reach``, which says how."""
    found: set[Quantity] = set()
    waiting: dict[Quantity, list[int]] = {}
    missing = [0] * len(laws)
    ready = []
    for index, law in enumerate(laws):
        if law.never_walked or law.only_asked:
            continue
        missing[index] = len(law.tails)
        for tail in law.tails:
            waiting.setdefault(tail, []).append(index)
        if not law.tails:
            ready.append(law.head)
    while ready:
        quantity = ready.pop()
        if quantity in found:
            continue
        found.add(quantity)
        for index in waiting.get(quantity, ()):
            missing[index] -= 1
            if not missing[index]:
                ready.append(laws[index].head)
    return found


class _Search:
    """One run of the queue. ways: what is settled. best: the cheapest offer for what is not."""

    def __init__(self, laws: Sequence[Law], known: Collection[Quantity], asked: Quantity | None):
        self.laws = laws
        self.asked = asked
        self.ways: dict[Quantity, Way] = {quantity: Way(0.0, frozenset(), None) for quantity in known}
        self.best: dict[Quantity, Way] = {}
        self.heap: list[tuple[float, int, Quantity]] = []
        self.waiting: dict[Quantity, list[int]] = {}
        """Quantity to the laws that lack it."""
        self.missing: list[int] = []
        """For each law, how many of its tails are not settled."""

    def run(self) -> dict[Quantity, Way]:
        for index, law in enumerate(self.laws):
            self._enter(index, law)
        while self.heap:
            cost, _, quantity = heapq.heappop(self.heap)
            if quantity not in self.ways and cost <= self.best[quantity].cost:
                self._settle(quantity)
        return self.ways

    def _enter(self, index: int, law: Law) -> None:
        open_tails = [tail for tail in law.tails if tail not in self.ways]
        self.missing.append(len(open_tails))
        for tail in open_tails:
            self.waiting.setdefault(tail, []).append(index)
        if not open_tails:
            self._offer(index)

    def _settle(self, quantity: Quantity) -> None:
        self.ways[quantity] = self.best[quantity]
        for index in self.waiting.get(quantity, ()):
            self.missing[index] -= 1
            if not self.missing[index]:
                self._offer(index)

    def _offer(self, index: int) -> None:
        """A law whose tails are all settled bids for its head with the union of the laws behind it."""
        law = self.laws[index]
        if law.never_walked or law.head in self.ways or (law.only_asked and law.head != self.asked):
            return
        union = frozenset((index,)).union(*(self.ways[tail].laws for tail in law.tails))
        way = Way(sum(self.laws[i].cost for i in union), union, law)
        if law.head not in self.best or way.cost < self.best[law.head].cost:
            self.best[law.head] = way
            heapq.heappush(self.heap, (way.cost, index, law.head))


def teaching_order(target: Quantity, ways: Mapping[Quantity, Way], done: Collection[Quantity]) -> list[Law]:
    """The laws of a walk in the order in which to print them: each just before its use, costly tails first."""
    printed: set[Quantity] = set(done)
    order: list[Law] = []

    def visit(quantity: Quantity) -> None:
        law = ways[quantity].last
        if quantity in printed or law is None:
            return
        printed.add(quantity)
        for tail in sorted(law.tails, key=lambda tail: order_of(tail, law.tails)):
            visit(tail)
        order.append(law)

    def order_of(tail: Quantity, tails: Collection[Quantity]) -> tuple[float, str, float]:
        if not is_made(tail):
            return -ways[tail].cost, "", 0
        # what belongs to one replaced source is told together
        both = max(ways[other].cost for other in tails if other.of == tail.of)
        return -both, tail.of, -ways[tail].cost

    visit(target)
    return order
