"""Where one law at a time does not reach: call a node voltage x, go on in x, and let an unused law close on itself.

One unknown where that does, more where it must be; with every node voltage unknown the closing laws are the node
equations, so a circuit with one solution always has a walk.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, islice
from typing import Any

from problems.circuits.span import Span
from problems.derivation.affine import Affine, NotAffine, unknown
from problems.derivation.law import NODES, Law, Place
from problems.derivation.search import Way, reach, teaching_order
from problems.formulas.expression import Name
from problems.quantities import GROUND, Quantity, voltage

CARRY = "carry"
_LETTERS = "xyzuvw"
_MOST_PAIRS = 60


@dataclass(frozen=True)
class Line:
    """One line of a walk with unknowns.

    law: what it uses. role: ``"law"``, ``"assume"`` (names an unknown) or ``"close"`` (solves for ``quantity``).
    """

    law: Law
    role: str
    quantity: Quantity


@dataclass(frozen=True)
class CarriedWalk:
    """A walk that calls node voltages unknown until laws close on them.

    method: by whose laws. lines: up to the last closing law. after: the laws from the solved unknowns on to the target,
    some of which restate in numbers what was known in the unknowns. letters: letter to the node voltage that it stands
    for; none where the laws of another method lead on without.
    """

    method: str
    lines: tuple[Line, ...]
    after: tuple[Law, ...]
    letters: Mapping[str, Quantity]

    def solved(self, env: dict[Any, Any], one: Any) -> dict[str, Any] | None:
        """Values of the letters; ``env``, the values known so far, takes in every line, in the unknowns.

        None where the laws do not close at these values.
        """
        env.update({letter: unknown(letter, one) for letter in self.letters})
        closing = []
        try:
            for line in self.lines:
                if line.role == "close":
                    closing.append(line.law.relation.at(env) - env[line.law.head])
                else:
                    env[line.quantity] = line.law.relation.at(env)
        except (ZeroDivisionError, NotAffine):
            return None
        system = Unknowns()
        for residual in closing:
            system.take(residual)
        return system.solution() if len(system) == len(self.letters) else None


_CONSTANT = ""
"""Key of the constant in a row of unknowns; no unknown is called so."""


class Unknowns:
    """Equations ``residual = 0`` in the unknowns, taken in one by one."""

    def __init__(self) -> None:
        self._span = Span[str]((), _first_unknown)

    def __len__(self) -> int:
        """How many of the equations said something new."""
        return len(self._span.solved)

    def take(self, residual: Any) -> bool:
        """Takes an equation in; whether it said anything new."""
        if not isinstance(residual, Affine):
            return False
        return self._span.add({**residual.slopes, _CONSTANT: residual.constant})

    def solution(self) -> dict[str, Any]:
        """Every unknown's value, once there are as many equations."""
        rows = self._span.solved
        return {name: -row[_CONSTANT] if _CONSTANT in row else row[name] - row[name] for name, row in rows.items()}


def _first_unknown(names: Iterable[str]) -> str | None:
    return next((name for name in names if name != _CONSTANT), None)


def put_in(value: Any, known: Mapping[str, Any]) -> Any:
    """A value with what is known of its unknowns put in: numbers, or what they are in other unknowns."""
    if not isinstance(value, Affine):
        return value
    total = value.constant
    for name, slope in value.slopes.items():
        total = total + (known[name] * slope if name in known else Affine(slope - slope, {name: slope}))
    return total


