"""Path sums: every true writing of the sum is accepted, each with one sign or part changed is told what it lacks."""

from __future__ import annotations

from itertools import product

import nodal_judge
import pytest
from station_lesson import inverter, vane

from problems import Circuit, CurrentSource, Family, Resistor, VoltageSource, ask, families
from problems.asks.hops import NoSuchPlace, PathBroken, PathEmpty, PathForks, PathRepeats, PathUnfinished
from problems.asks.path import PathSum, pose
from problems.asks.question import FRESH, AskFault, Unfinished
from problems.circuits.parts.base import part_of
from problems.derivation.lesson import Lesson
from problems.quantities import GROUND

SOURCES = {"voltage-source", "current-source"}


def path(lesson: Lesson, *words: str) -> PathSum:
    return pose(lesson, {"path": words}, 0)


def said(asked: PathSum, text: str) -> tuple[str, str]:
    answer = asked.judge(text, FRESH)
    assert answer is not None
    assert bool(answer.found) == (answer.verdict.kind == "right")
    return answer.verdict.kind, answer.verdict.message


@pytest.mark.parametrize(
    ("text", "kind", "part"),
    [
        pytest.param("Vin - I_Ri*Ri - I_Rf*Rf - V_out = 0", "right", "each fall", id="all on one side"),
        pytest.param("Vin = V_Ri + V_Rf + V_out", "right", "each fall", id="drops"),
        pytest.param("V_out = Vin - Ri*I_Ri - V_Rf", "right", "each fall", id="both ways of writing a fall"),
        pytest.param("-V_in + V_Ri + V_Rf + V_out = 0", "right", "each fall", id="every sign turned"),
        pytest.param("2*Vin = 2*(V_Ri + V_Rf + V_out)", "right", "each fall", id="all of it doubled"),
        pytest.param("Vin - I_Ri*Ri + I_Rf*Rf - V_out = 0", "wrong", "Rf has the other sign", id="a sign"),
        pytest.param("Vin + V_Ri - V_Rf - V_out = 0", "wrong", "Ri has the other sign", id="the sign of a drop"),
        pytest.param("Vin - I_Ri*Ri - V_out = 0", "wrong", "Rf is left out", id="a part left out"),
        pytest.param("Vin - V_Ri - V_Ri - V_Rf - V_out = 0", "wrong", "Ri is counted twice", id="a part twice"),
        pytest.param("Vin - V_Ri - V_Rf = 0", "wrong", "does node out stand", id="an end left out"),
        pytest.param("Vin - V_Ri - V_Rf - V_Rg - V_out = 0", "wrong", "Rg does not belong", id="a part off the path"),
        pytest.param("Vin - V_Ri - V_Rf - V_out = V_2", "wrong", "pin 2 does not belong", id="a node on the way"),
        pytest.param("Vin - V_2 = V_Ri", "wrong", "Rf is left out", id="true, but a part of the way"),
        pytest.param("I_Ri = I_Rg + I_Rf", "known", "true here", id="true, but another law"),
        pytest.param("V_2 = V_3", "known", "true here", id="true, but equal inputs"),
        pytest.param("V_Ri = V_Ri", "unreadable", "says nothing", id="empty"),
        pytest.param("Vin - V_Ri - V_Rf - V_out", "unreadable", "as an equation", id="no equation"),
        pytest.param("kvl", "unreadable", "as an equation", id="a law by its name"),
        pytest.param("Vin - 0.24 V - V_Rf - V_out = 0", "unreadable", "in names", id="figures"),
    ],
)
def test_a_sum_is_told_by_what_it_says(text: str, kind: str, part: str) -> None:
    assert said(path(vane(), "in", "2", "out"), text)[0] == kind, text
    assert part in said(path(vane(), "in", "2", "out"), text)[1]


def test_one_current_in_two_parts_may_have_one_name() -> None:
    asked = path(inverter(), "in", "2", "out")
    assert said(asked, "Vin - I_Ri*(Ri + Rf) - V_out = 0")[0] == "right"
    kind, message = said(path(vane(), "in", "2", "out"), "Vin - I_Ri*(Ri + Rf) - V_out = 0")
    assert (kind, "Rf is left out" in message) == ("wrong", True), "a branch leaves between the two"


