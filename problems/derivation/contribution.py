"""Contributions: laws, steps and values of circuits with one source on, as ordinary quantities of the whole circuit.

In a circuit with one source on everything is found as in any other; here it gets the source's name in brackets.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from typing import TYPE_CHECKING, Any

from problems.circuits.faults import ManySolutions, NoSolution
from problems.circuits.netlist import Netlist
from problems.circuits.off import OneOn, alone, contributions, held_node, opened
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.voltage_source import VoltageSource
from problems.circuits.solution import exact_values
from problems.derivation.law import LAWS, Law, Misuse, renamed
from problems.derivation.laws import superposition, switched_off
from problems.derivation.laws.stage import ratio, stages
from problems.derivation.lawset import LawSet, law_set
from problems.derivation.reductions import true_values
from problems.derivation.step import Step
from problems.derivation.view import potential
from problems.formulas.expression import ZERO, Expression, Name, Negative
from problems.quantities import GROUND, Quantity, canonical, current, drop, voltage
from problems.words import say

if TYPE_CHECKING:
    from problems.derivation.lesson import Lesson

WRONG_WAYS = {"voltage-source": "voltage-source-opened", "current-source": "current-source-shorted"}
"""Kind of source to the key of the misuse that switches it off the wrong way."""
MOST_WRONG_WAYS = 12
"""How many ways to switch one source off wrongly are worked out for one circuit."""


class NotSuperposable(ValueError):
    """A source cannot be on alone: the others, switched off, short it or cut it off. source: its name."""

    def __init__(self, source: str):
        self.source = source
        super().__init__(say("walk.not-superposable", source=source))


class NotSuperposableInTime(NotSuperposable):
    """What runs in time starts from what its parts hold, which no source of the drawing gives. source: empty."""

    def __init__(self) -> None:
        self.source = ""
        ValueError.__init__(self, say("walk.not-superposable-in-time"))


def tagged(expression: Expression, source: str) -> Expression:
    """A formula with every quantity in it as that source's contribution; with ``""``, as the quantity itself."""
    return renamed(expression, lambda quantity: quantity.by(source))


def tagged_law(law: Law, source: str) -> Law:
    """A law of the circuit in which a source is on alone, as one of contributions."""
    return law.renamed(lambda quantity: quantity.by(source))


def tagged_steps(steps: Sequence[Step], source: str, whole: Lesson) -> Iterator[Step]:
    """The steps of such a circuit's lesson, each as one of the whole circuit's."""
    envs: dict[int, dict[Hashable, Any]] = {}
    laws = superposed_laws(whole.laws)
    for step in steps:
        env = envs.setdefault(id(step.env), _tagged_env(step.env, source))
        law = laws.tagged(step.rule, source)
        yield replace(step, target=step.target.by(source), rule=law, env=env, find_wrong_moves=whole.wrong_moves)


def _tagged_env(env: Mapping[Hashable, Any], source: str) -> dict[Hashable, Any]:
    return {key.by(source) if isinstance(key, Quantity) else key: value for key, value in env.items()}


