"""Laws of what follows from the states of a circuit: corner frequency, gain, size and phase, an instant in time.

Each such quantity has one law, whose relation is that of ``circuits.first_order``. A quantity in one state has the laws
of the circuit in that state, every quantity in them named with the state.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from problems.circuits.conditions import reactive
from problems.circuits.first_order import CORNER, GAIN, SEEN, SLOPE_OUT, TAU, relations, sizes, tagged
from problems.derivation.law import Law, Misuse, Place
from problems.formulas.expression import Expression, keys
from problems.formulas.ratio import Ratio
from problems.quantities import PHASE, SIZE, Quantity

if TYPE_CHECKING:
    from problems.derivation.lesson import Lesson
    from problems.derivation.step import Step

COSTS: Mapping[str, float] = {"R": 2, "T": 1, "F": 2, "G": 1, "S": 2, "Q": 2}


def is_joint(quantity: Quantity, lesson: Lesson) -> bool:
    """Whether it follows from states by a law of its own."""
    if quantity.kind in ("F", "T", "G", "S", "Q") or quantity == SEEN or quantity.kind[:1] in (SIZE, PHASE):
        return True
    return lesson.netlist.regime == "t" and not quantity.when


def is_elsewhere(quantity: Quantity, lesson: Lesson) -> bool:
    """Whether the laws of the circuit as it stands say nothing of it: those of a state do, or a law of its own."""
    return bool(quantity.when) or is_joint(quantity, lesson)


def joint_law(quantity: Quantity, lesson: Lesson) -> Law | None:
    """The law of a quantity that follows from states; none where the circuit has no such thing."""
    if quantity.kind[:1] in (SIZE, PHASE):
        inner = quantity._replace(kind=quantity.kind[1:])
        if isinstance(lesson.values.get(inner), Ratio):
            return None  # a formula in s or in names has neither size nor phase before there is a frequency
        key = "size" if quantity.kind[0] == SIZE else "phase"
        return _law(key, quantity, sizes([inner])[quantity], lesson, {"inner": lesson.netlist.names.head(inner)})
    relation = lesson.joint_relations.get(quantity)
    if relation is None or quantity not in lesson.values:
        return None
    part = reactive(lesson.netlist.parts)
    fields = {"part": part[0].name if part else "", "quantity": lesson.netlist.names.head(quantity)}
    return _law(_key(quantity, relation, lesson), quantity, relation, lesson, fields)


def _key(quantity: Quantity, relation: Expression, lesson: Lesson) -> str:
    fixed = {SEEN: "seen", TAU: "time-constant", CORNER: "corner", SLOPE_OUT: "slope"}
    if quantity in fixed:
        return fixed[quantity]
    if quantity.kind in ("F", "Q"):
        return "natural-frequency" if quantity.kind == "F" else "quality"
    if quantity.kind == GAIN.kind:
        return "gain"
    return "response" if TAU in keys(relation) else "even-rise"


def _law(key: str, head: Quantity, relation: Expression, lesson: Lesson, fields: Mapping[str, str]) -> Law:
    variant = _variant(key, relation, lesson)
    parts = tuple(part.name for part in reactive(lesson.netlist.parts)) if key not in ("gain", "size", "phase") else ()
    place = Place(parts=(*parts, *(str(k) for k in keys(relation) if str(k) in lesson.netlist.part_names)))
    return Law(key, head, relation, COSTS.get(head.kind, 2), place, fields={**fields, **variant})


def _variant(key: str, relation: Expression, lesson: Lesson) -> Mapping[str, str]:
    """Other sentences where the part is an inductor, or the resistance needs a test source."""
    unit = reactive(lesson.netlist.parts)[0].parameters[0].unit if reactive(lesson.netlist.parts) else "F"
    if key == "seen" and any(isinstance(k, Quantity) for k in keys(relation)):
        return {"variant": "test"}
    if key == "seen":
        return {"resistors": " and ".join(sorted(str(k) for k in keys(relation)))}
    return {"variant": "inductor"} if unit == "H" else {}


def law_in_state(law: Law, state: str) -> Law:
    """The law as it holds in one state."""
    return law.renamed(lambda quantity: tagged(quantity, state))


def misuse_in_state(misuse: Misuse, state: str) -> Misuse:
    """The misuse as it is made in one state."""
    return misuse.renamed(lambda quantity: tagged(quantity, state))


def step_in_state(step: Step, state: str, lesson: Lesson) -> Step:
    """A step of the circuit in one state as a step of the whole lesson."""
    env = {tagged(k, state) if isinstance(k, Quantity) else k: value for k, value in step.env.items()}
    return replace(
        step,
        target=tagged(step.target, state),
        rule=law_in_state(step.rule, state),
        env=env,
        names=lesson.netlist.names,
        find_wrong_moves=lesson.wrong_moves,
    )


def joint_relations(lesson: Lesson) -> Mapping[Quantity, Expression]:
    """Formulas of all that follows from the states of a lesson's circuit."""
    return relations(lesson.netlist, lesson.values) if lesson.netlist.further or lesson.netlist.regime == "t" else {}
