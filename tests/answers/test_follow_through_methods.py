"""Follow-through by laws of every method and in any order of statement: contributions, their sum, node equations."""

from __future__ import annotations

import pytest

from problems import Problem, family

VALUES = {"Va": "-0.5", "Vb": "1.8", "R1": "10k", "R2": "8.2k", "R3": "12k", "R4": "56k"}


def problem() -> Problem:
    return family("difference").problem(values=VALUES)


CARRIED = [
    pytest.param("V_out", "5 V", {"V_out[Va]": "2 V", "V_out[Vb]": "3 V"}, "superposition", id="a sum of own parts"),
    pytest.param("V_out[Va]", "0.41 V", {"I_R1[Va]": "-50 uA"}, None, id="a contribution that is right all the same"),
    pytest.param("V_out[Vb]", "3.64 V", {"V_3[Vb]": "2 V"}, None, id="within the circuit of one source"),
    pytest.param("V_2", "1 V", {"V_3": "1 V"}, "equal-inputs", id="a plain law"),
    pytest.param("I_R2", "-100 uA", {"I_R1": "-100 uA"}, "same-current", id="forwards"),
    pytest.param("I_R1", "-100 uA", {"I_R2": "-100 uA"}, "same-current", id="backwards"),
    pytest.param("V_out", "2.23 V", {"V_2": "1 V"}, None, id="a node equation from an own node voltage"),
]


@pytest.mark.parametrize(("name", "text", "stated", "law"), CARRIED)
def test_any_law_from_own_values_counts(name: str, text: str, stated: dict[str, str], law: str | None) -> None:
    verdict = problem().check(name, text, stated=stated)
    assert verdict.right, verdict.message
    assert law is None or (verdict.kind, verdict.law) == ("right-carried", law)


def test_a_sum_of_contributions_in_names_is_a_law_of_its_own() -> None:
    verdict = problem().check("V_out", "V_out = V_out[Va] + V_out[Vb]", stated={"V_out[Va]": "0 V"})
    assert verdict.kind == "right-carried", verdict.message


def test_a_sum_that_lost_a_part_to_a_slip_is_withheld() -> None:
    right = problem().answer("V_out[Vb]")
    verdict = problem().check("V_out", f"{float(right):.6f} V", stated={"V_out[Va]": "0 V"})
    assert not verdict.right
    assert "V_out[Va]" in verdict.message
