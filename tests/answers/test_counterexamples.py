"""After a named wrong move: where it plainly fails; what splits two causes; and at the end both lines side by side."""

from __future__ import annotations

import pytest
from nodal_judge import Undecided
from nodal_judge import judge as judged
from wrong_move_catalogue import Entry, entries

from problems import family
from problems.answers.counterexample import Counterexample, changed, counterexample
from problems.answers.judge import OUTSIDE_ATTEMPT, judge
from problems.answers.values import Values
from problems.answers.verdict import Verdict
from problems.derivation.lesson import Lesson
from problems.derivation.step import Step
from problems.quantities import Quantity

ENTRIES = {entry.id: entry for entry in entries()}


def asked(entry: Entry) -> tuple[Lesson, Quantity, Verdict]:
    """The lesson of an entry, what it asks, and the verdict on its wrong value."""
    lesson = Lesson.of(entry.netlist)
    quantity = entry.netlist.names.read(entry.step)
    return lesson, quantity, judge(lesson, f"{entry.wrong!r} {quantity.unit}", quantity, {}, OUTSIDE_ATTEMPT)


def plain(text: str) -> str:
    """The text with plain blanks between values and units."""
    return text.replace("\u2009", " ")


def shown(entry: Entry) -> Counterexample | None:
    """The counterexample to the wrong move that the wrong value of an entry is named as."""
    lesson, quantity, verdict = asked(entry)
    return counterexample(lesson, quantity, verdict.move) if verdict.move is not None else None


@pytest.mark.parametrize(
    ("entry", "change", "right", "wrong"),
    [
        ("inv-as-noninv", "R1 as large as Rf", "−0.3 V", "0.6 V"),
        ("ib-i-vn0", "Vin as large as Vref", "0 A", "426 µA"),
        ("po-wiper", "k = 1", "1.5 V", "−1.8 V"),
        ("po-vn-vin", "k = 0", "0 V", "1.5 V"),
        ("buf-leg", "a wire in place of Rb", "0 V", "9 V"),
        ("ni-upside", "a wire in place of Rf", "0.4 V", "no value at all"),
        ("ca-last", "a wire in place of Rf1", "0 V", "−0.405 V"),
        ("ia-single", "V1 as large as V2", "0 V", "205 V"),
    ],
    ids=lambda cell: cell,
)
def test_a_wrong_move_is_shown_where_it_plainly_fails(entry: str, change: str, right: str, wrong: str) -> None:
    case = shown(ENTRIES[entry])
    assert case is not None
    assert f"Take {change}, and leave the rest." in plain(case.text)
    assert f" is {right}, " in plain(case.text)
    assert f" {wrong} by this move" in plain(case.text)


def test_a_part_is_doubled_and_only_the_ratios_are_told() -> None:
    case = shown(ENTRIES["vi-load"])
    assert case is not None
    assert "Take RL twice as large" in case.text
    assert "I_RL stays as it is; by this move (voltage of R put across RL) it halves." in case.text


@pytest.mark.parametrize("entry", ENTRIES.values(), ids=ENTRIES)
def test_a_counterexample_holds_and_does_not_give_the_value_away(entry: Entry) -> None:
    case = shown(entry)
    if case is None:
        return
    lesson, quantity, _ = asked(entry)
    other = changed(lesson, case.change)
    assert other is not None
    assert Values(other.values)[quantity] == case.right
    try:
        floats = judged(other.netlist)
    except Undecided:
        pass
    else:
        if quantity.kind in "VI":
            table = floats.voltages if quantity.kind == "V" else floats.currents
            assert table[quantity.of] == pytest.approx(float(case.right), rel=1e-6, abs=1e-9)
    now = Values(lesson.values)[quantity]
    if case.seen != "ratio":
        assert abs(case.right) not in (abs(now), 2 * abs(now), abs(now) / 2)
        assert case.wrong is None or case.right * case.wrong <= 0 or not 0.5 < case.right / case.wrong < 2


