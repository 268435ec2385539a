"""Find the slip: one line is wrong by its own law, all others follow; what points at it is right, and nothing else."""

from __future__ import annotations

from contextlib import suppress
from fractions import Fraction
from functools import cache

import pytest
from resistive_families import resistive_families
from station_lesson import vane

from problems import Circuit, Family, OpAmp, Resistor, Verdict, VoltageSource, ask
from problems.asks.question import AskFault, NotNumeric
from problems.asks.slip import WELL_OVER, CarriedWorking, NoSlip, Slip, pose
from problems.derivation.lesson import Lesson

LOTS = range(60)


@cache
def slip(key: str) -> Slip:
    """The slip of that misuse in the working of V_out of the vane amplifier."""
    for lot in LOTS:
        found = pose(vane(), {"slip": "V_out"}, lot)
        if found.misuse.key == key:
            return found
    raise LookupError(key)


def said(question: Slip, *texts: str) -> tuple[Verdict, bool]:
    """The last verdict, and whether the question is answered then."""
    circuit = Circuit(question.lesson.netlist.parts, question.lesson.netlist.values)
    problem = ask(circuit, "slip V_out", lot=_lot(question))
    attempt = problem.begin()
    for text in texts:
        attempt, verdict = attempt.state(text)
    return verdict, attempt.done


def _lot(question: Slip) -> int:
    return next(lot for lot in LOTS if pose(question.lesson, {"slip": "V_out"}, lot) == question)


# In the vane amplifier the working has six lines: V_3, V_2, I_Ri, I_Rg, I_Rf, V_out.
@pytest.mark.parametrize(
    ("text", "kind", "done", "part"),
    [
        pytest.param("line 5 kcl", "right", True, "leaves out the current of R", id="line and law"),
        pytest.param(
            "5: KCL at pin 2", "right", True, "I_Rf = I_Ri − I_Rg", id="a bare number and the law at its place"
        ),
        pytest.param("I_Rf kirchhoff's current law", "right", True, "KCL", id="the quantity and the law in full"),
        pytest.param("the current law is broken in line 5", "right", True, "KCL", id="in a sentence"),
        pytest.param("I_Rf = I_Ri - I_Rg", "right", True, "KCL", id="the right relation"),
        pytest.param("I_Ri = I_Rg + I_Rf", "right", True, "KCL", id="the right relation for another quantity"),
        pytest.param("I_Ri - I_Rg - I_Rf = 0", "right", True, "KCL", id="the right relation as an equation"),
        pytest.param("I_Rf = -17.4 uA", "right", True, "−17.4", id="the right value"),
        pytest.param("I_Rf = -17.4e-6", "right", True, "−17.4", id="the right value without its unit"),
        pytest.param("line 5", "right", False, "Which law does it break?", id="the line alone"),
        pytest.param("I_Rf", "right", False, "Which law does it break?", id="the quantity alone"),
        pytest.param("line 5 ohm", "wrong", False, "that law is not the one", id="right line, another law"),
        pytest.param("line 6", "wrong", False, "follows from the lines above", id="a later line"),
        pytest.param("V_out kvl", "wrong", False, "follows from the lines above", id="a later line with its law"),
        pytest.param("line 3", "wrong", False, "Line 3 is right (Ohm)", id="an earlier line"),
        pytest.param("V_2", "wrong", False, "Line 2 is right", id="an earlier quantity"),
        pytest.param("kcl", "unreadable", False, "In which line", id="the law alone"),
        pytest.param("line 7", "unreadable", False, "lines 1 to 6", id="no such line"),
        pytest.param("hello", "unreadable", False, "Point at the first line", id="something else"),
        pytest.param("V_2 = V_3", "known", False, "line 2 holds", id="what an earlier line says"),
        pytest.param("V_out = 1.13 V", "known", False, "only follows", id="the true value of a later line"),
        pytest.param("I_Rf = 29.3 uA", "wrong-move", False, "leaves out", id="a value that leaves a branch out"),
    ],
)
def test_what_points_at_the_slip_is_right(text: str, kind: str, done: bool, part: str) -> None:
    verdict, answered = said(slip("branch-left-out"), text)
    assert (verdict.kind, answered) == (kind, done), verdict.message
    assert part in verdict.message


def test_the_line_and_then_the_law_is_the_whole_answer() -> None:
    assert said(slip("branch-left-out"), "line 5", "kcl")[1]
    assert said(slip("branch-left-out"), "line 5 ohm", "kcl")[1], "a wrong law for the right line keeps the line"
    assert said(slip("branch-left-out"), "line 5", "-17.4 uA")[1]
    assert not said(slip("branch-left-out"), "line 5", "kvl")[1]


