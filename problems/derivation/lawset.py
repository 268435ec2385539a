"""All laws of one circuit structure, and the walks over them, made once and kept for every variant."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from dataclasses import replace
from functools import cached_property
from threading import Lock
from typing import NamedTuple

from problems.circuits.netlist import Netlist
from problems.derivation.carry import CarriedWalk
from problems.derivation.law import CARRIED, LAWS, Law, Misuse
from problems.derivation.laws.between import law_for
from problems.derivation.laws.registry import law_kinds, laws_of
from problems.derivation.reactive.kept import KeptMisuses
from problems.derivation.reductions import all_laws, defining
from problems.derivation.search import reach, teaching_order
from problems.derivation.view import View
from problems.formulas.expression import ZERO, Expression, Name, Negative, keys, nodes, substitute
from problems.quantities import Quantity, voltage


class Structure(NamedTuple):
    """What a set of laws depends on: not the values, but which are 0 and which way each feedback acts."""

    parts: tuple[object, ...]
    package: str
    feedback: tuple[tuple[str, str], ...]
    zero: frozenset[str]
    source: str
    """The source that is on alone, which its laws' sentences name."""


OTHER_METHOD = 0.5
"""How much further back the misuses of a law are that the method at hand does not use."""


class LawSet:
    """Laws of one structure. Its walks and wrong moves are formulas, so variants only evaluate them."""

    def __init__(self, view: View):
        self.view = view
        self._walks: dict[tuple[str, tuple[Quantity, ...]], tuple[Law, ...] | None] = {}
        self._of_method: dict[str, tuple[Law, ...]] = {}
        self._misuses: dict[tuple[object, ...], tuple[Misuse, ...]] = {}
        self.reactive = KeptMisuses()
        """Wrong moves that capacitors and inductors bring."""
        self.carried: dict[tuple[str, Quantity, tuple[Quantity, ...]], CarriedWalk] = {}
        """Walks with unknowns, by method, target and what was known before."""
        self.superposed: LawSet | None = None
        """The same with the laws of each source alone, once they are asked for."""

    @cached_property
    def laws(self) -> tuple[Law, ...]:
        """Every law at every place."""
        return all_laws(self.view)

    @cached_property
    def defining(self) -> tuple[Law, ...]:
        """Laws that say what each engine-made quantity is, in an order in which they can be worked out."""
        return defining(self.laws)

    def misuses_of(self, law: Law) -> Iterator[Misuse]:
        """The ways a law goes wrong, in the circuit as it was when the law was made."""
        return law_kinds()[law.key].misuses(law, law.view or self.view)

    @cached_property
    def _by_head(self) -> dict[Quantity, tuple[Law, ...]]:
        found: dict[Quantity, list[Law]] = {}
        for law in self.laws:
            found.setdefault(law.head, []).append(law)
        return {head: tuple(laws) for head, laws in found.items()}

    def headed_by(self, quantity: Quantity) -> tuple[Law, ...]:
        """The laws that give a quantity."""
        if quantity.kind == "B":
            return (law_for(quantity, self.view),)
        return self._by_head.get(quantity, ())

    def of_method(self, method: str) -> tuple[Law, ...]:
        """The laws that may stand in the walks of a method."""
        if method not in self._of_method:
            named = laws_of(method)
            found = (_for_walks_by(named, law) for law in self.laws)
            self._of_method[method] = tuple(law for law in found if law is not None)
        return self._of_method[method]

    def laws_with(self, target: Quantity, method: str = LAWS) -> tuple[Law, ...]:
        """The laws of a method, and that of a pair of nodes where one is asked: pairs are too many to make them all."""
        laws = self.of_method(method)
        return (*laws, law_for(target, self.view)) if target.kind == "B" else laws

    @cached_property
    def givens(self) -> frozenset[Quantity]:
        """What a source states: known without a step."""
        return frozenset(law.head for law in self.given_laws)

    @cached_property
    def given_laws(self) -> tuple[Law, ...]:
        """The laws of what sources state."""
        return tuple(law for law in self.laws if law.given)

    def walk(self, targets: tuple[Quantity, ...], method: str = LAWS) -> tuple[Law, ...] | None:
        """The laws that lead to each target in turn, in teaching order; None where one needs a carried unknown."""
        if (method, targets) not in self._walks:
            self._walks[method, targets] = self._found_walk(targets, method)
        return self._walks[method, targets]

    def _found_walk(self, targets: tuple[Quantity, ...], method: str) -> tuple[Law, ...] | None:
        order: list[Law] = []
        done: list[Quantity] = []
        for target in targets:
            ways = reach(self.laws_with(target, method), done, target)
            if target not in ways:
                return None
            steps = teaching_order(target, ways, done)
            order += [law for law in steps if not law.given or law.head == target]
            done += [law.head for law in steps]
        return tuple(order)

    def misuses(self, quantity: Quantity, taught: Law | None = None) -> tuple[Misuse, ...]:
        """Every wrong move known for the step that gives a quantity: of its own law first, then of what it rests on.

        taught: the law of the walk at hand, where that is another than the shortest walk's.
        """
        # a law is looked up by its place, not by its whole tree
        place = (quantity, None if taught is None else (taught.key, taught.head, taught.tails))
        if place not in self._misuses:
            found: dict[tuple[object, object], Misuse] = {}
            for misuse in self._all_misuses(quantity, taught):
                if quantity in keys(misuse.relation):
                    # nobody has the answer in hand while looking for it
                    continue
                known = found.get((misuse.key, misuse.relation))
                if known is None or misuse.rank < known.rank:
                    found[misuse.key, misuse.relation] = misuse
            self._misuses[place] = _likeliest(found.values())
        return self._misuses[place]

    def walked_law(self, quantity: Quantity, method: str = LAWS) -> Law | None:
        """The law by which the walk reaches a quantity; None where no walk of one law at a time does."""
        laws = self.walk((quantity,), method)
        return laws[-1] if laws else None

    def own_law(self, quantity: Quantity) -> Law | None:
        """The same; the cheapest law that gives it where no walk does."""
        headed = (law for law in self.headed_by(quantity) if LAWS in law_kinds()[law.key].methods)
        return self.walked_law(quantity) or min(headed, key=lambda law: law.cost, default=None)

    def _all_misuses(self, quantity: Quantity, taught: Law | None) -> Iterator[Misuse]:
        shortest = self.own_law(quantity)
        own = taught or shortest
        if own is None:
            return
        laws = [own] if shortest is None or shortest.relation == own.relation else [own, shortest]
        laws += [law for law in self.headed_by(quantity) if law.never_walked]
        for law in laws:
            # whoever writes equations is less likely to slip in a law of another method
            further = OTHER_METHOD if own.equation is not None and law.equation is None and not law.never_walked else 0
            for misuse in self.misuses_of(law):
                yield replace(misuse, rank=misuse.rank + further) if further else misuse
            yield from self._carried_misuses(law)
            yield from self._carried_stages(law)
        if quantity.kind == "V" and quantity.of in self.view.outputs:
            yield Misuse("minus-sign-lost", Negative(own.relation), 1.4)
            yield from self._silenced(quantity)

    def _carried_misuses(self, law: Law, passed: frozenset[Quantity] = frozenset()) -> Iterator[Misuse]:
        """Misuses of a quantity that the law rests on, carried through it: one law back, or as far as equalities go."""
        for tail in law.tails:
            own = self.own_law(tail)
            if own is None or own.given or tail in passed:
                continue
            behind = list(self.misuses_of(own))
            if isinstance(own.relation, Name) or (
                isinstance(own.relation, Negative) and isinstance(own.relation.operand, Name)
            ):
                behind += self._carried_misuses(own, passed | {tail, law.head})
            for misuse in behind:
                if misuse.relation == ZERO and law.key == "hop":
                    continue
                yield misuse.carried(law.relation, tail)

    def _carried_stages(self, law: Law) -> Iterator[Misuse]:
        """Misuses of closed formulas for what the law rests on, carried through it; one kind at several places at once.

        Through a closed formula all of them, through a law of a walk those of a node between parts: what such a law
        makes of an op-amp's output is told by the formula of the next stage.
        """
        alike: dict[str, dict[Hashable, Misuse]] = {}
        whole = self._from_outputs(law) if law.never_walked else law.relation
        for tail in sorted(key for key in keys(whole) if isinstance(key, Quantity)):
            if not law.never_walked and tail.of in self.view.outputs:
                continue
            for before in self.headed_by(tail):
                if before.never_walked:
                    for misuse in self.misuses_of(before):
                        if misuse.rank > MOST_CARRIED:
                            continue
                        alike.setdefault(misuse.key, {}).setdefault(tail, misuse)
                        relation = substitute(whole, {tail: misuse.relation})
                        yield Misuse(misuse.key, relation, misuse.rank + 2, misuse.fields, tail)
        for key, places in alike.items():
            if len(places) > 1:
                relation = substitute(whole, {tail: misuse.relation for tail, misuse in places.items()})
                first = next(iter(places.values()))
                yield Misuse(key, relation, first.rank + CARRIED, first.fields)

    def _from_outputs(self, law: Law) -> Expression:
        """The relation of a stage, with what reaches its inputs from other stages written in their outputs."""
        found: dict[Hashable, Expression] = {}
        for tail in law.tails:
            own = self.own_law(tail) if tail.of in self.view.inputs else None
            if own is not None and any(t.of in self.view.outputs and t != law.head for t in own.tails):
                found[tail] = own.relation
        return substitute(law.relation, found)

    def _silenced(self, quantity: Quantity) -> Iterator[Misuse]:
        """An output behind other stages with one source left out on all its ways."""
        stage = next((law for law in self.headed_by(quantity) if law.never_walked), None)
        walked = self.walk((quantity,))
        if stage is None or not walked or all(tail in self.givens for tail in stage.tails):
            return
        found: dict[Hashable, Expression] = {}
        for law in walked:
            found[law.head] = substitute(law.relation, found)
            if sum(1 for _ in nodes(found[law.head])) > MOST_NODES:
                return
        whole = found[quantity]
        held = [node for node in self.view.netlist.held if voltage(node) in keys(whole)]
        for node in held if len(held) > 1 else ():
            fields = {"source": self.view.netlist.held[node]}
            yield Misuse("source-silent", substitute(whole, {voltage(node): ZERO}), 1, fields)


