"""One step of a walk, as it is taught: the law, the relation, the numbers, the value, the reason, the help."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from problems.derivation.affine import Affine
from problems.derivation.law import Law, Misuse, Place, said
from problems.derivation.laws.registry import law_kinds
from problems.derivation.reactive.transfer import in_s
from problems.formulas.expression import Expression, Name, Sum, nodes
from problems.formulas.phasor import Phasor, are_one
from problems.formulas.printers import MINUS, engineering, rectangular, text
from problems.formulas.ratio import Ratio, to_sympy
from problems.quantities import LAPLACE, PHASE, SIZE, Names, Quantity, canonical
from problems.words import has, say

RUNGS = ("look", "rule", "equation", "numbers")
"""The levels of help for a step, from a pointer to the whole step."""


@dataclass(frozen=True)
class Relation:
    """A law at its place, as a formula: prints as ``I_Ri = (Vin − V_2)/Ri``."""

    head: Quantity
    expression: Expression
    names: Names = field(repr=False, compare=False)
    spoken: Expression | None = field(default=None, compare=False)

    def __str__(self) -> str:
        return self.written()

    def written(self, ascii: bool = False) -> str:
        """The relation on one line; ascii: plain signs only."""
        return f"{self.names.head(self.head)} = {self.right(ascii)}"

    def right(self, ascii: bool = False) -> str:
        """The right side alone."""
        return text(self.spoken or self.expression, self._label, ascii=ascii)

    def _label(self, key: Hashable) -> str:
        return self.names.write(key) if isinstance(key, Quantity) else str(key)


@dataclass(frozen=True)
class WrongMove:
    """A way this step goes wrong, with the value that it gives.

    key: names the cause. name: what a teacher calls it. why: what the value says about the circuit. ask: the question
    that leads on. exact: the value, of the walk's own number type.
    """

    key: str
    name: str
    why: str
    ask: str
    exact: Any

    @property
    def value(self) -> Any:
        """The value as sympy has it."""
        return to_sympy(self.exact)


@dataclass(frozen=True)
class Step:
    """One step of a walk.

    law: key of the law used. role: ``"law"``, or ``"assume"``, ``"close"``, ``"back"`` where an unknown is carried.
    target: the quantity it gives. exact: its value, a number of the walk's own type or linear in carried unknowns.
    """

    target: Quantity
    rule: Law
    exact: Any
    env: Mapping[Hashable, Any] = field(repr=False, compare=False)
    names: Names = field(repr=False, compare=False)
    units: Mapping[str, str] = field(repr=False, compare=False)
    find_wrong_moves: Callable[[Quantity], tuple[WrongMove, ...]] = field(repr=False, compare=False)
    role: str = "law"
    note: str = ""
    """What to say before it, where the walk goes on in another way."""

    def noted(self, note: str) -> Step:
        """The same step with a sentence before it, and before those that it has."""
        return replace(self, note=f"{note} {self.note}".strip())

    @property
    def quantity(self) -> str:
        """Name of what it gives, such as ``V_out``."""
        return canonical(self.target)

    @property
    def label(self) -> str:
        """The same as the drawing has it: ``V_2`` for ``V_U1.2`` where no other op-amp has a pin 2."""
        return self.names.head(self.target)

    @property
    def law(self) -> str:
        """Key of the law that it uses."""
        return self.rule.key

    @property
    def is_headed(self) -> bool:
        """Whether its law gives the very quantity, rather than closing on it or naming it."""
        return self.rule.head == self.target and self.law in law_kinds()

    @property
    def unit(self) -> str:
        return self.target.unit

    @property
    def place(self) -> Place:
        """What to light up in the drawing."""
        return self.rule.place

    @property
    def value(self) -> Any:
        """The value as sympy has it; a carried unknown stays free in it."""
        return formula(self.exact)

    @cached_property
    def relation(self) -> Relation:
        """The law in symbols."""
        return Relation(self.rule.head, self.rule.relation, self.names, self.rule.spoken)

    @property
    def uses(self) -> tuple[str, ...]:
        """Names of the quantities that the relation rests on."""
        return tuple(canonical(tail) for tail in self.rule.tails)

    def shown(self, ascii: bool = False) -> str:
        """The value for reading: three figures, prefix and unit; a formula where it is one."""
        return shown(self.exact, self.unit, ascii)

    def numbers(self, ascii: bool = False) -> str:
        """The right side with every value in place of its name; what was known in an unknown, as it was known."""
        if self.role == "back" and isinstance(self.env.get(self.target), Affine):
            return shown(self.env[self.target], self.unit, ascii)
        relation = self.rule.relation
        if isinstance(relation, Name):
            return self._figure(relation.key, True, ascii)
        return text(self._in_figures(relation, ascii), ascii=ascii)

    def _in_figures(self, formula: Expression, ascii: bool = False) -> Expression:
        """A formula with every value in place of its name."""
        bare = {id(formula)} | {id(node.terms[0]) for node in nodes(formula) if isinstance(node, Sum)}
        return _with_figures(formula, lambda name: self._figure(name.key, id(name) in bare, ascii))

    def _label(self, key: Hashable) -> str:
        return self.names.write(key) if isinstance(key, Quantity) else str(key)

    def equation(self, ascii: bool = False) -> str:
        """What is written down before it is solved, ``(V_2 − Vin)/Ri + (V_2 − V_out)/Rf = 0``; empty without one."""
        written = self.rule.equation
        return "" if written is None else f"{text(written, self._label, ascii=ascii)} = 0"

    def written(self, ascii: bool = False) -> str:
        """The whole step on one line: ``I_Ri = (Vin − V_2)/Ri = (0.8 V − 0.56 V)/8.2 kΩ = 29.3 µA``.

        Where an equation is written first: that, then what it comes to.
        """
        solved = self.solved(ascii)
        return say("step.equation", equation=self.equation(ascii), solved=solved) if self.begins else solved

    @property
    def begins(self) -> bool:
        """Whether an equation is written down first: not where a line that stands on the page is only said again."""
        return self.rule.equation is not None and self.role != "back"

    def solved(self, ascii: bool = False) -> str:
        """The step without the equation that it starts from."""
        value, numbers = self.shown(ascii), self.numbers(ascii)
        name = self.names.head(self.target)
        if self.role == "assume" and self._letter == name:
            return say("step.assume", name=name)
        found = f"{name} = {value}" if self._letter in ("", name) else f"{name} = {self._letter} = {value}"
        if self.role == "close" and self.rule.equation is not None:
            left = text(self._in_figures(self.rule.equation, ascii), ascii=ascii)
            return say("step.close-equation", left=left, found=found)
        if self.role == "close":
            both = f"{shown(self.env[self.rule.head], self.rule.head.unit, ascii)} = {numbers}"
            return say("step.close", relation=self.relation.written(ascii), both=both, found=found)
        right = self.relation.right(ascii)
        pieces = [] if right in ("0", name) else [right]
        pieces += [numbers] if numbers not in ("0", right) else []
        pieces += [value] if value not in pieces else []
        if isinstance(self.exact, Phasor) and self.exact.real and self.exact.imag:
            pieces.append(rectangular(self.exact, self.unit, ascii=ascii))
        return " = ".join((name, *pieces))

    @property
    def _letter(self) -> str:
        """The unknown that the target was called."""
        assumed = self.env[self.target]
        return next(iter(assumed.slopes)) if isinstance(assumed, Affine) else ""

    def _figure(self, key: Hashable, bare: bool, ascii: bool) -> str:
        """A value as it stands in the formula, in brackets where a sign would run into what stands before it."""
        value = self.env.get(key)
        unit = key.unit if isinstance(key, Quantity) else self.units.get(str(key), "")
        if value is None or (isinstance(value, Ratio) and value.constant is None):
            return self.names.write(key) if isinstance(key, Quantity) else str(key)
        if isinstance(value, Phasor) and (key == LAPLACE or self.rule.head.kind[:1] in (SIZE, PHASE)):
            return rectangular(value, unit, ascii=ascii)
        figure = shown(value, unit, ascii)
        several = (isinstance(value, Affine) and " " in figure) or (
            " at " in figure and self.rule.relation != Name(key)
        )
        return f"({figure})" if several or (figure[:1] in ("-", MINUS) and not bare) else figure

    @property
    def name(self) -> str:
        """Short name of the law, for the margin."""
        return self.word("name")

    @property
    def goal(self) -> str:
        """What the step asks for, in words."""
        return self.word("goal")

    @property
    def why(self) -> str:
        """One sentence of why the law holds here."""
        return say("role.back") if self.role == "back" else self.word("why")

    @property
    def hints(self) -> tuple[str, ...]:
        """Four rungs of help, the last of which shows the step."""
        return tuple(self.hint(rung) for rung in range(len(RUNGS)))

    def hint(self, rung: int, ascii: bool = False) -> str:
        """One rung of help, 0 to 3."""
        if RUNGS[rung] == "numbers":
            return self.written(ascii)
        special = f"hint.{self.role}-{RUNGS[rung]}" if self.rule.equation is None else f"hint.written-{RUNGS[rung]}"
        fields = {
            "equation": self.equation(ascii),
            "look": self.word("look"),
            "rule": self.word("rule"),
            "relation": self.relation.written(ascii),
            "left": self.names.head(self.rule.head),
        }
        return say(special if has(special) else f"hint.{RUNGS[rung]}", **fields)

    @property
    def wrong_moves(self) -> tuple[WrongMove, ...]:
        """What this step gives when one law is misused; likeliest first, one for each cause and value."""
        return self.find_wrong_moves(self.target) if self.role != "assume" else ()

    def word(self, part: str) -> str:
        """A sentence of this step's law, from the catalogue or from the law's own file; raises KeyError without one."""
        key = self.rule.word_key(part)
        if has(key):
            return say(key, **said(self.rule.fields))
        return law_kinds()[self.rule.key].words[part].format_map(said(self.rule.fields))


def formula(value: Any) -> Any:
    """A value as sympy has it: a number, a formula in part names, or one that is linear in carried unknowns."""
    if not isinstance(value, Affine):
        return to_sympy(value)
    import sympy

    slopes = (to_sympy(slope) * sympy.Symbol(name) for name, slope in value.slopes.items())
    return sum(slopes, to_sympy(value.constant))


def _with_figures(expression: Expression, figure: Callable[[Name], str]) -> Expression:
    """The formula with every name replaced by how its value is printed."""
    if isinstance(expression, Name):
        return Name(figure(expression))
    if not expression.children:
        return expression
    return expression.with_children(tuple(_with_figures(child, figure) for child in expression.children))


SLOPES = {("A", "V"): "S", ("V", "V"): "", ("V", "A"): "ohm", ("A", "A"): ""}
"""Unit of a slope: that of the value, per unit of the unknown."""


def shown(value: Any, unit: str, ascii: bool = False) -> str:
    """A value for reading: a number with prefix and unit, a formula as it stands; unknowns are voltages."""
    if isinstance(value, Affine):
        return _affine(value, unit, ascii)
    if isinstance(value, Ratio):
        if value.constant is None:
            return in_s(value, unit, ascii) or str(to_sympy(value))
        value = value.constant
    return engineering(value, unit, ascii=ascii)


def _affine(value: Affine, unit: str, ascii: bool) -> str:
    """``250 µA − 250 µS·x``."""
    times, minus = ("*", "-") if ascii else ("·", MINUS)
    written = shown(value.constant, unit, ascii) if value.constant else ""
    for name, slope in value.slopes.items():
        factor = shown(slope, SLOPES[unit, "V"], ascii)
        if isinstance(slope, Ratio) and slope.constant is None and " " in factor:
            factor = f"({factor})"
        factor = f"({factor})" if " at " in factor else factor
        negative = factor.startswith(minus)
        factor = factor.removeprefix(minus)
        term = name if factor == "1" else f"{factor}{times}{name}"
        joint = f" {minus} " if negative else " + "
        written = f"{written}{joint}{term}" if written else f"{minus if negative else ''}{term}"
    return written


def worded(misuse: Misuse, value: Any, quantity: Quantity) -> WrongMove:
    """A misuse with its sentences; value: what it gives for the quantity."""
    fields = {**said(misuse.fields), "value": shown(value, quantity.unit)}
    name, means, ask = (say(f"misuse.{misuse.key}.{part}", **fields) for part in ("name", "means", "ask"))
    return WrongMove(misuse.key, name, means, ask, value)


def different(misuses: Iterable[Misuse], quantity: Quantity, values: Mapping[Any, Any]) -> tuple[WrongMove, ...]:
    """What misuses give for a quantity: those that differ from the right value, one for each cause and value."""
    right = _value(Name(quantity), values)
    found: dict[tuple[str, str], WrongMove] = {}
    for misuse in misuses:
        value = _value(misuse.relation, values)
        if value is None or are_one(value, right) or isinstance(value, Affine):
            continue
        if (misuse.key, repr(value)) not in found:
            found[misuse.key, repr(value)] = worded(misuse, value, quantity)
    return tuple(found.values())


def _value(relation: Expression, values: Mapping[Any, Any]) -> Any:
    """Value of a formula; None where it divides by 0, or has no meaning in formulas."""
    try:
        return relation.at(values)
    except (ZeroDivisionError, KeyError, TypeError):
        return None
