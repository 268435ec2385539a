"""What runs through resistances taken as one in line runs through each of them."""

from __future__ import annotations

from collections.abc import Iterator

from problems.derivation.law import Law, Misuse, Place
from problems.derivation.view import View, signed_sum
from problems.formulas.expression import Name, Negative
from problems.quantities import current

KEY = "in-line"
OF_BRANCHES = True


def instances(view: View) -> Iterator[Law]:
    composite = view.fresh.composite
    if composite is None or composite.how != "series":
        return
    whole = composite.branch.name
    for member in composite.members:
        place = Place((member.branch.part,))
        for head, other in ((member.branch.name, whole), (whole, member.branch.name)):
            fields = {"part": head, "other_part": other, "whole": f"R_{whole}"}
            relation = signed_sum([(member.sign, Name(current(other)))])
            yield Law(KEY, current(head), relation, 1, place, fields=fields)


def misuses(law: Law, view: View) -> Iterator[Misuse]:
    turned = law.relation.operand if isinstance(law.relation, Negative) else Negative(law.relation)
    yield Misuse("arrow-reversed", turned, 0.3)