class SuperposedLaws(LawSet):
    """The laws of a circuit and those of each of its sources alone, with the sums that join them."""

    def __init__(self, whole: LawSet):
        super().__init__(whole.view)
        self.whole = whole
        netlist = whole.view.netlist
        self.tags = netlist.contributions
        self.summed = contributions(netlist)
        self.circuits = {tag: alone(netlist, tag) for tag in self.tags}
        self.parts = {
            tag: law_set(circuit, dict(whole.view.feedback), _still_there(whole.view.zero, circuit))
            for tag, circuit in self.circuits.items()
        }
        self._sums: dict[Quantity, Law | None] = {}
        self._tagged: dict[tuple[int, str], tuple[Law, Law]] = {}
        """Law of a circuit with one source on, by identity, with the same as one of contributions."""

    @cached_property
    def laws(self) -> tuple[Law, ...]:
        """Laws of the whole, of each source alone, and the sums."""
        found = [*self.whole.laws]
        for tag in self.tags:
            found += [self.tagged(law, tag) for law in self.parts[tag].laws]
            found += [tagged_law(law, tag) for law in self._wires(tag)]
        wholes = dict.fromkeys(self.view.netlist.names.readings.values())
        found += [law for quantity in wholes if (law := self.sum_for(quantity)) is not None]
        return tuple(found)

    @cached_property
    def given_laws(self) -> tuple[Law, ...]:
        """The laws of what sources state, in the whole and alone."""
        alone_ = [tagged_law(law, tag) for tag in self.tags for law in self.parts[tag].given_laws]
        return (*self.whole.given_laws, *alone_)

    @property
    def defining(self) -> tuple[Law, ...]:
        """Those of the whole circuit; each source alone has its own."""
        return self.whole.defining

    def sum_for(self, quantity: Quantity) -> Law | None:
        """The sum of contributions that gives a quantity; None for what sources set or carry: it has no such parts."""
        if quantity not in self._sums:
            self._sums[quantity] = self._found_sum(quantity)
        return self._sums[quantity]

    def _found_sum(self, quantity: Quantity) -> Law | None:
        netlist = self.view.netlist
        if quantity.source or quantity in self.whole.givens or quantity == voltage(GROUND):
            return None
        if quantity.kind in "DI" and quantity.of in {part.name for part in netlist.parts if part.independent}:
            return None
        cut = [held_node(netlist.part(tag.partition(":")[0])) for tag in self.summed if ":" in tag]
        if quantity.kind in "VB" and {quantity.of, quantity.to} & set(cut):
            return None
        return superposition.law_for(
            quantity, [tag for tag in self.summed if ":" not in tag or self.reaches(quantity, tag)]
        )

    def tagged(self, law: Law, tag: str) -> Law:
        """A law of the circuit with one source on, as one of contributions; made once."""
        known = self._tagged.get((id(law), tag))
        if known is None or known[0] is not law:
            known = self._tagged[id(law), tag] = (law, tagged_law(law, tag))
        return known[1]

    def reaches(self, quantity: Quantity, tag: str) -> bool:
        """Whether a source alone can have a say in a quantity of the whole circuit."""
        return self.circuits[tag].reaches(self.within(quantity, tag))

    def within(self, quantity: Quantity, tag: str) -> Quantity:
        """What a quantity of the whole circuit is in the circuit with one source on."""
        into = self.circuits[tag].into
        if quantity.kind == "V":
            return voltage(into[quantity.of])
        if quantity.kind == "B":
            return Quantity("B", into[quantity.of], into[quantity.to])
        return quantity.by("")

    def _wires(self, tag: str) -> Iterator[Law]:
        for node, at in self.circuits[tag].into.items():
            if node != at:
                yield switched_off.wire(node, at, tag)

    def headed_by(self, quantity: Quantity) -> tuple[Law, ...]:
        """The laws that give a quantity, or a contribution to it."""
        if quantity.kind != "B":
            return super().headed_by(quantity)
        if quantity.source:
            tag = quantity.source
            found = self.parts[tag].headed_by(self.within(quantity, tag)) if tag in self.parts else ()
            return tuple(replace(tagged_law(law, tag), head=quantity) for law in found)
        added = self.sum_for(quantity)
        return (*self.whole.headed_by(quantity), *((added,) if added is not None else ()))

    def walk(self, targets: tuple[Quantity, ...], method: str = LAWS) -> tuple[Law, ...] | None:
        """The laws that lead to each target; contributions to one source each are found in its own circuit."""
        tag = targets[0].source if targets else ""
        if not tag:
            return self.whole.walk(targets, method)
        inner = tuple(self.within(target, tag) for target in targets)
        found = self.parts[tag].walk(inner, method)
        if found is None:
            return None
        joints = [self.joint(target) for target in targets]
        return (*(self.tagged(law, tag) for law in found), *(law for law in joints if law is not None))

    def joint(self, quantity: Quantity) -> Law | None:
        """The wire that makes a node one with another, in the circuit of the source that is on; None where the node is
        in there by its own name."""
        tag = quantity.source
        at = self.within(quantity, tag)
        if quantity.kind != "V" or at.of == quantity.of:
            return None
        return tagged_law(switched_off.wire(quantity.of, at.of, tag), tag)

    def _all_misuses(self, quantity: Quantity, taught: Law | None) -> Iterator[Misuse]:
        tag = quantity.source
        if tag:
            yield from self._misuses_alone(quantity, taught)
        elif taught is not None and taught.key == superposition.KEY:
            yield from superposition.misuses(taught, self.view)
            for tail in taught.tails:
                for misuse in self.misuses(tail):
                    yield misuse.carried(taught.relation, tail)
            yield from self.whole._all_misuses(quantity, None)
        else:
            yield from self.whole._all_misuses(quantity, taught)

    def _misuses_alone(self, quantity: Quantity, taught: Law | None) -> Iterator[Misuse]:
        tag = quantity.source
        if tag not in self.parts:
            return
        own = tagged_law(taught, "") if taught is not None and taught.key != switched_off.KEY else None
        for misuse in self.parts[tag].misuses(self.within(quantity, tag), own):
            yield misuse.renamed(lambda key: key.by(tag))
        yield from self._by_silent_paths(quantity, own or self.parts[tag].own_law(self.within(quantity, tag)))
        yield from self._by_silent_arms(quantity)
        added = self.sum_for(quantity.by(""))
        if added is not None and tag in self.summed:
            sources = [tail.source for tail in added.tails]
            netlist = self.view.netlist
            keys_of = {name: WRONG_WAYS[netlist.part(name).kind] for name in self.circuits[tag].off}
            yield from superposition.misuses_of_contribution(quantity, sources, keys_of)

    def _by_silent_arms(self, quantity: Quantity) -> Iterator[Misuse]:
        """The gain of one source with the resistor of another source's arm."""
        tag = quantity.source
        for stage in stages(self.parts[tag].view):
            if voltage(stage.amp.out) != quantity.by("") or len(stage.live_arms) != 1 or stage.reference != ZERO:
                continue
            (arm,) = stage.live_arms
            for other in stage.arms:
                if other is not arm:
                    relation = Negative(potential(arm.far) * ratio(stage, other))
                    fields = {"part": arm.branch.name, "other_part": other.branch.name}
                    yield Misuse("other-resistor", tagged(relation, tag), 0.8, fields)

    def _by_silent_paths(self, quantity: Quantity, own: Law | None) -> Iterator[Misuse]:
        """What a source gives times the share of another source that reaches an input where this one does nothing."""
        netlist, tag = self.view.netlist, quantity.source
        if own is None or own.relation == ZERO or quantity.of not in self.view.outputs:
            return
        for amp in netlist.opamps:
            for other in self.summed:
                source = netlist.part(other.partition(":")[0])
                at = voltage(amp.plus)
                if other == tag or amp.plus == GROUND or held_node(source) in (None, amp.plus) or self.reaches(at, tag):
                    continue
                if self.reaches(at, other):
                    share = Name(at.by(other)) / Name(source.parameters[0].symbol)
                    fields = {"part": canonical(quantity), "on": tag}
                    yield Misuse("factor-of-silent-path", tagged(own.relation, tag) * share, 0.8, fields)


