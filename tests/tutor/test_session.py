"""One session as a value: statements, the ladder of hints and its gate, taking back."""

from __future__ import annotations

import pytest
from station_lesson import inverter

from problems import Circuit, ask, family
from problems.asks.law_words import called
from problems.asks.slip import Slip
from tutor.session import MISSES, WAIT, Session

SEED = 7


@pytest.fixture
def session() -> Session:
    return Session(family("adjustable-polarity-gain").problem(values=VALUES).begin())


VALUES = {"Vin": "0.8", "Ri": "8.2k", "Rf": "33k", "Rg": "12k", "Rp": "20k", "k": "0.7"}
SESSION = ("V_3 = 0.56 V", "V_2 = V_3", "I_Ri = 29.3 uA", "I_Rg = 46.7 uA", "I_Rf = -17.4 uA", "V_out = 1.13 V")


def after(session: Session, *texts: str) -> Session:
    for text in texts:
        session, _ = session.state(text)
    return session


def test_right_statements_lead_to_the_end(session: Session) -> None:
    done = after(session, *SESSION)
    assert done.attempt.done
    assert not session.attempt.stated, "the session handed in has not changed"


def test_a_reply_starts_with_the_verdict_in_words(session: Session) -> None:
    _, right = session.state("V_3 = 0.56 V")
    _, wrong = session.state("V_3 = 0.24 V")
    assert right.lines[0].startswith("right")
    assert wrong.lines[0].startswith("not yet")


def test_the_first_rung_opens_at_once_and_the_next_waits(session: Session) -> None:
    first, reply = session.hint(now=100.0)
    assert reply.kind == "hint"
    assert reply.lines[0].startswith("1 of 4: ")
    _, early = first.hint(now=100.0 + WAIT - 0.1)
    assert early.kind == "wait"
    _, later = first.hint(now=100.0 + WAIT)
    assert later.lines[0].startswith("2 of 4: ")


def test_a_try_opens_the_next_rung(session: Session) -> None:
    hinted, _ = session.hint(now=100.0)
    tried, _ = hinted.state("V_3 = 5 V")
    _, reply = tried.hint(now=100.1)
    assert reply.lines[0].startswith("2 of 4: ")


def test_what_cannot_be_read_opens_no_rung(session: Session) -> None:
    hinted, _ = session.hint(now=100.0)
    tried, reply = hinted.state("V_3 = = 5")
    assert reply.kind == "unreadable"
    assert tried.hint(now=100.1)[1].kind == "wait"


def test_a_hint_points_at_the_drawing(session: Session) -> None:
    _, reply = session.hint(now=0.0)
    assert reply.place is not None
    assert reply.place.parts or reply.place.pins or reply.place.nodes


def test_the_first_rung_comes_unasked_after_two_wrong_tries(session: Session) -> None:
    replies = []
    for text in ("V_3 = 5 V", "V_3 = 6 V", "V_3 = 7 V"):
        session, reply = session.state(text)
        replies.append(any(line.startswith("1 of 4: ") for line in reply.lines))
    assert replies == [False] * (MISSES - 1) + [True, False]


def test_the_last_rung_shows_the_step_and_says_so(session: Session) -> None:
    for turn in range(4):
        session, reply = session.hint(now=turn * 10.0)
    assert reply.lines[-1] == "This step counts as shown."
    assert session.attempt.shown
    assert "V_3" in session.attempt.stated


def test_taking_back_restores_what_was_before_and_keeps_rungs_open(session: Session) -> None:
    stated = after(session, "V_3 = 0.56 V")
    hinted, _ = stated.hint(now=0.0)
    back, reply = hinted.back()
    assert "V_3" not in back.attempt.stated
    assert reply.lines == ("Taken back: V_3 = 0.56 V",)
    assert back.attempt.rungs == hinted.attempt.rungs
    assert back.hint(now=1.0)[1].kind == "wait", "taking back is no way round the gate"


def test_taking_back_nothing_says_so(session: Session) -> None:
    same, reply = session.back()
    assert same == session
    assert reply.lines == ("There is nothing to take back.",)


def test_a_named_wrong_move_has_a_counterexample_and_others_have_none(session: Session) -> None:
    assert "once a wrong move has a name" in session.counterexample().lines[0].lower()
    told = after(session, "V_3 = 0.24 V").counterexample()
    assert told.kind == "counterexample"
    assert told.lines[0].startswith("Take k = ")
    assert told.lines[-1].endswith("?")


def test_at_the_end_the_wrong_line_stands_above_the_right_one(session: Session) -> None:
    before = after(session, "V_3 = 0.24 V", *SESSION[:-1])
    _, reply = before.state(SESSION[-1])
    place = reply.lines.index("wiper measured from the wrong end:")
    assert reply.lines[place + 1].startswith("  not   V_3 = ")
    assert reply.lines[place + 2].startswith("  but   V_3 = ")


def test_why_speaks_of_the_last_right_step(session: Session) -> None:
    assert "once a step is right" in session.why().lines[0].lower()
    assert session.state("V_3 = 0.56 V")[0].why().lines[0].startswith("V_3 = ")


def test_why_speaks_of_the_step_stated_last_not_of_the_last_of_the_walk(session: Session) -> None:
    stated = after(session, "V_2 = 0.56 V", "I_Ri = 29.3 uA", "V_3 = 0.56 V", "I_Rg = 1 A")
    assert stated.why().lines[0].startswith("V_3 = ")


