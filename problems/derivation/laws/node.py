"""The node equation: KCL at a node written in node voltages, currents that leave counted +, solved for one voltage.

None is written at ground, at a node held by a source, or at an op-amp output: what the source or the output carries is
whatever the rest asks for. Nodes joined by a source, or by 0 Ω, are taken as one, for the same reason.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.voltage_source import VoltageSource
from problems.derivation.law import LAWS, NODES, Law, Misuse, Place
from problems.derivation.view import View, minus, plus, potential, signed_sum
from problems.formulas.expression import (
    ONE,
    ZERO,
    Expression,
    Name,
    Negative,
    Number,
    Parallel,
    Product,
    Quotient,
    total,
)
from problems.quantities import GROUND, voltage
from problems.words import listed

KEY = "node"
METHODS = (NODES,)
CALLED = ("kcl",)
ALL_KNOWN = 5.5
"""How much dearer it is among the other laws, where it gives the voltage of a node all of whose neighbours are known:
dearer than a divider or a Thevenin step, and still better than to call that voltage unknown."""


@dataclass(frozen=True)
class Term:
    """The current that leaves through one impedance: from ``near``, over ``over``, to ``far``."""

    near: str
    far: str
    over: Expression
    part: str

    @property
    def current(self) -> Expression:
        return divided(minus(potential(self.near), potential(self.far)), self.over)

    def turned(self) -> Term:
        """The same with its sign lost: the far end less the near one."""
        return replace(self, near=self.far, far=self.near)

    def other(self, node: str) -> str:
        """The end that is not ``node``."""
        return self.far if self.near == node else self.near

    def slope(self, node: str) -> int:
        """+1 where the current rises with the voltage of ``node``, -1 where it falls, 0 where neither."""
        return (self.near == node) - (self.far == node)


@dataclass(frozen=True)
class Equation:
    """What leaves a node, or several taken as one: through impedances, and through current sources with their sign."""

    nodes: tuple[str, ...]
    terms: tuple[Term, ...]
    sources: tuple[tuple[int, str], ...] = ()

    @property
    def written(self) -> Expression:
        """What must come to 0."""
        driven = [Name(name) if sign > 0 else Negative(Name(name)) for sign, name in self.sources]
        return total((*(term.current for term in self.terms), *driven))

    @property
    def neighbours(self) -> tuple[str, ...]:
        """Every node whose voltage stands in it."""
        ends = (node for term in self.terms for node in (term.near, term.far))
        return tuple(dict.fromkeys(node for node in ends if node != GROUND))

    def solved_for(self, node: str) -> Expression | None:
        """The voltage of a node from all else in the equation; None where it does not stand in it."""
        own = [term for term in self.terms if term.slope(node)]
        rest = [term for term in self.terms if not term.slope(node)]
        if not own:
            return None
        ends = {term.other(node) for term in own}
        if len(own) == 1 or (len(ends) == 1 and own[0].slope(node) < 0 and len({t.slope(node) for t in own}) == 1):
            return self._one_path(own, rest, node)
        return self._weighed(own, rest, node)

    def _one_path(self, own: list[Term], rest: list[Term], node: str) -> Expression:
        """``V_out = V_2 + Rf·(V_2 − Vin)/Ri``: the far end, and what all else drives through the one way there."""
        sign, start = own[0].slope(node), potential(own[0].other(node))
        over = own[0].over if len(own) == 1 else Parallel(tuple(term.over for term in own))
        if len(rest) == 1 and not self.sources and GROUND in (rest[0].near, rest[0].far):
            grounded = rest[0] if rest[0].far == GROUND else rest[0].turned()
            sign = sign if grounded is rest[0] else -sign
            fall = _driven(over, [grounded], ())
        else:
            fall = _driven(over, rest, self.sources)
        if fall == ZERO:
            return start
        return minus(start, fall) if sign > 0 else plus(start, fall)

    def _weighed(self, own: list[Term], rest: list[Term], node: str) -> Expression:
        """``V_a = (V1/R1 + V2/R2)/(1/R1 + 1/R2 + 1/R3)``: each neighbour weighed by its conductance."""
        ends = [(term.slope(node), term.other(node), term.over) for term in own]
        above = [(sign, divided(potential(end), over)) for sign, end, over in ends if end != GROUND]
        above += [(-term_sign, part) for term in rest for term_sign, part in _pieces(term)]
        above += [(-sign, Name(name)) for sign, name in self.sources]
        if len(own) == 2 and not rest and not self.sources and own[0].slope(node) == own[1].slope(node):
            return _between(own[0].other(node), own[0].over, own[1].other(node), own[1].over)
        below = signed_sum([(sign, conductance(over)) for sign, _, over in ends])
        if not above:
            return ZERO
        one = above[0][1]
        if len(above) == 1 and above[0][0] > 0 and isinstance(one, Quotient):
            return one.top / (one.bottom * below)  # no fraction over a fraction
        return signed_sum(above) / below


def _between(first: str, over: Expression, second: str, other: Expression) -> Expression:
    """``(V1·R2 + V2·R1)/(R1 + R2)``; ``k·V1 + (1 − k)·V2`` at the wiper of a potentiometer."""
    if isinstance(over, Product) and isinstance(other, Product) and over.factors[-1] == other.factors[-1]:
        shares = ((first, other.factors[:-1]), (second, over.factors[:-1]))
        return total(tuple(Product((*share, potential(end))) for end, share in shares if end != GROUND))
    crossed = [potential(end) * by for end, by in ((first, other), (second, over)) if end != GROUND]
    return total(tuple(crossed)) / (over + other) if crossed else ZERO


def _pieces(term: Term) -> list[tuple[int, Expression]]:
    """A term that the voltage sought does not stand in, with a sign of its own where its near end is ground."""
    if term.near == GROUND:
        return [(-1, divided(potential(term.far), term.over))] if term.far != GROUND else []
    return [(1, term.current)]


def _driven(over: Expression, rest: list[Term], sources: tuple[tuple[int, str], ...]) -> Expression:
    """What the currents of all other ways out drive across ``over``."""
    if not rest and not sources:
        return ZERO
    if len(rest) == 1 and not sources:
        across = minus(potential(rest[0].near), potential(rest[0].far))
        return ZERO if across == ZERO else divided(_times(over, across), rest[0].over)
    currents = [piece for term in rest for piece in _pieces(term)]
    return _times(over, signed_sum([*currents, *((sign, Name(name)) for sign, name in sources)]))


def divided(value: Expression, over: Expression) -> Expression:
    """A voltage over an impedance; times s·C for a capacitor."""
    if value == ZERO:
        return ZERO
    if isinstance(over, Quotient) and over.top == ONE:
        return over.bottom * value
    return Negative(value.operand / over) if isinstance(value, Negative) else value / over


def conductance(over: Expression) -> Expression:
    """``1/R``; ``s·C`` for a capacitor."""
    return over.bottom if isinstance(over, Quotient) and over.top == ONE else ONE / over


def _times(over: Expression, value: Expression) -> Expression:
    if isinstance(over, Quotient) and over.top == ONE:
        return value / over.bottom
    return Negative(over * value.operand) if isinstance(value, Negative) else over * value


def equations(view: View) -> Iterator[Equation]:
    """Every node equation of a circuit, in the order of its nodes."""
    for group in _groups(view):
        if GROUND in group or any(node in view.outputs for node in group):
            continue
        ends = [(node, end) for node in group for end in view.meeting[node] if end.far not in group]
        terms = [
            Term(node, end.far, end.branch.impedance, end.branch.name)
            for node, end in ends
            if end.branch.impedance is not None
        ]
        symbols = view.netlist.driven
        driven = [(end.sign, symbols[end.branch.name]) for _, end in ends if end.branch.name in symbols]
        terms.sort(key=lambda term: term.far in view.outputs)  # the way back from an output is written last
        if terms and len(terms) + len(driven) == len(ends):
            yield Equation(group, tuple(terms), tuple(driven))


def _groups(view: View) -> list[tuple[str, ...]]:
    """The nodes, those joined by a voltage source or by 0 Ω taken together."""
    chief = {node: node for node in view.netlist.nodes}
    for first, second in _joined(view):
        old, new = chief[second], chief[first]
        chief = {node: new if head == old else head for node, head in chief.items()}
    found: dict[str, list[str]] = {}
    for node, head in chief.items():
        found.setdefault(head, []).append(node)
    return [tuple(nodes) for nodes in found.values()]


def _joined(view: View) -> Iterator[tuple[str, str]]:
    sources = {part.name for part in view.netlist.parts if isinstance(part, VoltageSource)}
    for branch in view.branches:
        if branch.start and branch.end and (branch.name in sources or branch.name in view.zero):
            yield branch.start, branch.end


def instances(view: View) -> Iterator[Law]:
    for equation in equations(view):
        place = _place(equation, view)
        fields = _fields(equation, view)
        for node in equation.neighbours:
            relation = None if node in view.netlist.held else equation.solved_for(node)
            if relation is not None:
                own = {**fields, "voltage": view.write(voltage(node))}
                cost = 2 + 0.5 * len(equation.terms)
                elsewhere = {LAWS: cost + ALL_KNOWN} if equation.nodes == (node,) else {}
                yield Law(
                    KEY,
                    voltage(node),
                    relation,
                    cost,
                    place,
                    fields=own,
                    equation=equation.written,
                    elsewhere=elsewhere,
                )


def _place(equation: Equation, view: View) -> Place:
    parts = dict.fromkeys(
        [term.part.partition(".")[0] for term in equation.terms]
        + [part.name for part in view.netlist.parts if isinstance(part, CurrentSource) and _touches(part, equation)]
    )
    pins = tuple(pin for node in equation.nodes for pin in view.inputs.get(node, ()))
    return Place(tuple(parts), pins, equation.nodes)


def _touches(part: CurrentSource, equation: Equation) -> bool:
    return len(set(part.nodes) & set(equation.nodes)) == 1


def _fields(equation: Equation, view: View) -> dict[str, str]:
    labels = [view.node_label(node) for node in equation.nodes]
    parts = [term.part for term in equation.terms] + [name for _, name in equation.sources]
    fields = {"node": listed(labels), "parts": listed(parts), "id": equation.nodes[0]}
    if len(labels) > 1:
        return fields | {"variant": "joined"}
    return fields | ({"variant": "input"} if equation.nodes[0] in view.inputs else {})


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    equation = next(found for found in equations(view) if found.nodes[0] == law.fields["id"])
    node = law.head.of
    for index, term in enumerate(equation.terms):
        yield from _of_term(equation, index, term, node)
    for sign, name in equation.sources:
        others = tuple(source for source in equation.sources if source[1] != name)
        fields = {"part": name}
        yield from _solved(replace(equation, sources=others), node, "branch-left-out", 0.6, fields)
        yield from _solved(replace(equation, sources=(*others, (-sign, name))), node, "branch-sign", 0.8, fields)
    if any(near in view.inputs and near != node for near in equation.nodes):
        grounded = tuple(replace(term, near=GROUND) if term.near in view.inputs else term for term in equation.terms)
        yield from _solved(replace(equation, terms=grounded), node, "virtual-ground-assumed", 0.5, {})
    if node in equation.nodes and len(equation.terms) > 1:
        yield from _averaged(equation, node)


def _of_term(equation: Equation, index: int, term: Term, node: str) -> Iterator[Misuse]:
    """One term left out, with its ends turned round, or with its far end taken as 0 V."""
    fields = {"part": term.part}
    before, after = equation.terms[:index], equation.terms[index + 1 :]
    yield from _solved(replace(equation, terms=(*before, *after)), node, "branch-left-out", 0.6, fields)
    yield from _solved(replace(equation, terms=(*before, term.turned(), *after)), node, "term-sign", 0.7, fields)
    if term.far not in (GROUND, node):
        grounded = replace(term, far=GROUND)
        yield from _solved(replace(equation, terms=(*before, grounded, *after)), node, "far-end-grounded", 0.8, fields)


def _solved(equation: Equation, node: str, key: str, rank: float, fields: dict[str, str]) -> Iterator[Misuse]:
    relation = equation.solved_for(node)
    if relation is not None:
        yield Misuse(key, relation, rank, fields)


def _averaged(equation: Equation, node: str) -> Iterator[Misuse]:
    """Neighbours weighed by resistances, or not weighed at all."""
    own = [term for term in equation.terms if term.slope(node) > 0]
    fields = {"node": node}
    weighed = [term.over * potential(term.far) for term in own if term.far != GROUND]
    if weighed and len(own) == len(equation.terms):
        yield Misuse("resistances-as-weights", total(tuple(weighed)) / total(tuple(t.over for t in own)), 0.9, fields)
        plain = total(tuple(potential(term.far) for term in own if term.far != GROUND))
        yield Misuse("neighbours-averaged", plain / Number(Fraction(len(own))), 1.0, fields)
