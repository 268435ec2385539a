"""Statements about random circuits and families, in every written form, true and false; a float solver says which."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass

from statement_beds import Bed
from statement_forms import FORMS
from statement_truth import changed, truth
from terms import Hand

from problems.derivation.lesson import Lesson

RUN = 60
"""Statements about one circuit in a row."""
PATIENCE = 20
"""Tries at a form with one circuit."""


@dataclass(frozen=True)
class Case:
    """A statement ready to be judged. is_true: what the float solver says. stated: whether in an attempt."""

    form: str
    text: str
    asked: str
    is_true: bool
    bed: Bed
    lesson: Lesson
    in_attempt: bool


def cases(count: int, is_true: bool, circuits: tuple[Bed, ...], seed: int = 0) -> Iterator[Case]:
    """So many statements, every form in its turn."""
    dice = random.Random(f"{seed} {is_true}")
    made = tries = 0
    names = list(FORMS)
    while made < count:
        # a form that a circuit has no statement of is made about the next one
        form = names[made % len(names)]
        tries += 1
        bed = circuits[(made // RUN + tries // PATIENCE) % len(circuits)]
        statement = FORMS[form](bed, dice)
        if statement is not None and not is_true:
            statement = changed(statement, bed, dice)
        if statement is None or truth(statement, bed) is not is_true:
            continue
        tries = 0
        # where k is a setting, a bare 8.2k has two meanings, and either may be the right one
        hand = Hand(dice, bare=form == "bare" and "k" not in bed.netlist.values and dice.random() < 0.8)
        text = statement.written(hand, bed.worlds[0])
        lesson = bed.in_names if form == "symbolic" and bed.in_names is not None else bed.lesson
        yield Case(form, text, statement.asked, is_true, bed, lesson, dice.random() < 0.5)
        made += 1
