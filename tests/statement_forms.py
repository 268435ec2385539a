"""True statements about a circuit in every written form: one maker for each, from the parts and nodes alone."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, replace

from statement_beds import Bed, Element
from terms import UNIT, ZERO, Hand, Term, World, figure, name


@dataclass(frozen=True)
class Statement:
    """sides: what is said to be equal; one side alone is a value for ``asked``. tail: a direction behind it."""

    form: str
    sides: tuple[Term, ...]
    asked: str = ""
    tail: str = ""
    sign: int = 1

    def written(self, hand: Hand, world: World) -> str:
        return " = ".join(hand.write(side, world) for side in self.sides) + (f" {self.tail}" if self.tail else "")


Maker = Callable[[Bed, random.Random], Statement | None]


def volt(node: str) -> Term:
    """The voltage of a node; nothing is written for ground."""
    return ZERO if node == "0" else name(f"V_{node}")


def less(first: Term, second: Term) -> Term:
    """A difference without the zeros of ground."""
    if second == ZERO:
        return first
    return -second if first == ZERO else first - second


def across(element: Element) -> Term:
    return less(volt(element.first), volt(element.second))


def amps(element: Element) -> Term:
    return name(element.current)


def total(terms: list[Term]) -> Term:
    found = terms[0]
    for term in terms[1:]:
        found = found + term
    return found


def node_sum(bed: Bed, dice: random.Random) -> tuple[list[Term], str] | None:
    """Signed currents that add up to 0 at a node, and the node."""
    nodes = [node for node, ends in bed.meeting.items() if node != "0" and len(ends) > 1]
    if not nodes:
        return None
    node = dice.choice(nodes)
    terms = [name(label) if sign > 0 else -name(label) for label, sign in bed.meeting[node]]
    dice.shuffle(terms)
    return terms, node


def any_quantity(bed: Bed, dice: random.Random) -> Term:
    names = [f"V_{node}" for node in bed.nodes] + [element.current for element in bed.elements]
    names += [f"I_{amp.name}" for amp in bed.netlist.opamps]
    return name(dice.choice(names))


def typed(term: Term) -> Term:
    """The value of a quantity, typed."""
    return figure(term, UNIT[term.name[0]])


def a_value(bed: Bed, dice: random.Random) -> Statement:
    quantity = any_quantity(bed, dice)
    return Statement("value", (quantity, typed(quantity)))


def swapped(bed: Bed, dice: random.Random) -> Statement | None:
    if dice.random() < 0.5:
        quantity = any_quantity(bed, dice)
        return Statement("swapped", (typed(quantity), quantity))
    found = in_names(bed, dice)
    return None if found is None else Statement("swapped", found.sides[::-1])


def bare(bed: Bed, dice: random.Random) -> Statement:
    element = dice.choice(bed.elements)
    first, second = (figure(volt(node), "V") if node != "0" else ZERO for node in (element.first, element.second))
    if dice.random() < 0.6 or element.second == "0":
        return Statement("bare", (less(first, second) / figure(element.ohms, "ohm"),), element.current)
    fall = figure(amps(element), "A") * figure(element.ohms, "ohm")
    return Statement("bare", (less(first, fall),), f"V_{element.second}")


def in_names(bed: Bed, dice: random.Random) -> Statement | None:
    element = dice.choice(bed.elements)
    way = dice.choice(("ohm", "hop", "kcl"))
    if way == "kcl":
        found = node_sum(bed, dice)
        if found is None:
            return None
        (head, *others), _ = found
        rest = total([-term for term in others])
        return Statement("names", (head, rest) if head.op == "name" else (-head, total(others)))
    if way == "ohm" or element.second == "0":
        return Statement("names", (amps(element), across(element) / element.ohms))
    return Statement("names", (volt(element.second), less(volt(element.first), amps(element) * element.ohms)))


def ohm(bed: Bed, dice: random.Random) -> Statement:
    element = dice.choice(bed.elements)
    sides = (across(element) / element.ohms - amps(element), ZERO)
    if dice.random() < 0.5:
        sides = (across(element), amps(element) * element.ohms)
    return Statement("ohm", sides if dice.random() < 0.5 else sides[::-1])


def kcl(bed: Bed, dice: random.Random) -> Statement | None:
    found = node_sum(bed, dice)
    if found is None:
        return None
    terms, _ = found
    cut = dice.randint(1, len(terms))
    right = [-term for term in terms[cut:]]
    sides = (total(terms[:cut]), total(right) if right else ZERO)
    if 1 in (cut, len(right)):
        sides = (total(terms), ZERO)
    return Statement("kcl", sides)


def hop(bed: Bed, dice: random.Random) -> Statement:
    """Two hops in line where there are two, else one, as a path with the drops moved about."""
    element = dice.choice(bed.elements)
    nexts = [other for other in bed.elements if other.first == element.second != "0" and other != element]
    path = [element, *([dice.choice(nexts)] if nexts and dice.random() < 0.6 else [])]
    drops = [amps(each) * each.ohms for each in path]
    if dice.random() < 0.5:
        return Statement(
            "hop",
            (
                total([less(volt(path[0].first), drops[0]), *(-drop for drop in drops[1:])])
                - volt_or_nought(path[-1].second),
                ZERO,
            ),
        )
    return Statement("hop", (less(volt(path[0].first), volt(path[-1].second)), total(drops)))


def volt_or_nought(node: str) -> Term:
    return volt(node) if node != "0" else figure(name("V_0"), "V")


def divider(bed: Bed, dice: random.Random) -> Statement | None:
    """At a node where two resistances and nothing else that carries current meet."""
    by_current = {element.current: element for element in bed.elements}
    taps = [
        node
        for node, ends in bed.meeting.items()
        if node != "0" and len(ends) == 2 and all(label in by_current for label, _ in ends)
    ]
    if not taps:
        return None
    node = dice.choice(taps)
    near, far = (by_current[label] for label, _ in bed.meeting[node])
    tops = [each.second if each.first == node else each.first for each in (near, far)]
    if tops[0] == tops[1]:
        return None
    whole = near.ohms + far.ohms
    if dice.random() < 0.5:
        share = less(volt(tops[0]), volt(tops[1])) * far.ohms / whole
        right = share if tops[1] == "0" else volt(tops[1]) + share
        return Statement("divider", (volt(node), right))
    pulls = [volt(top) * each.ohms for top, each in ((tops[0], far), (tops[1], near)) if top != "0"]
    return Statement("divider", (volt(node) * whole, total(pulls)))


def chained(bed: Bed, dice: random.Random) -> Statement | None:
    element = dice.choice(bed.elements)
    current, by_ohm = amps(element), across(element) / element.ohms
    way = dice.random()
    if way < 0.4:
        return Statement("chained", (current, by_ohm, typed(current)))
    if way < 0.6:
        return Statement("chained", (by_ohm, current, typed(current)))
    ends = [
        (node, sign)
        for node in (element.first, element.second)
        if node != "0"
        for label, sign in bed.meeting[node]
        if label == element.current
    ]
    if not ends:
        return None
    node, sign = dice.choice(ends)
    others = [
        name(label) if own != sign else -name(label) for label, own in bed.meeting[node] if label != element.current
    ]
    if not others:
        return None
    sides = [by_ohm, current, total(others)]
    return Statement("chained", tuple(sides if dice.random() < 0.5 else [by_ohm, total(others), current]))


def multiplied(bed: Bed, dice: random.Random) -> Statement:
    element, other = dice.choice(bed.elements), dice.choice(bed.elements)
    ends = [
        term for term in (volt(element.first), -volt(element.second) if element.second != "0" else ZERO) if term != ZERO
    ]
    ends = [-(term.parts[0] * other.ohms) if term.op == "neg" else term * other.ohms for term in ends]
    return Statement("multiplied", (total(ends), amps(element) * element.ohms * other.ohms))


def parallel(bed: Bed, dice: random.Random) -> Statement:
    element, other = dice.choice(bed.elements), dice.choice(bed.elements)
    twins = [
        each
        for each in bed.elements
        if each != element and {each.first, each.second} == {element.first, element.second}
    ]
    if twins and dice.random() < 0.7:
        twin = dice.choice(twins)
        both = amps(element) + amps(twin) if twin.first == element.first else amps(element) - amps(twin)
        return Statement("parallel", (both, across(element) / element.ohms.beside(twin.ohms)))
    beside = element.ohms.beside(other.ohms)
    if dice.random() < 0.5:
        return Statement("parallel", (amps(element), across(element) * beside / (element.ohms * beside)))
    return Statement("parallel", (amps(element) * beside, across(element) * other.ohms / (element.ohms + other.ohms)))


def both_units(bed: Bed, dice: random.Random) -> Statement:
    one, two = (name(f"V_{dice.choice(bed.nodes)}") for _ in range(2))
    away = Term("figure", (one,), "V", 0.0, dice.choice((0.3, 0.5, 1.0)))
    way = dice.random()
    if way < 0.35:
        return Statement("units", (one + away, figure(one + away, "V")))
    if way < 0.7:
        return Statement("units", (one - figure(two, "V"), figure(one - two, "V")))
    element = dice.choice(bed.elements)
    return Statement("units", (amps(element) * figure(element.ohms, "ohm"), figure(across(element), "V")))


def pair(bed: Bed, dice: random.Random) -> Statement | None:
    whole = [element for element in bed.elements if element.whole]
    if dice.random() < 0.5 and whole:
        element = dice.choice(whole)
        drop = name(f"V_{element.whole}")
        right = dice.choice((across(element), amps(element) * element.ohms, figure(drop, "V")))
        return Statement("pair", (drop, right))
    first, second = dice.choice(bed.nodes), dice.choice(("0", *bed.nodes))
    if second in (first, "0"):
        return None
    between = name(f"V_{first},{second}")
    return Statement("pair", (between, dice.choice((less(volt(first), volt(second)), figure(between, "V")))))


def direction(bed: Bed, dice: random.Random) -> Statement | None:
    element = dice.choice(bed.elements)
    current = amps(element)
    along = bed.worlds[0].of[element.current] > 0
    sign = 1 if along else -1
    start, end = (element.first, element.second) if along else (element.second, element.first)
    tails = [f"from {place(start)} to {place(end)}", f"to {place(end)}", f"from {place(start)}"]
    if element.second == "0" and bed.netlist.drawing is None and element.whole:
        tails.append("down" if along else "up")
    size = figure(current if along else -current, "A")
    return Statement("direction", (current, size), tail=dice.choice(tails), sign=sign)


def place(node: str) -> str:
    return "ground" if node == "0" else f"node {node}"


def symbolic(bed: Bed, dice: random.Random) -> Statement | None:
    """A statement in names about the circuit of names alone."""
    if bed.in_names is None:
        return None
    maker = dice.choice((in_names, ohm, kcl, divider, multiplied, parallel, hop))
    found = maker(bed, dice)
    if found is None or any(side.has_figures for side in found.sides):
        return None
    return replace(found, form="symbolic")


FORMS: dict[str, Maker] = {
    "value": a_value,
    "bare": bare,
    "names": in_names,
    "ohm": ohm,
    "kcl": kcl,
    "hop": hop,
    "divider": divider,
    "chained": chained,
    "swapped": swapped,
    "multiplied": multiplied,
    "parallel": parallel,
    "units": both_units,
    "pair": pair,
    "direction": direction,
    "symbolic": symbolic,
}
