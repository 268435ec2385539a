"""Writes a walk to one target after another: what is on the page already is used, never found twice."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from problems.derivation.affine import Affine
from problems.derivation.carry import CarriedWalk, Search, letters, numeric
from problems.derivation.law import Law
from problems.derivation.lawset import LawSet
from problems.derivation.search import reach, teaching_order
from problems.quantities import Quantity, canonical
from problems.words import say

State = Callable[[Law, Quantity, Any, dict[Any, Any], str], Any]
"""``state(law, quantity, value, values so far, role)``: makes the step of one line."""


class NoWalk(ValueError):
    """No laws lead to a quantity: the circuit does not determine it, or a part has no law that speaks of it.

    quantity: its name.
    """

    def __init__(self, quantity: str):
        self.quantity = quantity
        super().__init__(say("walk.no-walk", quantity=quantity))


class Writer:
    """A walk as it grows.

    env: value of every symbol and of what is on the page; linear in unknowns where it is still ``expressed`` in them.
    done: what is known as a number. numbers: the unknowns' values, once solved.
    """

    def __init__(self, laws: LawSet, env: dict[Any, Any], one: Any, state: State):
        self.laws = laws
        self.env = env
        self.one = one
        self.state = state
        self.steps: list[Any] = []
        self.done: dict[Quantity, None] = {}
        self.expressed: dict[Quantity, Law] = {}
        self.numbers: dict[str, Any] = {}

    def add(self, target: Quantity) -> None:
        """Goes on to a further target. Raises NoWalk where the circuit does not determine it."""
        if target in self.expressed:
            self._restate(target)
        if target in self.done:
            return
        laws = self.laws.laws_with(target)
        known = (*self.done, *self.expressed)
        ways = reach(laws, known, target)
        if target not in ways:
            self._carry(target, laws, known)
            return
        for law in teaching_order(target, ways, known):
            if not law.given or law.head == target:
                self._line(law)

    def _line(self, law: Law) -> None:
        for tail in law.tails:
            if tail in self.expressed:
                self._restate(tail)
        self.env[law.head] = law.relation.at(self.env)
        self.done[law.head] = None
        self._say(law, law.head, "law")

    def _restate(self, quantity: Quantity) -> None:
        """What was known in the unknowns, with their numbers put in."""
        law = self.expressed.pop(quantity)
        before = dict(self.env)
        self.env[quantity] = numeric(self.env[quantity], self.numbers)
        self.done[quantity] = None
        self.steps.append(self.state(law, quantity, self.env[quantity], before, "back"))

    def _say(self, law: Law, quantity: Quantity, role: str) -> None:
        self.steps.append(self.state(law, quantity, self.env[quantity], dict(self.env), role))

    def _carry(self, target: Quantity, laws: tuple[Law, ...], known: tuple[Quantity, ...]) -> None:
        walk, page = self._closing_walk(target, laws, known)
        for line in walk.lines:
            if line.role == "close":
                letter = next(letter for letter, quantity in walk.letters.items() if quantity == line.quantity)
                self.steps.append(self.state(line.law, line.quantity, self.numbers[letter], page, "close"))
            else:
                self.env[line.quantity] = page[line.quantity]
                self._say(line.law, line.quantity, line.role)
                if isinstance(page[line.quantity], Affine):
                    self.expressed[line.quantity] = line.law
                else:
                    self.done[line.quantity] = None
        for letter, quantity in walk.letters.items():
            self.env[quantity] = self.numbers[letter]
            self.expressed.pop(quantity, None)
            self.done[quantity] = None
        if target in self.expressed:
            self._restate(target)
            return
        for law in walk.after:
            if law.head not in self.done and law.head not in self.expressed:
                self._line(law)

    def _closing_walk(
        self, target: Quantity, laws: tuple[Law, ...], known: tuple[Quantity, ...]
    ) -> tuple[CarriedWalk, dict[Any, Any]]:
        """A walk whose laws close at the values at hand, and the values on its page; the one kept for this structure
        where that will do. Takes down the unknowns' numbers."""
        values = {key: numeric(value, self.numbers) for key, value in self.env.items()}
        names = letters(len(self.numbers) + len(self.laws.view.netlist.nodes))[len(self.numbers) :]
        search = Search(laws, target, self.laws.view.netlist.nodes, known, values, self.one, names)
        kept = self.laws.carried.get((target, known))
        for walk in (kept, None) if kept is not None else (None,):
            found = walk or search.run()
            page = dict(values)
            solved = found.solved(page, self.one) if found is not None else None
            if found is not None and solved is not None:
                self.laws.carried[target, known] = found
                self.numbers.update(solved)
                return found, page
        raise NoWalk(canonical(target))
