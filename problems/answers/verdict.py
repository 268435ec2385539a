"""The verdict on a statement: what kind, what it is about, and the sentences to say, by key."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from problems.derivation.law import Misuse
from problems.formulas.expression import Expression
from problems.quantities import Quantity
from problems.words import say

KINDS = (
    "right",
    "right-carried",
    "known",
    "unit-missing",
    "unit-wrong",
    "sign",
    "power-of-ten",
    "rounding",
    "wrong-move",
    "unclear",
    "wrong",
    "unreadable",
)
"""Every kind of verdict."""

_RIGHT = {"right", "right-carried", "known"}
_FREE = {*_RIGHT, "unit-missing", "unreadable"}


@dataclass(frozen=True)
class Sentence:
    """A sentence to be made from the catalogue. fields: text, or a sentence to be put in its place."""

    key: str
    fields: Mapping[str, str | Sentence] = field(default_factory=dict)

    def said(self) -> str:
        filled = {name: part.said() if isinstance(part, Sentence) else part for name, part in self.fields.items()}
        return say(self.key, **filled)


@dataclass(frozen=True)
class Verdict:
    """What a statement is worth.

    kind: one of ``KINDS``. quantity, value: what was stated, where it was one quantity's value; the value is in SI
    along the reference arrow. sentences: the reply. wrong_move: key of the wrong move that fits, or None. move: that
    wrong move itself. law: key of the law that a right statement uses or an equation states, or None. free: it costs no
    try. carried: the earlier quantities whose values a carried verdict rests on. rows: what true equations say, each
    over the quantities. equations: the two sides of each of them.
    """

    kind: str
    sentences: tuple[Sentence, ...] = ()
    quantity: Quantity | None = None
    value: Fraction | None = None
    wrong_move: str | None = None
    move: Misuse | None = None
    law: str | None = None
    free: bool = False
    carried: tuple[Quantity, ...] = ()
    rows: tuple[Mapping[Quantity, Fraction], ...] = ()
    equations: tuple[tuple[Expression, Expression], ...] = ()

    @property
    def right(self) -> bool:
        """Whether it is true, or right from the student's own earlier values."""
        return self.kind in _RIGHT

    @property
    def costs_a_try(self) -> bool:
        """Whether it counts as a try at the step."""
        return not self.free and self.kind not in _FREE

    @property
    def message(self) -> str:
        """The reply in words."""
        return " ".join(sentence.said() for sentence in self.sentences)
