"""Writes a walk to one target after another: what is on the page already is used, never found twice."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import partial
from typing import Any

from problems.derivation.affine import Affine
from problems.derivation.carry import CarriedWalk, Search, letters, put_in
from problems.derivation.faults import NoWalk
from problems.derivation.law import LAWS, NODES, Law
from problems.derivation.lawset import LawSet
from problems.derivation.search import reach, teaching_order
from problems.quantities import Quantity, canonical, voltage
from problems.words import say

State = Callable[[Law, Quantity, Any, dict[Any, Any], str], Any]
"""``state(law, quantity, value, values so far, role)``: makes the step of one line."""


MOST_CARRIED = 256
"""Walks with unknowns kept for one structure: there may be one for every set of what is known."""
MANY = 3
"""So many unknowns and more are compared with node equations, which take their place where these need fewer."""


class Writer:
    """A walk as it grows.

    env: value of every symbol and of what is on the page; linear in unknowns where it is still ``expressed`` in them.
    done: what is known as a number. numbers: the unknowns' values, once solved.
    """

    def __init__(self, laws: LawSet, env: dict[Any, Any], one: Any, state: State, method: str = LAWS):
        self.laws = laws
        self.env = env
        self.one = one
        self.state = state
        self.method = method
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
        laws = self.laws.laws_with(target, self.method)
        known = (*self.done, *self.expressed)
        ways = reach(laws, known, target)
        if target not in ways:
            self._carry(target, known)
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
        self.env[quantity] = put_in(self.env[quantity], self.numbers)
        self.done[quantity] = None
        self.steps.append(self.state(law, quantity, self.env[quantity], before, "back"))

    def _say(self, law: Law, quantity: Quantity, role: str) -> None:
        self.steps.append(self.state(law, quantity, self.env[quantity], dict(self.env), role))

    def _carry(self, target: Quantity, known: tuple[Quantity, ...]) -> None:
        walk, page = self._closing_walk(target, known)
        first = len(self.steps)
        for line in walk.lines:
            if line.role != "close":
                self.env[line.quantity] = page[line.quantity]
                self._say(line.law, line.quantity, line.role)
                if isinstance(page[line.quantity], Affine):
                    self.expressed[line.quantity] = line.law
                else:
                    self.done[line.quantity] = None
        self._close(walk, page)
        self._finish(target, walk)
        self._explain(walk, first)

    def _finish(self, target: Quantity, walk: CarriedWalk) -> None:
        """From the unknowns found on to the target."""
        if target in self.expressed:
            self._restate(target)
        elif target in self.done and target not in walk.letters.values():
            # the unknown fell out of it on the way: said again, where it is asked
            law = next(line.law for line in walk.lines if line.quantity == target)
            self._say(law, target, "back")
        else:
            for law in walk.after:
                if law.head not in self.done and law.head not in self.expressed:
                    self._line(law)

    def _explain(self, walk: CarriedWalk, first: int) -> None:
        """Says at the places of change why the walk goes on in another way."""
        count = 0
        for place in range(first, len(self.steps)):
            step = self.steps[place]
            key = ""
            if walk.method != self.method and place == first:
                key = "note.node-equations"
            elif step.role == "assume" and walk.method == self.method:
                key = f"note.{self.method}-{'more' if count else 'carry'}"
                count += 1
            if key:
                self.steps[place] = step.noted(say(key, name=step.label, letter=step.rule.fields.get("letter", "")))

    def _close(self, walk: CarriedWalk, page: dict[Any, Any]) -> None:
        """Solves for one unknown after the other; each that is found goes into what closes next."""
        found: dict[str, Any] = {}
        for line in walk.lines:
            if line.role != "close":
                continue
            env = {key: put_in(value, found) for key, value in page.items()}
            letter, value = _solved(line.law, env, walk.letters)
            found = {other: put_in(known, {letter: value}) for other, known in found.items()} | {letter: value}
            quantity = walk.letters[letter]
            law = _headed_by(quantity, line.law, self.laws.of_method(walk.method))
            self.steps.append(self.state(law, quantity, value, env, "close"))
            self.env[quantity] = value
            if not isinstance(value, Affine):
                self.expressed.pop(quantity, None)
                self.done[quantity] = None

    def _closing_walk(self, target: Quantity, known: tuple[Quantity, ...]) -> tuple[CarriedWalk, dict[Any, Any]]:
        """A walk whose laws close at the values at hand, and the values on its page; the one kept for this structure
        where that will do. Takes down the unknowns' numbers."""
        values = {key: put_in(value, self.numbers) for key, value in self.env.items()}
        place = (self.method, target, known)
        kept = self.laws.carried.get(place)
        for walk in (kept, None) if kept is not None else (None,):
            found = walk or self._best(target, known, values)
            page = dict(values)
            solved = found.solved(page, self.one) if found is not None else None
            if found is not None and solved is not None:
                if len(self.laws.carried) >= MOST_CARRIED:
                    self.laws.carried.clear()
                self.laws.carried[place] = found
                self.numbers.update(solved)
                return found, page
        raise NoWalk(canonical(target))

    def _best(self, target: Quantity, known: tuple[Quantity, ...], values: dict[Any, Any]) -> CarriedWalk | None:
        """The walk with the fewest unknowns: by this method; if that takes many, by node equations, if fewer do."""
        found = self._search(self.method, target, known, values)
        if self.method == NODES or (found is not None and len(found.letters) < MANY):
            return found
        plain = self._search(NODES, target, known, values)
        if found is None or plain is None:
            return found or plain
        return plain if len(plain.letters) < len(found.letters) else found

    def _search(
        self, method: str, target: Quantity, known: tuple[Quantity, ...], values: dict[Any, Any]
    ) -> CarriedWalk | None:
        laws = self.laws.laws_with(target, method)
        named = partial(self._named, method=method)
        return Search(method, laws, target, self.laws.view.netlist.nodes, known, values, self.one, named).run()

    def _named(self, nodes: tuple[str, ...], method: str) -> list[str]:
        """What the voltages of some nodes are called while unknown: letters; in node equations, their names."""
        used = len(self.numbers)
        plain = letters(used + len(nodes))[used:]
        if method != NODES:
            return plain
        names = [self.laws.view.write(voltage(node)) for node in nodes]
        return [letter if name in self.env else name for name, letter in zip(names, plain, strict=True)]


def _solved(law: Law, env: Mapping[Any, Any], named: Mapping[str, Quantity]) -> tuple[str, Any]:
    """The unknown that a law closes on, its own node's where it may be, and what it comes to."""
    residual = law.relation.at(env) - env[law.head]
    own = [letter for letter, quantity in named.items() if quantity.of == law.fields.get("id")]
    letter = next(letter for letter in (*own, *named) if letter in residual.slopes)
    slope = residual.slopes[letter]
    return letter, put_in(residual, {letter: slope - slope}) / -slope


def _headed_by(quantity: Quantity, law: Law, laws: Iterable[Law]) -> Law:
    """The same written equation solved for a quantity, where that stands in it."""
    same = (other for other in laws if other.equation is not None and other.equation == law.equation)
    return next((other for other in same if other.head == quantity), law)
