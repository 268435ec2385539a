"""Kirchhoff's current law at a node where three or more branches carry current."""

from __future__ import annotations

from collections.abc import Iterator

from problems.derivation.condition import Question, Ruling, Spot, part_labels
from problems.derivation.law import LAWS, NODES, Law, Misuse, Place
from problems.derivation.view import End, View, minus, potential, signed_sum
from problems.formulas.expression import ZERO, Call, Expression, Name, Negative, Sum, total
from problems.quantities import GROUND, current

KEY = "kcl"
METHODS = (LAWS, NODES)
OF_BRANCHES = True
CALLED = ("kcl",)


def instances(view: View) -> Iterator[Law]:
    for node, ends in view.fresh.junctions.items():
        if len(ends) < 3:
            continue
        place = Place(tuple(end.branch.part for end in ends if end.branch.start), view.inputs.get(node, ()), (node,))
        for end in ends:
            others = tuple(other for other in ends if other is not end)
            cost = 2 + 0.5 * len(others)
            fields = {"node": view.node_label(node), "branch": end.branch.name, "id": node}
            yield Law(KEY, current(end.branch.name), balance(end, others), cost, place, fields=fields)


def balance(end: End, others: tuple[End, ...]) -> Expression:
    """The current of ``end`` from those of all ``others`` at its node."""
    return signed_sum([(-end.sign * other.sign, Name(current(other.branch.name))) for other in others])


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    terms = law.relation.terms if isinstance(law.relation, Sum) else (law.relation,)
    for index, term in enumerate(terms):
        branch = current_name(term)
        left = terms[:index] + terms[index + 1 :]
        flipped = (*terms[:index], negated(term), *terms[index + 1 :])
        yield Misuse("branch-left-out", Sum(left) if len(left) > 1 else left[0], 0.6, {"part": branch})
        yield Misuse("branch-sign", Sum(flipped), 1, {"part": branch})
        yield Misuse("branch-size-only", Sum((*terms[:index], _size(term), *terms[index + 1 :])), 1, {"part": branch})
        if len(terms) > 2:
            yield Misuse("one-branch-only", term, 0.8, {"part": branch})
        yield from _grounded_term(terms, index, branch, view)
        yield from _in_line(terms, index, branch, view)
    yield Misuse("arrow-reversed", negated_all(law.relation), 0.3)
    key = "output-carries-none" if law.head.of in {amp.name for amp in view.netlist.opamps} else "no-current-assumed"
    yield Misuse(key, ZERO, 0.9, {"part": law.head.of})
    yield from input_side(law, view)


def input_side(law: Law, view: View) -> Iterator[Misuse]:
    """The current of a part at an op-amp's + input given for that of its output pin."""
    for amp in view.netlist.opamps:
        if amp.name == law.head.of and amp.plus != GROUND:
            for end in view.impedances_at(amp.plus):
                through = Name(current(end.branch.name))
                for relation in (through, Negative(through)):
                    yield Misuse("input-side-current", relation, 1.2, {"part": end.branch.name})


def _grounded_term(terms: tuple[Expression, ...], index: int, branch: str, view: View) -> Iterator[Misuse]:
    """One branch current found with its far end taken as 0 V."""
    found = next((b for b in view.branches if b.name == branch), None)
    if found is None or found.impedance is None or found.name in view.zero:
        return
    for near, sign in ((found.start, 1), (found.end, -1)):
        if near and near != GROUND and GROUND not in (found.start, found.end):
            through: Expression = potential(near) / found.impedance
            through = through if sign > 0 else Negative(through)
            term = negated(through) if isinstance(terms[index], Negative) else through
            others = (*terms[:index], term, *terms[index + 1 :])
            yield Misuse("far-end-grounded", Sum(others), 1.3, {"part": branch})


def _in_line(terms: tuple[Expression, ...], index: int, branch: str, view: View) -> Iterator[Misuse]:
    """Two branches side by side counted as one line of both."""
    by_name = {b.name: b for b in view.branches}
    first = by_name.get(branch)
    for place, term in enumerate(terms[index + 1 :], start=index + 1):
        second = by_name.get(current_name(term))
        if first is None or second is None or first.impedance is None or second.impedance is None:
            continue
        if {first.start, first.end} == {second.start, second.end} and not view.sums_to_zero((first, second)):
            through = minus(potential(first.start or GROUND), potential(first.end or GROUND)) / view.series(
                (first, second)
            )
            line = negated(through) if isinstance(terms[index], Negative) else through
            rest = tuple(t for spot, t in enumerate(terms) if spot not in (index, place))
            yield Misuse("parallel-as-series", total((line, *rest)), 0.8, {"parts": f"{first.name} and {second.name}"})


def current_name(term: Expression) -> str:
    """The branch whose current a term of a node sum is."""
    inner = term.operand if isinstance(term, Negative) else term
    return inner.key.of if isinstance(inner, Name) and not isinstance(inner.key, str) else ""  # type: ignore[attr-defined]


def negated(term: Expression) -> Expression:
    """The term with its sign turned."""
    return term.operand if isinstance(term, Negative) else Negative(term)


def negated_all(relation: Expression) -> Expression:
    """A sum with every sign turned."""
    return Sum(tuple(negated(term) for term in relation.terms)) if isinstance(relation, Sum) else negated(relation)


def _size(term: Expression) -> Expression:
    inner = term.operand if isinstance(term, Negative) else term
    size = Call("abs", inner)
    return Negative(size) if isinstance(term, Negative) else size


def always(view: View, spot: Spot) -> Ruling:
    """Everywhere; but what a source or an output pin brings must be counted."""
    node = spot.nodes[0]
    ends = view.meeting.get(node, ())
    fields = {"node": view.node_label(node), "parts": part_labels(ends)}
    if node in view.outputs:
        return Ruling(True, "kcl-output", {**fields, "current": f"I_{view.outputs[node].name}"})
    sources = tuple(end for end in ends if end.branch.impedance is None)
    if node == GROUND:
        return Ruling(True, "kcl-ground", fields)
    if sources:
        return Ruling(True, "kcl-source", {**fields, "sources": part_labels(sources)})
    return Ruling(True, "kcl-input" if node in view.inputs else "kcl", fields)


QUESTIONS = (Question(("kcl", "current law", "kirchhoff's current law", "node sum"), "node", "if-kcl", always),)
