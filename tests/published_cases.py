"""The published cases of ``tests/published/cases.toml`` as circuits."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from problems.circuits.netlist import Netlist
from problems.circuits.parts import Part
from problems.circuits.parts.capacitor import Capacitor
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.inductor import Inductor
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.potentiometer import Potentiometer
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource

MAKERS: Mapping[str, Callable[..., Part]] = {
    "V": VoltageSource,
    "I": CurrentSource,
    "R": Resistor,
    "C": Capacitor,
    "L": Inductor,
    "O": OpAmp,
    "P": Potentiometer,
}


def published(*kinds: str) -> list[dict[str, Any]]:
    """The cases of these kinds that bring a circuit."""
    with (Path(__file__).parent / "published" / "cases.toml").open("rb") as file:
        cases: list[dict[str, Any]] = tomllib.load(file)["case"]
    return [case for case in cases if case["kind"] in kinds and "elements" in case]


def circuit_of(case: Mapping[str, Any]) -> Netlist:
    """The circuit of a case."""
    return Netlist(MAKERS[kind](*fields) for kind, *fields in case["elements"])