def superposed_laws(laws: LawSet) -> SuperposedLaws:
    """The laws of a structure with those of its sources alone: made once, kept with the structure."""
    if isinstance(laws, SuperposedLaws):
        return laws
    if laws.superposed is None:
        laws.superposed = SuperposedLaws(laws)
    found = laws.superposed
    assert isinstance(found, SuperposedLaws)
    return found


def _still_there(zero: frozenset[str], circuit: OneOn) -> frozenset[str]:
    """The branches of no resistance, of a circuit that may have lost some of them."""
    return zero & frozenset(circuit.branch_names)


@dataclass(frozen=True)
class Contributions:
    """What a lesson knows of its sources one by one. lessons: tag to the lesson of the circuit with that source on."""

    netlist: Netlist
    laws: SuperposedLaws
    lessons: Mapping[str, Lesson]

    @cached_property
    def values(self) -> Mapping[Any, Any]:
        """Every contribution, and what wrong ways to switch a source off give. Raises NotSuperposable."""
        if not all(lesson.is_numeric for lesson in self.lessons.values()):
            return self.true_values
        return {**self.true_values, **_wrong_ways(self.netlist)}

    def check(self) -> None:
        """Raises NotSuperposable where a source cannot be on alone."""
        for tag, lesson in self.lessons.items():
            try:
                _ = lesson.values
            except NoSolution:
                raise NotSuperposable(tag) from None

    @cached_property
    def true_values(self) -> Mapping[Any, Any]:
        """Every contribution. Raises NotSuperposable where a source cannot be on alone."""
        found: dict[Quantity, Any] = {}
        self.check()
        for tag, lesson in self.lessons.items():
            found |= placed(lesson.values, self.netlist, self.laws.circuits[tag])
        return found