def test_a_finished_session_takes_more_statements(session: Session) -> None:
    done = after(session, *SESSION)
    _, hint = done.hint(now=0.0)
    assert hint.kind == "done"
    _, reply = done.state("V_Rf = 1 V")
    assert reply.lines


def test_a_question_about_a_law_is_answered_and_costs_nothing(session: Session) -> None:
    asked, reply = session.state("may I use virtual ground at 2?")
    assert reply.kind == "may"
    assert reply.lines[0].startswith("No.")
    assert asked == session


def test_the_line_mode_word_is_heard_too(session: Session) -> None:
    _, reply = session.state("kcl at out")
    assert reply.kind == "may"
    assert "I_U1" in " ".join(reply.lines)


def asking(name: str) -> Session:
    """A session on the inverter with this ask."""
    netlist = inverter().netlist
    return Session(ask(Circuit(netlist.parts, netlist.values), name).begin())


@pytest.mark.parametrize(
    ("name", "texts"),
    [
        pytest.param("slip V_out", ("Ohm's law", "KCL", "rule 2", "no current", "kcl at 2"), id="find the slip"),
        pytest.param("which-way V_out Rf", ("Ohm's law", "kcl at 2"), id="which way"),
        pytest.param("path in 2 out", ("kvl", "KCL"), id="path sum"),
    ],
)
def test_a_law_by_name_is_an_answer_while_a_question_is_open(name: str, texts: tuple[str, ...]) -> None:
    for text in texts:
        assert asking(name).state(text)[1].kind != "may", text
        assert asking(name).state(f"may I use {text}")[1].kind == "may"
        assert asking(name).state(f"{text}?")[1].kind == "may"


def test_the_line_of_a_slip_and_then_its_law_by_name_are_the_whole_answer() -> None:
    names = {"ohm": "Ohm's law", "kcl": "KCL", "kvl": "kvl", "equal-inputs": "rule 2", "same-current": "rule 1"}
    for lot in range(6):
        netlist = inverter().netlist
        session = Session(ask(Circuit(netlist.parts, netlist.values), "slip V_out", lot=lot).begin())
        (posed,) = session.attempt.problem.posed
        assert isinstance(posed.question, Slip)
        session = after(session, f"line {posed.question.place + 1}")
        assert not session.attempt.done
        law = called(posed.question.laws[posed.question.place])[0]
        session, reply = session.state(names[law])
        assert session.attempt.done, reply.lines


@pytest.mark.parametrize(
    ("name", "text"),
    [
        pytest.param("which-way V_out Ri", "rises", id="which way"),
        pytest.param("path in 2 out", "Vin - V_Ri - V_Rf - V_out = 0", id="path sum"),
    ],
)
def test_an_open_question_takes_its_answer(name: str, text: str) -> None:
    session, reply = asking(name).state(text)
    assert session.attempt.done, reply.lines


def test_a_wrong_move_without_a_short_counterexample_is_told_from_none_named() -> None:
    fresh = Session(family("t-network").problem(seed=7).begin())
    assert "has a name" in fresh.counterexample().lines[0]
    step = next(step for step in fresh.attempt.lesson.walk(fresh.attempt.problem.targets) if step.quantity == "V_out")
    move = next(move for move in step.wrong_moves if move.key == "leg-left-out")
    named, reply = fresh.state(f"V_out = {float(move.exact):.9g} V")
    assert reply.kind == "wrong-move"
    assert named.attempt.counterexample() is None
    assert named.counterexample().lines[0].startswith("There is no short counterexample")


@pytest.mark.parametrize(
    ("name", "answers", "late"),
    [
        ("bench-which-way", ("falls", "stays", "falls"), "falls"),
        ("bench-slip", ("line 1 divider",), "line 5 KCL"),
    ],
)
def test_an_answer_to_a_settled_question_is_told_so(name: str, answers: tuple[str, ...], late: str) -> None:
    done = after(Session(family(name).problem(seed=1).begin()), *answers)
    further, reply = done.state(late)
    assert reply.lines[0].startswith("That question is answered.")
    assert further.misses == done.misses
    _, noise = done.state("colourless green")
    assert noise.kind == "unreadable"


def test_an_equation_that_was_right_and_new_is_taken_back() -> None:
    begun = Session(family("difference").problem(seed=3).begin())
    stated, right = begun.state("Va - V_out = -3.6 V")
    again, known = stated.state("Va - V_out = -3.6 V")
    assert (right.kind, known.kind) == ("right", "known")
    back, reply = again.back()
    assert reply.lines == ("Taken back: Va - V_out = -3.6 V",)
    assert back.state("Va - V_out = -3.6 V")[1].kind == "right", "it is new once more"
    assert back.back()[1].lines == ("There is nothing to take back.",)


def test_the_statement_taken_back_is_the_last_one_of_either_kind() -> None:
    begun = Session(family("difference").problem(seed=3).begin())
    stated = after(begun, "V_3 = 1.48 V", "Va - V_out = -3.6 V")
    first, equation = stated.back()
    _, value = first.back()
    assert equation.lines == ("Taken back: Va - V_out = -3.6 V",)
    assert value.lines == ("Taken back: V_3 = 1.48 V",)
