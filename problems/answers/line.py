"""A line of the working, as it stands on a student's sheet."""

from __future__ import annotations

from typing import Any, NamedTuple

from problems.derivation.lesson import Lesson
from problems.derivation.step import shown
from problems.quantities import Quantity, canonical


class Line(NamedTuple):
    """One line of the working as a student would write it.

    quantity: its name. label: the same as the drawing has it, ``V_2`` for ``V_U1.2``. status: ``right``, ``carried``
    (right from an earlier slip), ``shown`` or ``not yet``.
    """

    quantity: str
    label: str
    relation: str
    value: str
    law: str
    status: str


def line_of(lesson: Lesson, quantity: Quantity, value: Any, status: str) -> Line:
    """The line of a quantity that the student holds to have a value."""
    step = lesson.step_for(quantity)
    relation = str(step.relation) if step is not None else canonical(quantity)
    law = step.name if step is not None else ""
    label = lesson.netlist.names.head(quantity)
    return Line(canonical(quantity), label, relation, shown(value, quantity.unit), law, status)