def test_most_named_wrong_moves_of_the_catalogue_have_a_counterexample() -> None:
    named = [entry for entry in ENTRIES.values() if asked(entry)[2].move is not None]
    assert sum(shown(entry) is not None for entry in named) >= 0.55 * len(named)


@pytest.mark.parametrize(
    ("entry", "question"),
    [
        ("ia-o1-gnd", "What do you get for V_g2?"),
        ("su-i-abs", "What do you get for I_R2?"),
    ],
)
def test_two_causes_lead_to_a_quantity_that_only_one_of_them_has_wrong(entry: str, question: str) -> None:
    _, _, verdict = asked(ENTRIES[entry])
    assert verdict.kind == "unclear"
    assert verdict.message.endswith(question)


def test_two_causes_in_one_step_lead_to_a_change_that_tells_them_apart() -> None:
    _, _, verdict = asked(ENTRIES["ia-o1-foll"])
    assert verdict.kind == "unclear"
    question = "Take V1 = 0 V, and leave the rest: would your line for V_o1 then give 0 V, or −0.14 V?"
    assert plain(verdict.message).endswith(question)


def test_a_quantity_stated_rightly_takes_its_cause_out() -> None:
    lesson, quantity, before = asked(ENTRIES["su-i-abs"])
    inside = lesson.netlist.names.read("I_R2")
    text = f"{ENTRIES['su-i-abs'].wrong!r} A"
    verdict = judge(lesson, text, quantity, {inside: lesson.values[inside]}, OUTSIDE_ATTEMPT)
    assert before.kind == "unclear"
    assert verdict.wrong_move == "branch-sign"


def test_the_same_line_in_other_words_is_one_cause() -> None:
    _, _, verdict = asked(ENTRIES["ib-notback"])
    assert verdict.kind == "wrong-move"


def test_the_review_puts_the_wrong_line_beside_the_right_one() -> None:
    problem = family("inverting").problem(values={"Vin": "0.5", "Ri": "10k", "Rf": "22k"})
    attempt = problem.begin()
    attempt, verdict = attempt.state("V_out = 1.1 V")
    assert verdict.kind == "wrong-move"
    assert attempt.review == ()
    while isinstance(step := attempt.next_step, Step):
        attempt, _ = attempt.state(f"{step.quantity} = {step.exact!s} {step.unit}")
    (both,) = attempt.review
    assert both.quantity == "V_out"
    assert plain(both.wrong).endswith("= 1.1 V")
    assert plain(both.right).endswith("= −1.1 V")
    assert both.wrong.startswith("V_out = ")


def test_the_attempt_has_a_counterexample_only_after_a_named_wrong_move() -> None:
    attempt = family("inverting").problem(values={"Vin": "0.5", "Ri": "10k", "Rf": "22k"}).begin()
    assert attempt.counterexample() is None
    attempt, _ = attempt.state("V_out = 1.6 V")
    text = attempt.counterexample()
    assert text is not None
    assert "−1.1 V" not in plain(text)
    attempt, _ = attempt.state("V_2 = 0 V")
    assert attempt.counterexample() is None


def test_a_reversed_arrow_is_a_wrong_move_that_costs_no_try() -> None:
    _, _, verdict = asked(ENTRIES["inv-if-sign"])
    assert (verdict.kind, verdict.wrong_move, verdict.costs_a_try) == ("wrong-move", "arrow-reversed", False)


def test_a_slip_comes_after_a_cause() -> None:
    _, _, cause = asked(ENTRIES["inv-kvl-sign"])
    assert cause.kind == "wrong-move"
    lesson, quantity, _ = asked(ENTRIES["inv-upside"])
    assert (
        judge(lesson, f"{ENTRIES['inv-upside'].right * 1000} V", quantity, {}, OUTSIDE_ATTEMPT).kind == "power-of-ten"
    )
