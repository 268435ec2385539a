"""What a law of a circuit is: an edge from the quantities it needs to the quantity that it gives.

Costs say how much a law asks of a student, in steps of reasoning: 1 reads something off (equal inputs, one current
through two parts), 2 is one line of arithmetic (Ohm, one hop, and half a line more for each further branch of a node
sum), 3 is a formula to know (divider, parts in line). Two bounds matter, the rest is free within a factor of two: the
divider stays under 5, the price of Ohm, one current and a hop, and the divider read backwards above it.

Ranks of misuses say what is likelier when several give one value: 0.3 an arrow, 0.5 to 0.7 the habit that goes with
this very law, 0.8 to 1 a formula of another layout, above that what needs two thoughts. A slip carried from an earlier
step is 1.5 further back (2 from the stage before), and a cause is named outright when it leads by 0.2.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from problems.formulas.expression import Expression, Name, keys, nodes, substitute
from problems.quantities import Quantity
from problems.words import has, say

if TYPE_CHECKING:
    from problems.derivation.view import View

LAWS, NODES = "laws", "nodes"
"""The method that goes one law after another, and the one that goes by node equations."""
CARRIED = 1.5
"""How much further back a slip stands that is carried on from an earlier step."""


class Place(NamedTuple):
    """Where in the drawing a law acts: what a first hint lights up."""

    parts: tuple[str, ...] = ()
    pins: tuple[str, ...] = ()
    nodes: tuple[str, ...] = ()


NOWHERE = Place()


Rename = Callable[[Quantity], Quantity]
"""What a quantity is called where a law of one circuit speaks of another: of one source alone, or of one state."""


def renamed(expression: Expression, rename: Rename) -> Expression:
    """A formula with every quantity in it by another name."""
    named = (key for key in keys(expression) if isinstance(key, Quantity))
    names: dict[Hashable, Expression] = {key: Name(rename(key)) for key in named}
    return substitute(expression, names) if names else expression


@dataclass(frozen=True)
class Law:
    """One law at one place of a circuit.

    key: names its file, its words (``law.<key>.…``) and the skill that it trains. head: the quantity it gives.
    relation: formula of the head in quantities and part symbols. cost: what it asks of a student; a walk takes the
    cheapest union. place: what a first hint lights up. spoken: the relation as a teacher writes it, where that differs
    (pin names for grounded nodes). fields: what its sentences name, and the nodes and branches that its misuses start
    from. given: known without a step (a source held to ground). only_asked: used for a step only when its head is what
    was asked. never_walked: there for follow-through, naming and wrong moves, not for walks. equation: what is written
    down first, as what must come to 0, where the relation is that equation solved for the head. view: the reduced
    circuit that it holds in; None for the one that is drawn. elsewhere: methods that are not those of its kind,
    in whose walks it may stand nonetheless, with what it costs there.
    """

    key: str
    head: Quantity
    relation: Expression
    cost: float
    place: Place = NOWHERE
    spoken: Expression | None = None
    fields: Mapping[str, str] = field(default_factory=dict)
    given: bool = False
    only_asked: bool = False
    never_walked: bool = False
    equation: Expression | None = None
    view: View | None = field(default=None, repr=False, compare=False)
    elsewhere: Mapping[str, float] = field(default_factory=dict)

    def word_key(self, part: str) -> str:
        """Key of one of its sentences: that of its ``variant``, if its fields name one and the catalogue knows it."""
        special = f"law.{self.key}-{self.fields.get('variant')}.{part}"
        return special if has(special) else f"law.{self.key}.{part}"

    def renamed(self, rename: Rename) -> Law:
        """The same law of the same place, with every quantity in it by another name."""
        spoken, equation = (
            renamed(written, rename) if written is not None else None for written in (self.spoken, self.equation)
        )
        relation = renamed(self.relation, rename)
        return replace(self, head=rename(self.head), relation=relation, spoken=spoken, equation=equation)

    @cached_property
    def tails(self) -> tuple[Quantity, ...]:
        """The quantities that it needs, in the order in which the relation names them."""
        names = (node.key for node in nodes(self.relation) if isinstance(node, Name))
        return tuple(dict.fromkeys(key for key in names if isinstance(key, Quantity)))


_MADE = re.compile(r"(?<![\w.*])(?<!node )(?![VIR]_)([\w.]+\*)")

_HALF = re.compile(r"^(\w+)\.(top|bottom)$")


def said(fields: Mapping[str, str]) -> Mapping[str, str]:
    """Fields as sentences say them: what several parts were taken together as is called ``R_A*``, a half of a

    potentiometer the upper or the lower part of it.
    """
    if not any("*" in text or "." in text for text in fields.values()):
        return fields
    return {name: _HALF.sub(_half, _MADE.sub(r"R_\1", text)) for name, text in fields.items()}


def _half(found: re.Match[str]) -> str:
    return say(f"half.{found[2]}", part=found[1])


@dataclass(frozen=True)
class Misuse:
    """A way people get a step wrong: the relation that they use instead.

    key: names its words (``misuse.<key>.…``). relation: over quantities and part symbols, evaluated on true values or
    on the student's own. rank: smaller is likelier, when several give one value. behind: the earlier quantity in which
    the slip lies, where it is not in this step itself.
    """

    key: str
    relation: Expression
    rank: float = 1.0
    fields: Mapping[str, str] = field(default_factory=dict)
    behind: Quantity | None = None

    def renamed(self, rename: Rename) -> Misuse:
        """The same wrong move, with every quantity in it by another name."""
        behind = rename(self.behind) if self.behind is not None else None
        return replace(self, relation=renamed(self.relation, rename), behind=behind)

    def carried(self, whole: Expression, tail: Quantity, further: float = CARRIED) -> Misuse:
        """The slip in a quantity that a formula rests on, carried through that formula.

        further: how much further back it then stands.
        """
        relation = substitute(whole, {tail: self.relation})
        return Misuse(self.key, relation, self.rank + further, self.fields, self.behind or tail)
