"""Node equations: the two rules first, then KCL at one node after another, written in node voltages.

What is asked beside node voltages, a current or a drop, comes from them at the end.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from problems.derivation.law import NODES, Law
from problems.derivation.step import Step
from problems.quantities import GROUND, Quantity, voltage
from problems.words import listed, say

if TYPE_CHECKING:
    from problems.derivation.lesson import Lesson

KEY = NODES
ORDER = 3
RULES = ("source", "equal-inputs", "wire", "no-current")
"""Laws that give a node voltage without an equation: they go first."""


def walk(lesson: Lesson, targets: tuple[Quantity, ...]) -> tuple[Step, ...]:
    """The steps to each target in turn. Raises NoWalk where the circuit does not determine one."""
    laws = plain_walk(lesson, targets)
    steps = lesson.stepped(laws) if laws is not None else lesson.written(_ordered(targets), KEY)
    return explained(steps, lesson)


def plain_walk(lesson: Lesson, targets: tuple[Quantity, ...]) -> tuple[Law, ...] | None:
    """The laws of the walk, in order; None where equations hang together."""
    laws = lesson.laws.walk(_ordered(targets), KEY)
    return None if laws is None else rules_first(laws, lesson)


def _ordered(targets: tuple[Quantity, ...]) -> tuple[Quantity, ...]:
    """Node voltages first."""
    return tuple(sorted(targets, key=lambda target: target.kind != "V"))


def explained(steps: tuple[Step, ...], lesson: Lesson) -> tuple[Step, ...]:
    """The steps, the first node equation with what is counted + and where no such equation is written."""
    opening = (place for place, step in enumerate(steps) if step.rule.equation is not None or step.role == "assume")
    first = next(opening, None)
    if first is None:
        return steps
    view = lesson.laws.view
    outputs = [view.node_label(node) for node in view.outputs]
    notes = [say("note.node-sign")]
    if outputs:
        key = f"note.node-{'outputs' if len(outputs) > 1 else 'output'}"
        parts = listed([amp.name for amp in view.outputs.values()])
        notes.append(say(key, nodes=listed(outputs), parts=parts))
    return (*steps[:first], steps[first].noted(" ".join(notes)), *steps[first + 1 :])


def rules_first(laws: tuple[Law, ...], lesson: Lesson) -> tuple[Law, ...]:
    """The laws with those in front that follow from the rules and what is given alone; the others in their order."""
    known = {*lesson.givens, voltage(GROUND)}
    first: list[Law] = []
    for law in laws:
        if law.key in RULES and law.head.kind == "V" and known.issuperset(law.tails):
            known.add(law.head)
            first.append(law)
    rest = [law for law in laws if law not in first]
    return (*first, *sorted(rest, key=lambda law: law.head.kind != "V"))