@dataclass(frozen=True)
class Search:
    """What a carried walk is looked for in.

    method: whose walk it is. laws: those that may stand in it. target: what is asked. nodes: those that may be called
    an unknown. known: quantities already found. values: of the part symbols and of what is known, to tell which laws
    close. one: the 1 of their type. named: what each of some nodes is called while its voltage is unknown.
    """

    method: str
    laws: Sequence[Law]
    target: Quantity
    nodes: Sequence[str]
    known: Sequence[Quantity]
    values: Mapping[Any, Any]
    one: Any
    named: Callable[[tuple[str, ...]], Sequence[str]]

    def run(self) -> CarriedWalk | None:
        """The cheapest walk with the fewest unknowns; None where the circuit does not determine the target."""
        settled = reach(self.laws, self.known, self.target)
        if self.target in settled:
            return CarriedWalk(
                self.method, (), tuple(_without_givens(teaching_order(self.target, settled, self.known))), {}
            )
        open_nodes = [node for node in self.nodes if node != GROUND and voltage(node) not in settled]
        for choices in (_ones(open_nodes), _pairs(open_nodes), self._growing(open_nodes)):
            found = [walk for walk in (self._with_unknowns(chosen) for chosen in choices) if walk is not None]
            if found:
                return min(found, key=lambda walk: walk[0])[1]
        return None

    def _growing(self, nodes: list[str]) -> Iterator[tuple[str, ...]]:
        """Three unknowns and more: each further one where it leads on furthest, until they do."""
        chosen: tuple[str, ...] = ()
        left = list(nodes)
        while left:
            best = max(left, key=lambda node: len(reach(*self._assuming((*chosen, node)))))
            left.remove(best)
            chosen = (*chosen, best)
            if len(chosen) > 2 and self._with_unknowns(chosen) is not None:
                yield chosen
                return

    def _assuming(self, chosen: tuple[str, ...]) -> tuple[Sequence[Law], Sequence[Quantity], Quantity]:
        """What to search with where the voltages of some nodes are unknowns."""
        assumed = [_assumption(node, letter) for node, letter in zip(chosen, self.named(chosen), strict=True)]
        heads = {law.head for law in assumed}
        return (*assumed, *(law for law in self.laws if law.head not in heads)), self.known, self.target

    def _with_unknowns(self, chosen: tuple[str, ...]) -> tuple[float, CarriedWalk] | None:
        letters = self.named(chosen)
        laws, *_ = asked = self._assuming(chosen)
        ways = reach(*asked)
        if self.target not in ways:
            return None
        env = self._evaluated(ways, letters)
        closing = None if env is None else self._closing(laws, ways, env, len(chosen))
        if closing is None:
            return None
        cost = sum(law.cost for law in closing) + self._cost(laws, ways, closing)
        cost -= sum(law.fields.get("id") == node for law in closing for node in chosen) * _OWN_NODE
        cost -= sum(node in self._asked_nodes for node in chosen) * _ASKED_NODE
        return cost, self._written(laws[: len(chosen)], closing, ways)

    @property
    def _asked_nodes(self) -> frozenset[str]:
        """The ends of what is asked: a teacher calls the voltage there x. By node equations, what is asked itself."""
        if self.method == NODES and self.target.kind == "V":
            return frozenset((self.target.of,))
        heads = (law for law in self.laws if law.head == self.target and law.key in ("ohm", "drop"))
        return frozenset(tail.of for law in heads for tail in law.tails if tail.kind == "V")

    def _evaluated(self, ways: Mapping[Quantity, Way], letters: Sequence[str]) -> dict[Any, Any] | None:
        env = {**self.values, **{letter: unknown(letter, self.one) for letter in letters}}
        for quantity, way in ways.items():
            if way.last is not None:
                try:
                    env[quantity] = way.last.relation.at(env)
                except (ZeroDivisionError, NotAffine):
                    return None
        return env

    def _closing(
        self, laws: Sequence[Law], ways: Mapping[Quantity, Way], env: Mapping[Any, Any], count: int
    ) -> tuple[Law, ...] | None:
        """The cheapest laws whose two sides must agree and that together fix every unknown."""
        candidates: list[tuple[float, int, Law, Affine]] = []
        for index, law in enumerate(self.laws):
            if (self.method == NODES and law.head.kind != "V") or not _may_close(law, ways):
                continue
            try:
                residual = law.relation.at(env) - env[law.head]
            except (ZeroDivisionError, NotAffine):
                continue
            if isinstance(residual, Affine):
                candidates.append((law.cost + self._cost(laws, ways, (law,)), index, law, residual))
        system = Unknowns()
        chosen: list[Law] = []
        for _, _, law, residual in sorted(candidates, key=lambda candidate: candidate[:2]):
            if system.take(residual):
                chosen.append(law)
            if len(chosen) == count:
                return tuple(chosen)
        return None

    def _cost(self, laws: Sequence[Law], ways: Mapping[Quantity, Way], closing: tuple[Law, ...]) -> float:
        """Cost of all the laws behind the closing ones and the target, each counted once."""
        needed = [tail for law in closing for tail in (*law.tails, law.head)] + [self.target]
        return sum(laws[index].cost for index in frozenset().union(*(ways[quantity].laws for quantity in needed)))

    def _written(self, assumed: Sequence[Law], closing: tuple[Law, ...], ways: Mapping[Quantity, Way]) -> CarriedWalk:
        lines: list[Line] = []
        done: list[Quantity] = [*self.known]
        for law in closing:
            for needed in (*law.tails, law.head):
                for step in teaching_order(needed, ways, done):
                    done.append(step.head)
                    if not step.given:
                        lines.append(Line(step, "assume" if step.key == CARRY else "law", step.head))
        lines += [Line(law, "close", node_law.head) for law, node_law in zip(closing, assumed, strict=True)]
        solved = (*self.known, *(law.head for law in assumed))
        after = _without_givens(teaching_order(self.target, ways, solved))
        return CarriedWalk(self.method, tuple(lines), after, {law.fields["letter"]: law.head for law in assumed})


_OWN_NODE = 0.5
"""How much a walk gains by closing with KCL at the very node that is called unknown."""
_ASKED_NODE = 2.5
"""How much it gains by calling unknown the voltage at what is asked."""


def _without_givens(laws: Iterable[Law]) -> tuple[Law, ...]:
    return tuple(law for law in laws if not law.given)


def _may_close(law: Law, ways: Mapping[Quantity, Way]) -> bool:
    if law.never_walked or law.only_asked or law.head not in ways or ways[law.head].last is law:
        return False
    return all(tail in ways for tail in law.tails)


def _assumption(node: str, letter: str) -> Law:
    fields = {"node": node, "letter": letter} | ({"variant": "named"} if letter.startswith("V_") else {})
    return Law(CARRY, voltage(node), Name(letter), 1, Place(nodes=(node,)), fields=fields)


def _ones(nodes: list[str]) -> list[tuple[str, ...]]:
    return [(node,) for node in nodes]


def _pairs(nodes: list[str]) -> Sequence[tuple[str, ...]]:
    return list(islice(combinations(nodes, 2), _MOST_PAIRS))


def letters(count: int) -> list[str]:
    """So many names for unknowns: x, y, z …"""
    return [_LETTERS[i] if i < len(_LETTERS) else f"x{i}" for i in range(count)]
