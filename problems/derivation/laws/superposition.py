"""Superposition: what each source contributes alone, added with its sign. No law of a plain walk: its tails are found
in circuits of their own, one for each source."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from problems.derivation.condition import Question, Ruling, Spot, joined
from problems.derivation.law import Law, Misuse
from problems.derivation.view import View, signed_sum
from problems.formulas.expression import ZERO, Call, Expression, Name, Negative, Number, total
from problems.quantities import Quantity, canonical
from problems.words import listed

KEY = "superposition"
_COST = 1.0


def instances(view: View) -> Iterator[Law]:
    return iter(())


def law_for(quantity: Quantity, sources: Sequence[str]) -> Law:
    """The sum for one quantity over the sources that can have a say in it."""
    terms = tuple(Name(quantity.by(source)) for source in sources)
    alone = [canonical(quantity.by(source)) for source in sources]
    fields = {
        "name": canonical(quantity),
        "parts": listed(alone) if alone else "none",
        "variant": {0: "none", 1: "one"}.get(len(alone), ""),
    }
    return Law(KEY, quantity, total(terms), _COST * len(terms), fields=fields, never_walked=True)


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    terms: list[Expression] = [Name(tail) for tail in law.tails]
    if len(terms) < 2:
        return
    for place, term in enumerate(terms):
        others = [(1, other) for other in terms if other is not term]
        fields = {"part": canonical(law.tails[place]), "source": law.tails[place].source}
        yield Misuse("contribution-left-out", signed_sum(others), 0.5, fields)
        yield Misuse("contribution-sign", signed_sum([(-1, term), *others]), 0.6, fields)
        yield Misuse("contribution-size-only", signed_sum([(1, Call("abs", term)), *others]), 0.4, fields)
    count = Number(type(ZERO.value)(len(terms)), str(len(terms)))
    whole: Expression = total(tuple(terms))
    yield Misuse("contributions-averaged", whole / count, 0.7, {"count": str(len(terms))})
    sizes = signed_sum([(1, Call("abs", term)) for term in terms])
    yield Misuse("contribution-size-only", sizes, 0.6, {"part": fields["part"], "source": "every source"})
    yield Misuse("minus-sign-lost", Negative(whole), 1.4)


def misuses_of_contribution(quantity: Quantity, sources: Sequence[str], wrongly: Mapping[str, str]) -> Iterator[Misuse]:
    """The ways to find a contribution with the wrong sources off.

    sources: of all contributions to the quantity. wrongly: the sources that are off, each of which may be switched off
    the wrong way, to the key of that; what it gives has the name ``V_out[V1*V2]``.
    """
    silent = [source for source in sources if source != quantity.source]
    for source in silent:
        # the whole less what the other silent sources add is this one and the one left on
        rest = [(-1, Name(quantity.by(other))) for other in silent if other != source]
        relation = signed_sum([(1, Name(quantity.by(""))), *rest])
        yield Misuse("source-left-on", relation, 0.5, {"source": source, "on": quantity.source})
    if len(silent) > 1:
        yield Misuse("source-left-on", Name(quantity.by("")), 0.55, {"source": silent[0], "on": quantity.source})
    for source in silent:
        fields = {"source": source, "on": quantity.source}
        yield Misuse("contribution-of-other-source", Name(quantity.by(source)), 0.9, fields)
    for source, key in wrongly.items():
        relation = Name(quantity.by(f"{quantity.source}*{source}"))
        yield Misuse(key, relation, 0.5, {"source": source, "on": quantity.source})


def linear(view: View, spot: Spot) -> Ruling:
    """Only where every part is linear: an op-amp is while its feedback is negative."""
    bent = [amp.name for amp in view.netlist.opamps if view.feedback.get(amp.name) != "negative"]
    if bent:
        return Ruling(False, "superposition-bent", {"parts": joined(bent)})
    sources = [part.name for part in view.netlist.parts if part.independent]
    return Ruling(True, "superposition" if len(sources) > 1 else "superposition-one", {"sources": joined(sources)})


QUESTIONS = (Question(("superposition",), "", "superposition", linear),)