def test_a_value_of_one_quantity_is_a_statement_about_the_circuit() -> None:
    assert path(vane(), "in", "2", "out").judge("V_2 = 0.56 V", FRESH) is None


@pytest.mark.parametrize(
    ("words", "text"),
    [
        pytest.param(("0", "in", "2", "0"), "Vin = I_Ri*Ri + I_Rg*Rg", id="a loop through the source"),
        pytest.param(("in", "3", "0"), "Vin - I_Rp.top*(1-k)*Rp - I_Rp.bottom*k*Rp = 0", id="both halves of a track"),
        pytest.param(("in", "3", "0"), "Vin = V_Rp", id="the drop of the whole track"),
        pytest.param(("in", "3", "0"), "Vin = I_Rp*Rp", id="one current through the whole track"),
        pytest.param(("out", "2", "Rg", "gnd"), "V_out + I_Rf*Rf - I_Rg*Rg = 0", id="against an arrow, part named"),
    ],
)
def test_loops_tracks_and_ends_at_ground_are_paths_too(words: tuple[str, ...], text: str) -> None:
    assert said(path(vane(), *words), text)[0] == "right"


def routes(lesson: Lesson) -> list[tuple[str, ...]]:
    """Paths of two or three parts with no node twice, but for loops; the part named between two nodes."""
    view = lesson.laws.view
    ends = {node: [end for end in view.meeting[node] if end.branch.start and end.branch.end] for node in view.meeting}
    found: list[tuple[str, ...]] = []

    def walk(words: tuple[str, ...], here: str, seen: tuple[str, ...]) -> None:
        if 2 <= len(seen) - 1 <= 3 and any(
            lesson.netlist.part(part_of(word)).kind not in SOURCES for word in words[1::2]
        ):
            found.append(words)
        if len(seen) > 3:
            return
        for end in ends[here]:
            if end.branch.name not in words and (end.far not in seen or end.far == seen[0]):
                walk((*words, end.branch.name, end.far), end.far, (*seen, end.far))

    for start in ends:
        walk((start,), start, (start,))
    return found


@pytest.mark.parametrize("known", families()[:20], ids=lambda known: known.name)
def test_true_sums_are_accepted_and_each_with_one_sign_or_term_changed_refused(known: Family) -> None:
    lesson = known.problem(seed=3).circuit.lesson
    truth = nodal_judge.judge(lesson.netlist)
    for words in routes(lesson)[:12]:
        asked = path(lesson, *words)
        for form in ("current", "drop"):
            terms = written(asked, form)
            assert abs(worth(asked, terms, truth)) < 1e-9
            assert said(asked, summed(terms))[0] == "right", (words, summed(terms))
            for place in range(len(terms)):
                turned = [(-s if at == place else s, t) for at, (s, t) in enumerate(terms)]
                without = [term for at, term in enumerate(terms) if at != place]
                twice = [*terms, terms[place]]
                for changed in (turned, without, twice):
                    answer = asked.judge(summed(changed), FRESH) if changed else None
                    assert answer is None or not answer.found, (words, summed(changed))


def written(asked: PathSum, form: str) -> list[tuple[int, str]]:
    """The terms of a sum as a student writes them, with signs; made from the netlist alone."""
    netlist = asked.lesson.netlist
    terms = [(1, asked.start)] if not asked.closed else []
    found = [(sign, f"V_{node}") for sign, node in terms if node != GROUND]
    for hop in asked.hops:
        symbol = netlist.part(hop.branch.part).parameters[0].symbol
        half = hop.branch.half
        if netlist.part(hop.branch.part).kind in SOURCES:
            found.append((-hop.sign, f"V_{hop.branch.part}"))
        elif half or form == "current":
            share = {
                "": "",
                "top": f"*(1-{_share(asked, hop.branch.part)})",
                "bottom": f"*{_share(asked, hop.branch.part)}",
            }
            found.append((-hop.sign, f"I_{hop.branch.name}*{symbol}{share[half]}"))
        else:
            found.append((-hop.sign, f"V_{hop.branch.part}"))
    return found if asked.closed or asked.end == GROUND else [*found, (-1, f"V_{asked.end}")]


