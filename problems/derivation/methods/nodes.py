"""Node equations: the two rules first, then KCL at one node after another, written in node voltages.

What is asked beside node voltages, a current or a drop, comes from them at the end.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from problems.derivation.law import Law
from problems.derivation.step import Step
from problems.quantities import GROUND, Quantity, voltage
from problems.words import say

if TYPE_CHECKING:
    from problems.derivation.lesson import Lesson

KEY = "nodes"
ORDER = 3
RULES = ("source", "equal-inputs", "wire", "no-current")
"""Laws that give a node voltage without an equation: they go first."""


def walk(lesson: Lesson, targets: tuple[Quantity, ...]) -> tuple[Step, ...]:
    """The steps to each target in turn. Raises NoWalk where the circuit does not determine one."""
    ordered = tuple(sorted(targets, key=lambda target: target.kind != "V"))
    laws = lesson.laws.walk(ordered, KEY)
    steps = lesson.stepped(rules_first(laws, lesson)) if laws is not None else lesson.written(ordered, KEY)
    return explained(steps, lesson)


def explained(steps: tuple[Step, ...], lesson: Lesson) -> tuple[Step, ...]:
    """The steps, the first node equation with what is counted + and where no such equation is written."""
    opening = (place for place, step in enumerate(steps) if step.rule.equation is not None or step.role == "assume")
    first = next(opening, None)
    if first is None:
        return steps
    view = lesson.laws.view
    outputs = {view.node_label(node): amp.name for node, amp in view.outputs.items()}
    notes = [say("note.node-sign")]
    notes += [say("note.node-output", node=node, part=part) for node, part in outputs.items()]
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