def test_a_reply_to_a_later_line_names_no_culprit() -> None:
    message = said(slip("branch-left-out"), "line 6")[0].message
    assert "5" not in message
    assert "KCL" not in message


def test_a_try_is_counted_for_a_wrong_line_and_for_a_wrong_law_alone() -> None:
    question = slip("branch-left-out")
    costs = {
        text: said(question, text)[0].costs_a_try for text in ("line 6", "line 5 ohm", "kcl", "hello", "V_2 = V_3")
    }
    assert costs == {"line 6": True, "line 5 ohm": True, "kcl": False, "hello": False, "V_2 = V_3": False}


@pytest.mark.parametrize("known", [f for f in resistive_families() if f.asks], ids=lambda known: known.name)
def test_one_line_is_wrong_by_its_own_law_and_the_others_follow(known: Family) -> None:
    lessons = [known.problem(seed=seed).circuit.lesson for seed in range(25)]
    has_output = "V_out" in lessons[0].netlist.names.readings
    target = "V_out" if has_output else known.problem(seed=0).steps[-1].quantity
    posed = 0
    for seed, lesson in enumerate(lessons):
        with suppress(NoSlip, CarriedWorking):
            _check(pose(lesson, {"slip": target}, seed), lesson)
            posed += 1
    by_single_laws = lessons[0].laws.walk((lessons[0].netlist.names.read(target),)) is not None
    assert posed >= 20 if by_single_laws else posed == 0


def _check(question: Slip, lesson: Lesson) -> None:
    """By laws taken from the circuit anew, on the values that the lines above show."""
    true = lesson.values
    laws = lesson.laws.walk((question.target,))
    assert laws is not None
    shown = {**lesson.symbols, **lesson.given_values}
    wrong = []
    for place, (law, step) in enumerate(zip(laws, question.steps, strict=True)):
        by_law = Fraction(law.relation.at(shown))
        shown[law.head] = step.exact
        assert step.target == law.head
        if step.exact != by_law:
            wrong.append(place)
        elif not wrong:
            assert step.exact == true[law.head], "a line above the slip is true"
    assert wrong == [question.place]
    culprit = laws[question.place].head
    for quantity in (culprit, question.target):
        assert abs(shown[quantity] - true[quantity]) > WELL_OVER * abs(true[quantity])
    assert shown[culprit] != 0


def test_the_lot_chooses_lines_and_misuses_and_the_same_lot_the_same() -> None:
    found = [pose(vane(), {"slip": "V_out"}, lot) for lot in LOTS]
    assert found == [pose(vane(), {"slip": "V_out"}, lot) for lot in LOTS]
    assert {question.place for question in found} >= {2, 3, 4, 5}
    assert len({question.misuse.key for question in found}) >= 6


def test_a_rung_is_opened_at_a_time_and_the_last_one_shows_the_answer() -> None:
    attempt = ask(Circuit(vane().netlist.parts, vane().netlist.values), "slip V_out").begin()
    texts = []
    for rung in range(1, 5):
        attempt, hint = attempt.hint()
        assert hint is not None
        assert (hint.rung, hint.of, hint.quantity) == (rung, 4, "slip V_out")
        texts.append(hint.text)
        assert attempt.done == (rung == 4)
    question = pose(vane(), {"slip": "V_out"}, 0)
    assert question.right.written() in texts[3]
    assert all(question.right.written() not in text for text in texts[:3])


def _pump() -> Circuit:
    """A current pump into a load on ground, whose working carries an unknown."""
    parts = [
        Resistor(name, *ends, "10k") for name, ends in {"R1": ("in", "a"), "R2": ("a", "o"), "RL": ("a", "0")}.items()
    ]
    parts += [Resistor("R3", "0", "b", "10k"), Resistor("R4", "b", "o", "10k")]
    return Circuit([VoltageSource("Vin", "in", "0", "1 V"), *parts, OpAmp("U1", plus="a", minus="b", out="o")])


def _follower(value: str | None) -> Circuit:
    return Circuit([VoltageSource("Vin", "in", "0", value), OpAmp("U1", plus="in", minus="out", out="out")])


@pytest.mark.parametrize(
    ("circuit", "target", "cause"),
    [
        pytest.param(_follower("1 V"), "V_out", NoSlip, id="a working of one line"),
        pytest.param(_follower(None), "V_out", NotNumeric, id="values that are only names"),
        pytest.param(_pump(), "I_RL", CarriedWorking, id="a working with an unknown"),
    ],
)
def test_a_circuit_without_a_fit_slip_is_refused_politely(circuit: Circuit, target: str, cause: type[AskFault]) -> None:
    with pytest.raises(cause) as fault:
        ask(circuit, f"slip {target}")
    assert fault.value.says
    assert fault.value.remedy
