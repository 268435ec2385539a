"""Where one law at a time does not reach: call a node voltage x, go on in x, and let an unused law close on itself.

One unknown where that does, more where it must be; with every node voltage unknown the closing laws are the node
equations, so a circuit with one solution always has a walk.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any

from problems.derivation.affine import Affine, NotAffine, unknown
from problems.derivation.law import Law, Place
from problems.derivation.search import Way, reach, teaching_order
from problems.formulas.expression import Name
from problems.quantities import GROUND, Quantity, voltage

CARRY = "carry"
_LETTERS = "xyzuvw"
_MOST_PAIRS = 60


@dataclass(frozen=True)
class CarriedStep:
    """One line of a walk with unknowns.

    law: what it uses. role: ``"law"``, ``"assume"`` (names an unknown), ``"close"`` (solves for ``quantity``) or
    ``"back"`` (restates in numbers what was known in the unknown). value: a number, or linear in the unknowns.
    """

    law: Law
    role: str
    quantity: Quantity
    value: Any


@dataclass(frozen=True)
class _Closing:
    """Laws that close on themselves, one for each unknown, and what they cost."""

    laws: tuple[Law, ...]
    solved: Mapping[str, Any]
    cost: float


def carried_walk(
    laws: Sequence[Law], target: Quantity, nodes: Sequence[str], known: Mapping[Any, Any], one: Any
) -> tuple[CarriedStep, ...] | None:
    """The cheapest walk with the fewest unknowns; None where the circuit does not determine the target.

    laws: all laws of the circuit. nodes: those that may be called an unknown. known: values of the part symbols.
    """
    settled = reach(laws, (), target)
    if target in settled:
        return None
    open_nodes = [node for node in nodes if node != GROUND and voltage(node) not in settled]
    for choice_round in _choices(open_nodes):
        best: tuple[float, tuple[CarriedStep, ...]] | None = None
        for chosen in choice_round:
            found = _with_unknowns(laws, target, chosen, known, one)
            if found is not None and (best is None or found[0] < best[0]):
                best = found
        if best is not None:
            return best[1]
    return None


def _choices(nodes: list[str]) -> Iterator[Sequence[tuple[str, ...]]]:
    """Which nodes to call unknown: one, a pair, then more and more of them."""
    yield [(node,) for node in nodes]
    yield list(combinations(nodes, 2))[:_MOST_PAIRS]
    for count in range(3, len(nodes) + 1):
        yield [tuple(nodes[:count]), tuple(nodes[-count:])]


def _with_unknowns(
    laws: Sequence[Law], target: Quantity, chosen: tuple[str, ...], known: Mapping[Any, Any], one: Any
) -> tuple[float, tuple[CarriedStep, ...]] | None:
    assumed = {
        node: Law(CARRY, voltage(node), Name(letter), 1, Place(nodes=(node,)), fields={"node": node, "letter": letter})
        for node, letter in zip(chosen, _letters(len(chosen)), strict=True)
    }
    all_laws = (*assumed.values(), *(law for law in laws if law.head not in {voltage(node) for node in chosen}))
    ways = reach(all_laws, (), target)
    if target not in ways:
        return None
    symbols = {str(law.fields["letter"]): unknown(law.fields["letter"], one) for law in assumed.values()}
    env = _evaluated(ways, {**known, **symbols})
    if env is None:
        return None
    closing = _closing(laws, ways, env, tuple(symbols), all_laws)
    if closing is None:
        return None
    return closing.cost + _union_cost(all_laws, ways[target]), _written(assumed, closing, ways, env, target)


def _letters(count: int) -> list[str]:
    return [_LETTERS[i] if i < len(_LETTERS) else f"x{i}" for i in range(count)]


def _evaluated(ways: Mapping[Quantity, Way], env: dict[Any, Any]) -> dict[Any, Any] | None:
    for quantity, way in ways.items():
        if way.last is not None:
            try:
                env[quantity] = way.last.relation.at(env)
            except (ZeroDivisionError, NotAffine):
                return None
    return env


def _union_cost(laws: Sequence[Law], *ways: Way) -> float:
    return sum(laws[index].cost for index in frozenset().union(*(way.laws for way in ways)))


def _closing(
    laws: Sequence[Law],
    ways: Mapping[Quantity, Way],
    env: Mapping[Any, Any],
    names: tuple[str, ...],
    all_laws: Sequence[Law],
) -> _Closing | None:
    """The cheapest laws whose two sides must agree and that together fix every unknown."""
    candidates: list[tuple[float, int, Law, Affine]] = []
    for index, law in enumerate(laws):
        if law.never_walked or law.only_asked or law.head not in ways or not all(tail in ways for tail in law.tails):
            continue
        if ways[law.head].last is law:
            continue
        try:
            residual = law.relation.at(env) - env[law.head]
        except (ZeroDivisionError, NotAffine):
            continue
        if isinstance(residual, Affine):
            union = _union_cost(all_laws, ways[law.head], *(ways[tail] for tail in law.tails))
            candidates.append((law.cost + union, index, law, residual))
    candidates.sort(key=lambda candidate: candidate[:2])
    return _independent(candidates, names)


def _independent(candidates: list[tuple[float, int, Law, Affine]], names: tuple[str, ...]) -> _Closing | None:
    rows: list[tuple[str, dict[str, Any], Any]] = []
    chosen: list[Law] = []
    cost = 0.0
    for price, _, law, residual in candidates:
        slopes, right = dict(residual.slopes), -residual.constant
        for pivot, row, value in rows:
            slopes, right = _minus_row(slopes, right, pivot, row, value)
        slopes = {name: slope for name, slope in slopes.items() if slope}
        if slopes:
            pivot = next(iter(slopes))
            scale = slopes[pivot]
            rows.append((pivot, {name: slope / scale for name, slope in slopes.items()}, right / scale))
            chosen.append(law)
            cost += price
        if len(rows) == len(names):
            return _Closing(tuple(chosen), _back_substituted(rows), cost)
    return None


def _minus_row(
    slopes: dict[str, Any], right: Any, pivot: str, row: Mapping[str, Any], value: Any
) -> tuple[dict[str, Any], Any]:
    factor = slopes.get(pivot)
    if not factor:
        return slopes, right
    kept = {name: slopes.get(name, 0) - factor * row.get(name, 0) for name in dict.fromkeys((*slopes, *row))}
    return {name: slope for name, slope in kept.items() if slope}, right - factor * value


def _back_substituted(rows: list[tuple[str, dict[str, Any], Any]]) -> dict[str, Any]:
    solved: dict[str, Any] = {}
    for pivot, row, value in reversed(rows):
        known = [slope * solved[name] for name, slope in row.items() if name != pivot]
        solved[pivot] = value - sum(known[1:], known[0]) if known else value
    return solved


def _written(
    assumed: Mapping[str, Law],
    closing: _Closing,
    ways: Mapping[Quantity, Way],
    env: Mapping[Any, Any],
    target: Quantity,
) -> tuple[CarriedStep, ...]:
    """The lines: in the unknowns up to each closing law, then the solved unknowns, then back to the target."""
    steps: list[CarriedStep] = []
    done: list[Quantity] = []
    for law in closing.laws:
        for needed in (*law.tails, law.head):
            for step in teaching_order(needed, ways, done):
                done.append(step.head)
                if not step.given:
                    role = "assume" if step.key == CARRY else "law"
                    steps.append(CarriedStep(step, role, step.head, env[step.head]))
    numbers = dict(closing.solved)
    for law, node_law in zip(closing.laws, assumed.values(), strict=True):
        steps.append(CarriedStep(law, "close", node_law.head, numbers[node_law.fields["letter"]]))
    solved = {node_law.head for node_law in assumed.values()}
    for law in teaching_order(target, ways, tuple(solved)):
        if not law.given:
            role = "back" if law.head in done else "law"
            steps.append(CarriedStep(law, role, law.head, _numeric(env[law.head], numbers)))
    return tuple(steps)


def _numeric(value: Any, numbers: Mapping[str, Any]) -> Any:
    if not isinstance(value, Affine):
        return value
    total = value.constant
    for name, slope in value.slopes.items():
        total = total + slope * numbers[name]
    return total
