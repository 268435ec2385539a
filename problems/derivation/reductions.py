"""Reduced circuits: resistors side by side or in line taken as one, two arms to fixed voltages taken as one source.

Every reduced circuit is kept as a view of its own, so that a walk can go down to one resistor and come back. What a
view shares with one before it brings no laws anew. A kind of reduction is taken in only where it leads to voltages that
were out of reach without it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import replace
from itertools import chain, count, product
from string import ascii_uppercase
from typing import Any

from problems.circuits.netlist import Netlist
from problems.circuits.parts.base import Branch
from problems.circuits.solution import exact_values
from problems.derivation.condition import live_ends
from problems.derivation.law import LAWS, Law
from problems.derivation.laws.registry import LawKind, law_kinds
from problems.derivation.search import closure
from problems.derivation.view import Chain, Composite, End, Fresh, Reduced, View, chain_through
from problems.formulas.expression import Name
from problems.quantities import GROUND, Quantity, is_made, loosened, made_name, voltage

MOST_VIEWS = 120
"""Reductions of one circuit at most; each takes away a branch, so that only a huge circuit comes near."""


def defining(laws: Iterable[Law]) -> tuple[Law, ...]:
    """One law for each engine-made quantity, in an order in which they can be worked out."""
    found: dict[Quantity, Law] = {}
    for law in laws:
        if is_made(law.head) and law_kinds()[law.key].defines:
            found.setdefault(law.head, law)
    return tuple(found.values())


def all_laws(view: View) -> tuple[Law, ...]:
    """The laws of a circuit as drawn, and those of its reductions where one law at a time does not lead everywhere."""
    laws = tuple(law for kind in law_kinds().values() for law in kind.instances(view))
    drawn = reached = _reached(view, laws)
    book = _Book(view)
    for with_sources in (False, True):
        if len(reached) == len(view.netlist.nodes):
            break
        trial = book.copy()
        more = _laws_of(_Reducer(view, trial, drawn, with_sources).views(), trial)
        after = _reached(view, (*laws, *more))
        if len(after) > len(reached):
            laws, reached, book = (*laws, *more), after, trial
    return laws


def _reached(view: View, laws: Iterable[Law]) -> frozenset[str]:
    """The nodes whose voltages laws lead to one at a time."""
    found = closure([law for law in laws if LAWS in law_kinds()[law.key].methods])
    return frozenset(node for node in view.netlist.nodes if node == GROUND or voltage(node) in found)


def _laws_of(views: Iterable[View], book: _Book) -> tuple[Law, ...]:
    kinds = _of_branches()
    return tuple(
        book.placed(law, view)
        for view in views
        for law in chain.from_iterable(kind.instances(view) for kind in kinds)
        if not (law.only_asked and is_made(law.head))
    )


def true_values(netlist: Netlist, made: Iterable[Law]) -> dict[Any, Any]:
    """The exact values of a circuit of numbers, and of what is made of its parts. Raises NoSolution.

    made: the laws that define what is made.
    """
    return with_made(exact_values(netlist), made)


def _of_branches() -> list[LawKind]:
    """The laws of reduced circuits, those that say what was made first."""
    kinds = (kind for kind in law_kinds().values() if kind.of_branches)
    return sorted(kinds, key=lambda kind: (not kind.defines, kind.defines))


def with_made(values: dict[Any, Any], made: Iterable[Law]) -> dict[Any, Any]:
    """The same values, with those of what is made of parts put in."""
    for law in made:
        with suppress(KeyError, ValueError, ZeroDivisionError):
            values[law.head] = law.relation.at(values)
    return values


class _Book:
    """What has been made of a circuit so far, so that the same is called the same and no law is made twice."""

    def __init__(self, view: View):
        self.view = view
        self.order = {branch.name: number for number, branch in enumerate(view.netlist.branches)}
        self.parts: dict[str, tuple[str, ...]] = {branch.name: (branch.part,) for branch in view.netlist.branches}
        self.made: dict[tuple[str, frozenset[str]], Branch] = {}
        self.seen: set[object] = {_junction_key(node, ends) for node, ends in view.meeting.items()}
        self.seen |= {_chain_key(run) for run in view.chains}
        self.letters = _letters(view)

    def copy(self) -> _Book:
        """The same, to go on from."""
        other = _Book(self.view)
        other.order, other.parts, other.made = dict(self.order), dict(self.parts), dict(self.made)
        other.seen = set(self.seen)
        taken = {branch.name for branch in other.made.values()}
        other.letters = (name for name in _letters(self.view) if name not in taken)
        return other

    def branch(self, how: str, members: tuple[End, ...], start: str, end: str, name: str = "") -> tuple[Branch, bool]:
        """The branch that stands for others, and whether it is new."""
        key = (how, frozenset(member.branch.name for member in members))
        if key in self.made:
            return self.made[key], False
        name = name or next(self.letters)
        branch = Branch(name, start, end, Name(Quantity("R", name)))
        self.made[key] = branch
        self.order[name] = min(self.order[member.branch.name] for member in members)
        parts = chain.from_iterable(self.parts[member.branch.name] for member in members)
        self.parts[name] = tuple(dict.fromkeys(parts))
        return branch, True

    def is_new(self, key: object) -> bool:
        """Whether this is met for the first time."""
        if key in self.seen:
            return False
        self.seen.add(key)
        return True

    def placed(self, law: Law, view: View) -> Law:
        """The law of a reduced circuit, with the real parts and nodes as its place."""
        place = law.place
        parts = dict.fromkeys(chain.from_iterable(self.parts.get(name, (name,)) for name in place.parts))
        nodes = tuple(node for node in place.nodes if not is_made(node))
        loaded = any(len(live_ends(self.view, node)) > 2 for node in _tapped(law, view))
        # what else hangs there is taken into one of its parts: no sentence may say that nothing draws current
        fields = {"variant": "reduced", **law.fields} if loaded else law.fields
        return replace(law, place=place._replace(parts=tuple(parts), nodes=nodes), view=view, fields=fields)


class _Reducer:
    """Reduces one circuit step by step. reached: nodes whose voltage is found without."""

    def __init__(self, view: View, book: _Book, reached: frozenset[str], with_sources: bool):
        self.view, self.book, self.reached, self.with_sources = view, book, reached, with_sources
        self.meeting = dict(view.meeting)
        self.closed: frozenset[str] = frozenset()
        self.fixed = {GROUND, *view.netlist.held, *view.outputs}
        self.barred = {amp.minus for amp in view.netlist.opamps}
        """Nodes not to be merged away: an inverting input is known from the other, not from what it hangs on."""
        self.nodes = _far_first(view)

    def views(self) -> Iterator[View]:
        """Every reduced circuit in turn."""
        for _ in range(MOST_VIEWS):
            found = self._parallel() or (self._source() if self.with_sources else None) or self._series()
            if found is None:
                return
            composite, new = found
            fresh = self._take(composite, new)
            if fresh.branches or fresh.junctions or fresh.chains:
                reduced = Reduced(dict(self.meeting), self.closed, fresh)
                yield replace(self.view, reduced=reduced)

    def _parallel(self) -> tuple[Composite, bool] | None:
        for node in self.nodes:
            by_far: dict[str, list[End]] = {}
            for end in self.meeting[node]:
                if self._counts(end):
                    by_far.setdefault(end.far, []).append(end)
            for far, ends in by_far.items():
                if len(ends) > 1 and not {node, far} <= self.reached:
                    members = self._sorted(ends)
                    first = members[0]
                    start, stop = (node, far) if first.sign > 0 else (far, node)
                    branch, new = self.book.branch("parallel", members, start, stop)
                    seen = members if first.sign > 0 else tuple(end.turned(node) for end in members)
                    return self._composite("parallel", branch, seen), new
        return None

    def _series(self) -> tuple[Composite, bool] | None:
        for node in self.nodes:
            if not self._may_go(node):
                continue
            run = chain_through(node, self.meeting, self._may_go)
            first, last = run.nodes[0], run.nodes[-1]
            names = [end.branch.name for end in run.ends]
            if first == last or {first, last} <= self.reached or all(name in self.view.zero for name in names):
                continue
            leading = min(run.ends, key=lambda end: self.book.order[end.branch.name])
            ends = run.ends
            if leading.sign < 0:
                first, last = last, first
                starts = (*run.nodes[:-1],)
                ends = tuple(end.turned(near) for end, near in zip(run.ends, starts, strict=True))[::-1]
            branch, new = self.book.branch("series", ends, first, last)
            return self._composite("series", branch, ends), new
        return None

    def _source(self) -> tuple[Composite, bool] | None:
        """A node with just two arms to fixed voltages and something else on it."""
        for node in reversed(self.nodes):
            if node in self.fixed or node in self.reached or node in self.barred:
                continue
            ends = self.meeting[node]
            arms = [end for end in ends if end.far in self.fixed and self._counts(end)]
            if len(arms) != 2 or len(ends) < 3 or any(end.far in self.fixed for end in ends if end not in arms):
                continue
            members = self._sorted(arms)
            name = self._free_end(node)
            branch, new = self.book.branch("thevenin", members, name, node, name)
            return self._composite("thevenin", branch, members), new
        return None

    def _counts(self, end: End) -> bool:
        """Whether a branch may be taken together with others side by side."""
        return end.branch.impedance is not None and end.branch.name not in self.view.zero

    def _sorted(self, ends: Iterable[End]) -> tuple[End, ...]:
        return tuple(sorted(ends, key=lambda end: self.book.order[end.branch.name]))

    def _may_go(self, node: str) -> bool:
        """Whether a node may be merged away: two resistors and nothing else there, its currents add up."""
        ends = self.meeting[node]
        if len(ends) != 2 or node in self.closed or node in self.barred or node == GROUND:
            return False
        return all(end.branch.impedance is not None for end in ends)

    def _free_end(self, node: str) -> str:
        """A name for the source that replaces arms at a node, after its pin where the node has no name of its own."""
        own, pin = node.rpartition(".")[::2]
        short = pin if own and self.view.netlist.pins.get(pin) == node else node.replace(".", "_")
        names = (made_name(short if number == 1 else f"{short}_{number}") for number in count(1))
        return next(name for name in names if name not in self.fixed)

    def _composite(self, how: str, branch: Branch, members: tuple[End, ...]) -> Composite:
        return Composite(how, branch, members, self.book.parts[branch.name])

    def _take(self, composite: Composite, new: bool) -> Fresh:
        """Puts a branch in the place of its members; what is new thereby."""
        branch = composite.branch
        gone = {end.branch.name for end in composite.members}
        touched = {node for end in composite.members for node in (end.branch.start, end.branch.end) if node}
        for node in touched:
            self.meeting[node] = tuple(end for end in self.meeting[node] if end.branch.name not in gone)
        start, stop = branch.start or GROUND, branch.end or GROUND
        if composite.how == "thevenin":
            self.closed |= {*(end.far for end in composite.members), start}
            self.fixed.add(start)
            self.meeting[start] = ()
        self.meeting[start] = (*self.meeting[start], End(branch, 1, stop))
        self.meeting[stop] = (*self.meeting[stop], End(branch, -1, start))
        changed = [node for node in (start, stop) if node != GROUND and node not in self.closed]
        junctions = {
            node: self.meeting[node] for node in changed if self.book.is_new(_junction_key(node, self.meeting[node]))
        }
        return Fresh(composite if new else None, (branch,) if new else (), junctions, self._chains(changed))

    def _chains(self, changed: list[str]) -> tuple[Chain, ...]:
        """The longest runs through changed nodes that no view had before."""
        view = replace(self.view, reduced=Reduced(self.meeting, self.closed, Fresh(None, (), {}, ())))
        runs = [view.chain_through(node) for node in changed if view.is_inner(node)]
        return tuple(run for run in runs if run.nodes[0] != run.nodes[-1] and self.book.is_new(_chain_key(run)))


def _tapped(law: Law, view: View) -> tuple[str, ...]:
    """The nodes between the branches that a law takes in line."""
    if law.key == "chain-current":
        names = law.fields["branches"].split(",")
        ends = Counter(chain.from_iterable(branch[1:3] for branch in view.branches if branch.name in names))
        return tuple(node for node, met in ends.items() if node is not None and met > 1)
    return law.place.nodes


def _junction_key(node: str, ends: tuple[End, ...]) -> object:
    return (node, frozenset(end.branch.name for end in ends))


def _chain_key(run: Chain) -> object:
    return frozenset(end.branch.name for end in run.ends)


def _far_first(view: View) -> tuple[str, ...]:
    """The nodes, those farthest from what sources and op-amps hold first: there a teacher begins to reduce."""
    distance = dict.fromkeys((*view.netlist.held, *view.outputs), 0)
    waiting = list(distance)
    for node in waiting:
        for end in view.meeting[node]:
            if end.far != GROUND and end.far not in distance:
                distance[end.far] = distance[node] + 1
                waiting.append(end.far)
    nodes = [node for node in view.netlist.nodes if node != GROUND]
    return tuple(sorted(nodes, key=lambda node: -distance.get(node, len(nodes))))


def _letters(view: View) -> Iterator[str]:
    """``A*``, ``B*`` …: without those that could be taken for a part, a value or a node of the circuit."""
    taken = {loosened(name) for name in (*view.netlist.units, *view.netlist.part_names)}
    nodes = {node.lower() for node in (*view.netlist.nodes, *view.netlist.terminals.values())}
    for size in count(1):
        for letters in product(ascii_uppercase, repeat=size):
            low = "".join(letters).lower()
            if low not in nodes and not {f"r{low}", f"i{low}"} & taken:
                yield made_name("".join(letters))