def _share(asked: PathSum, part: str) -> str:
    parameters = asked.lesson.netlist.part(part).parameters
    return parameters[1].symbol if len(parameters) > 1 else ""


def summed(terms: list[tuple[int, str]]) -> str:
    return " ".join(f"{'+' if sign > 0 else '-'} {text}" for sign, text in terms).removeprefix("+ ") + " = 0"


def worth(asked: PathSum, terms: list[tuple[int, str]], truth: nodal_judge.Judged) -> float:
    """What the sum comes to by the float solver: the falls from its node voltages."""
    volts = truth.voltages
    falls = sum(volts[hop.start] - volts[hop.end] for hop in asked.hops)
    ends = 0.0 if asked.closed else volts[asked.start] - volts[asked.end]
    assert len(terms) >= len(asked.hops)
    return ends - falls


def network() -> Circuit:
    parts = [
        VoltageSource("V1", "a", "0", "5 V"),
        Resistor("R1", "a", "b", "1k"),
        Resistor("R2", "a", "b", "2k"),
        Resistor("R3", "b", "0", "3k"),
        CurrentSource("I1", "0", "b", "1 mA"),
    ]
    return Circuit(parts)


@pytest.mark.parametrize(
    ("text", "cause"),
    [
        pytest.param("path", Unfinished, id="no path"),
        pytest.param("path a", Unfinished, id="one node"),
        pytest.param("path a-z", NoSuchPlace, id="a node that is not there"),
        pytest.param("path z-a", NoSuchPlace, id="a start that is not there"),
        pytest.param("path R1-b", PathUnfinished, id="begun with a part"),
        pytest.param("path a-R1", PathUnfinished, id="ended with a part"),
        pytest.param("path a-b", PathForks, id="two parts join the nodes"),
        pytest.param("path a-R3-b", PathBroken, id="a part that is elsewhere"),
        pytest.param("path a-R1-b-R1-a", PathRepeats, id="a part twice"),
        pytest.param("path a-0", PathEmpty, id="a source between its own ends"),
    ],
)
def test_a_path_that_is_none_is_refused_with_a_remedy(text: str, cause: type[AskFault]) -> None:
    with pytest.raises(cause) as fault:
        ask(network(), text)
    assert fault.value.says
    assert fault.value.remedy


def test_a_path_may_cross_a_current_source() -> None:
    asked = path(network().lesson, "a", "R1", "b", "I1", "0")
    assert said(asked, "V1 - I_R1*R1 + V_I1 = 0")[0] == "right"


def test_a_path_of_names_alone_is_judged_as_one_of_numbers() -> None:
    circuit = Circuit([VoltageSource("V1", "a", "0"), Resistor("R1", "a", "b"), Resistor("R2", "b", "0")])
    problem = ask(circuit, "path a-b-0")
    assert problem.asks == ("path a-b-0",)
    attempt, verdict = problem.begin().state("V1 = I_R1*R1 + I_R2*R2")
    assert (verdict.kind, attempt.done) == ("right", True), verdict.message


def test_help_names_the_parts_then_the_rule_then_the_sum() -> None:
    attempt = ask(Circuit(vane().netlist.parts, vane().netlist.values), "path in-2-out").begin()
    texts = []
    while not attempt.done:
        attempt, hint = attempt.hint()
        assert hint is not None
        texts.append(hint.text)
    assert "Ri, Rf" in texts[0]
    assert "along the arrow" in texts[1]
    assert texts[2] == "Vin − I_Ri·Ri − I_Rf·Rf − V_out = 0"
    assert "8.2\u2009kΩ" in texts[3]


def test_every_product_of_signs_but_two_is_refused() -> None:
    asked = path(vane(), "in", "2", "out")
    right = [signs for signs in product("+-", repeat=4) if said(asked, _signed(signs))[0] == "right"]
    assert right == [("+", "-", "-", "-"), ("-", "+", "+", "+")]


def _signed(signs: tuple[str, ...]) -> str:
    return (
        " ".join(f"{sign} {term}" for sign, term in zip(signs, ("Vin", "V_Ri", "V_Rf", "V_out"), strict=True)) + " = 0"
    )
