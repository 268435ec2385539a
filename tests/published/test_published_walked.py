"""Published worked examples with capacitors, walked to the printed figure; ``cases.toml`` names their sources."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from filters import netlist_of
from published_cases import circuit_of, published

from problems.problem import Circuit

WITH_CIRCUIT = published("first-order", "ac")
GIVEN: Mapping[str, Mapping[str, Any]] = {
    case["id"]: case for case in tomllib.loads((Path(__file__).parent / "cases.toml").read_text("utf-8"))["case"]
}


def printed(case: str, of: str) -> tuple[float, float]:
    """Figure and tolerance of what a case states."""
    found = next(expect for expect in GIVEN[case]["expect"] if expect["of"] == of)
    return found["value"], found["tolerance"]


def walked(circuit: Circuit, target: str) -> float:
    """Where the walk to a quantity ends."""
    step = circuit.walk(target)[-1]
    assert step.quantity == target
    return float(step.exact)


@pytest.mark.parametrize("case", WITH_CIRCUIT, ids=lambda case: case["id"])
def test_a_case_at_a_frequency_is_walked_to_what_is_printed(case: dict[str, Any]) -> None:
    netlist, judged = circuit_of(case), 0
    for expect in case["expect"]:
        if expect["quantity"] == "value":
            continue
        frequency = expect.get("frequency", case["given"].get("frequency"))
        circuit = Circuit(netlist.parts, {"f": repr(frequency)})
        target = {"gain": "|gain|", "phase": "phase V_out"}.get(expect["quantity"], "|V_out|")
        assert walked(circuit, target) == pytest.approx(expect["value"], rel=expect["tolerance"])
        judged += 1
    assert judged


INTEGRATOR = "V Vin in 0 {vin} | R R in n {r} | C C n out {c} | O U1 0 n out"
LEAKY = "V Vin in 0 {vin} | R R in n {r} | C C n out {c} | R RF n out {rf} | O U1 0 n out"
DIFFERENTIATOR = "V Vin in 0 1V | C C in n {c} | R R n out {r} | O U1 0 n out"
WALKED: list[tuple[str, str, str, Mapping[str, str], str]] = [
    (
        "bird-integrator-100ms",
        "vo",
        INTEGRATOR.format(vin="-0.75V", r="200k", c="2.5u"),
        {"t": "0.1"},
        "V_out",
    ),
    ("ss-miller-leaky", "vo_ideal", INTEGRATOR.format(vin="1V", r="10k", c="10n"), {"t": "1m"}, "V_out"),
    ("ss-miller-leaky", "vo_leaky", LEAKY.format(vin="1V", r="10k", c="10n", rf="1M"), {"t": "1m"}, "V_out"),
    ("as-differentiator-ramp", "vo", DIFFERENTIATOR.format(c="0.2u", r="5k"), {"slope_Vin": "2000"}, "V_out"),
    (
        "as-opamp-rc-step",
        "vo_inf",
        "V Vin a 0 3V | R Ra a p 10k | R Rb p 0 20k | R R1 n 0 20k | R Rf n out 50k | C C n out 1u | O U1 p n out",
        {"t": "50m"},
        "V_out(t=inf)",
    ),
    (
        "as-opamp-rc-step",
        "vo_50ms",
        "V Vin a 0 3V | R Ra a p 10k | R Rb p 0 20k | R R1 n 0 20k | R Rf n out 50k | C C n out 1u | O U1 p n out",
        {"t": "50m"},
        "V_out",
    ),
    (
        "bell-coupling-cutoff",
        "gain",
        "V Vin in 0 1V | R R3 n 0 2.2k | R R2 n o 50k | O U1 in n o | C C2 o out 8.2u | R Rl out 0 600",
        {},
        "gain(f=inf)",
    ),
    (
        "bell-coupling-cutoff",
        "f_low",
        "V Vin in 0 1V | R R3 n 0 2.2k | R R2 n o 50k | O U1 in n o | C C2 o out 8.2u | R Rl out 0 600",
        {},
        "f_c",
    ),
]


@pytest.mark.parametrize(
    ("case", "of", "net", "values", "target"), WALKED, ids=[f"{case[0]} {case[1]}" for case in WALKED]
)
def test_a_case_is_walked_to_what_is_printed(
    case: str, of: str, net: str, values: Mapping[str, str], target: str
) -> None:
    value, tolerance = printed(case, of)
    assert walked(netlist_of(net, values), target) == pytest.approx(value, rel=tolerance)


DESIGNED: list[tuple[str, str, str, Mapping[str, str], str, float]] = [
    (
        "gayakwad-differentiator-design",
        "Rf",
        DIFFERENTIATOR.format(c="0.1u", r="{value}"),
        {"f": "1k"},
        "|gain|",
        1.0,
    ),
    (
        "gayakwad-differentiator-design",
        "R1",
        "V Vin in 0 1V | R R1 in a {value} | C C1 a n 0.1u | R Rf n out 1.5k | O U1 0 n out",
        {},
        "f_c",
        20e3,
    ),
    (
        "gayakwad-differentiator-design",
        "Cf",
        "V Vin in 0 1V | R R1 in n 1k | R Rf n out 1.5k | C Cf n out {value} | O U1 0 n out",
        {},
        "tau",
        82 * 1e-7,
    ),
    (
        "ss-stc-lowpass-design",
        "C2",
        "V V1 in 0 1V | R R1 in n 1k | R R2 n out 100k | C C2 n out {value} | O U1 0 n out",
        {},
        "f_c",
        1000.0,
    ),
    (
        "as-lowpass-500hz",
        "Rf",
        "V V1 in 0 1V | R Ri in n 397.5 | R Rf n out {value} | C Cf n out 0.2u | O U1 0 n out",
        {},
        "f_c",
        500.0,
    ),
    (
        "as-lowpass-500hz",
        "Ri",
        "V V1 in 0 1V | R Ri in n {value} | R Rf n out 1.59k | C Cf n out 0.2u | O U1 0 n out",
        {},
        "gain(f=0)",
        -4.0,
    ),
    (
        "sivakumar-integrator-tau",
        "tau",
        "V Vin in 0 -1V | R R in n 10k | C C n out {value}e-4 | O U1 0 n out",
        {"t": "2m"},
        "V_out",
        10.0,
    ),
    (
        "franco-integrator-offset-sat",
        "t_plain",
        "I IB n 0 80n | R R n 0 100k | C C n out 1n | O U1 0 n out",
        {"t": "{value}"},
        "V_out",
        13.0,
    ),
    (
        "franco-integrator-offset-sat",
        "t_comp",
        "I IB n 0 20n | R R n 0 100k | C C n out 1n | O U1 0 n out",
        {"t": "{value}"},
        "V_out",
        13.0,
    ),
]
"""Where a case states a part's value or a time: the circuit with it, and what it is made for."""


@pytest.mark.parametrize("design", DESIGNED, ids=[f"{case[0]} {case[1]}" for case in DESIGNED])
def test_a_designed_value_gives_what_it_is_made_for(
    design: tuple[str, str, str, Mapping[str, str], str, float],
) -> None:
    case, of, net, values, target, wanted = design
    value, tolerance = printed(case, of)
    put = f"{value:.12g}"
    circuit = netlist_of(
        net.replace("{value}", put), {name: text.replace("{value}", put) for name, text in values.items()}
    )
    assert walked(circuit, target) == pytest.approx(wanted, rel=max(tolerance, 2e-3))


def test_no_case_is_left_out() -> None:
    kinds = ("first-order", "ac", "time")
    wanted = {case for case, content in GIVEN.items() if content["kind"] in kinds}
    here = {case["id"] for case in WITH_CIRCUIT} | {row[0] for row in WALKED} | {row[0] for row in DESIGNED}
    assert here == wanted
