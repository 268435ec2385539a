"""Generated statements in every written form: the true are accepted, the false refused; the bench judges 200,000."""

from __future__ import annotations

from collections import Counter

import pytest
from generated_statements import cases
from statement_beds import beds
from statement_forms import FORMS
from statement_verdicts import is_mistaken, judged

COUNT = 1500


@pytest.mark.parametrize("is_true", [True, False], ids=["true", "false"])
def test_statements_are_accepted_and_refused_as_the_float_solver_says(is_true: bool) -> None:
    made: Counter[str] = Counter()
    for case in cases(COUNT, is_true, beds(30), seed=1):
        verdict = judged(case)
        assert not is_mistaken(case, verdict), (case.form, case.text, case.asked, verdict.kind, case.bed.netlist.values)
        made[case.form] += 1
    assert made.keys() == FORMS.keys()
    assert min(made.values()) >= COUNT // 20