MOST_CAUSES = 50
"""Causes looked at for one step, likeliest first: with more, the rare ones name values that were not meant."""


def _likeliest(found: Iterable[Misuse]) -> tuple[Misuse, ...]:
    """The likeliest in order, with all that are as likely as the last of them: the order of parts decides nothing."""
    ordered = sorted(found, key=lambda misuse: misuse.rank)
    limit = ordered[MOST_CAUSES - 1].rank if len(ordered) >= MOST_CAUSES else float("inf")
    return tuple(misuse for misuse in ordered if misuse.rank <= limit)


MOST_CARRIED = 0.8
"""The rank up to which a misuse of one stage is looked for behind the next: rarer ones only name what was not meant."""
MOST_NODES = 2000
"""The longest formula in which a source is left out: longer ones nobody writes down."""


def _for_walks_by(method: str, law: Law) -> Law | None:
    """A law as it stands in the walks of a method; None where it may not."""
    if method in law_kinds()[law.key].methods:
        return law
    return replace(law, cost=law.elsewhere[method]) if method in law.elsewhere else None


_KEPT: dict[Structure, LawSet] = {}
"""Laws by structure: a bounded cache. Callers see the same values with it and without."""
_MOST_KEPT = 256
_KEEPING = Lock()
"""Held while the cache changes, since the tutor warms up in a thread of its own."""


def law_set(netlist: Netlist, feedback: dict[str, str], zero: frozenset[str]) -> LawSet:
    """The laws of a circuit; circuits of one structure share them."""
    structure = Structure(netlist.parts, netlist.package, tuple(sorted(feedback.items())), zero, netlist.tag)
    with _KEEPING:
        found = _KEPT.get(structure)
        if found is None:
            while len(_KEPT) >= _MOST_KEPT:
                _KEPT.pop(next(iter(_KEPT)))
            found = _KEPT[structure] = LawSet(View(netlist, feedback, zero))
        return found
