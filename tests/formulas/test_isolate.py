"""An equation solved for one name in it, as by hand."""

from __future__ import annotations

import pytest
from station_lesson import quantity, vane

from problems.answers.vocabulary import label, vocabulary
from problems.formulas.expression import Expression, Name
from problems.formulas.isolate import isolated
from problems.formulas.parser import parse_sides
from problems.formulas.printers import text

NETLIST = vane().netlist


def sides(equation: str) -> list[Expression]:
    found = parse_sides(equation, vocabulary(NETLIST))
    assert isinstance(found, tuple)
    return [side[0].expression for side in found]


def solved(equation: str, name: str) -> str | None:
    left, right = sides(equation)
    found = isolated(left, right, quantity(vane(), name))
    return None if found is None else text(found, lambda key: label(key, NETLIST), ascii=True)


CASES = [
    pytest.param("V_2 - Rf*I_Rf = V_out", "I_Rf", "(V_2 - V_out)/Rf", id="a name under a minus and a product"),
    pytest.param("Vin*Rf/(V_2 - V_out) = Ri", "V_2", "Vin*Rf/Ri + V_out", id="a name under a slash"),
    pytest.param("I_Ri - I_Rf - I_Rg = 0", "I_Rg", "I_Ri - I_Rf", id="a zero leaves no trace"),
    pytest.param("-V_2 = V_3", "V_2", "-V_3", id="a sign"),
    pytest.param("I_Ri*(Ri||Rf) = V_2", "I_Ri", "V_2/(Ri || Rf)", id="beside a parallel"),
    pytest.param(
        "(Vin - V_2)/Ri = V_2/Rg + (V_2 - V_out)/Rf",
        "V_2",
        "(Vin/Ri + V_out/Rf)/(1/Ri + 1/Rg + 1/Rf)",
        id="a node equation, terms gathered",
    ),
    pytest.param("V_2*V_2 = V_3*V_3", "V_2", None, id="not linear"),
    pytest.param("V_3/V_2 = V_2", "V_2", None, id="above and below"),
    pytest.param("sqrt(V_2) = V_3", "V_2", None, id="under a root"),
    pytest.param("V_3 = V_out", "V_2", None, id="a name that is not there"),
]


@pytest.mark.parametrize(("equation", "name", "expected"), CASES)
def test_an_equation_is_solved_for_a_name(equation: str, name: str, expected: str | None) -> None:
    assert solved(equation, name) == expected


def test_what_is_found_has_the_true_value() -> None:
    equation, values = "(Vin - V_2)/Ri = V_2/Rg + (V_2 - V_out)/Rf", vane().values
    for name in ("V_2", "V_out"):
        left, right = sides(equation)
        found = isolated(left, right, quantity(vane(), name))
        assert found is not None
        assert found.at(values) == Name(quantity(vane(), name)).at(values)