def contribution_values(netlist: Netlist, laws: LawSet) -> dict[Quantity, Fraction]:
    """Every contribution of every source of a circuit whose values are all known. Raises NoSolution.

    laws: those of the whole circuit.
    """
    parts = superposed_laws(laws).parts
    found: dict[Quantity, Fraction] = {}
    for tag in netlist.contributions:
        circuit = alone(netlist, tag)
        found |= placed(true_values(circuit, parts[tag].defining), netlist, circuit)
    return found


def placed(own: Mapping[Any, Any], whole: Netlist, circuit: OneOn, tag: str = "") -> dict[Quantity, Any]:
    """The values of a circuit with one source on, by the names of the whole circuit."""
    tag = tag or circuit.tag
    found = {key.by(tag): value for key, value in own.items() if isinstance(key, Quantity)}
    for node, at in circuit.into.items():
        if voltage(at) in own:
            found[voltage(node).by(tag)] = own[voltage(at)]
    for name in circuit.off:
        part = whole.part(name)
        first, second = (found.get(voltage(node).by(tag)) for node in part.nodes)
        if first is not None and second is not None:
            found[drop(name).by(tag)] = first - second
        if isinstance(part, CurrentSource):
            found[current(name).by(tag)] = Fraction(0)
    return found | _in_the_wires(found, whole, circuit, tag)


def _in_the_wires(found: Mapping[Quantity, Any], whole: Netlist, circuit: OneOn, tag: str) -> dict[Quantity, Any]:
    """What the wires carry that stand for sources: what KCL leaves for them, node by node."""
    open_ = {name for name in circuit.off if isinstance(whole.part(name), VoltageSource)}
    carried: dict[Quantity, Any] = {}
    fresh = True
    while fresh and open_ and not circuit.fed:
        fresh = False
        for node in whole.nodes[1:]:
            meeting = [branch for branch in whole.branches if node in (branch.start, branch.end)]
            meeting = [branch for branch in meeting if branch.start != branch.end]
            unknown = [branch for branch in meeting if branch.name in open_]
            if len(unknown) != 1:
                continue
            with suppress(KeyError):
                known = {**found, **carried}
                signs = [(1 if branch.start == node else -1, branch) for branch in meeting if branch not in unknown]
                total = sum((sign * known[current(b.name).by(tag)] for sign, b in signs), Fraction(0))
                carried[current(unknown[0].name).by(tag)] = -total if unknown[0].start == node else total
                open_.discard(unknown[0].name)
                fresh = True
    return carried


def _wrong_ways(netlist: Netlist) -> dict[Quantity, Fraction]:
    """What each source gives with another switched off the wrong way; left out where that circuit has no answer."""
    pairs = [(tag, name) for tag in netlist.contributions for name in alone(netlist, tag).off]
    found: dict[Quantity, Fraction] = {}
    for tag, name in pairs[:MOST_WRONG_WAYS]:
        with suppress(NoSolution, ManySolutions, KeyError):
            circuit = opened(netlist, tag, name)
            found |= placed(exact_values(circuit), netlist, circuit, f"{tag}*{name}")
    return found
