"""The catalogue of wrong moves beside this project's tests, with its op-amp circuits built as netlists.

``tests/derivation/wrong_moves.toml`` names the source of every entry. Node names are those of its ``net`` lines.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterator, Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any, NamedTuple

from problems.circuits.netlist import Netlist
from problems.circuits.parts import Part
from problems.circuits.parts.current_source import CurrentSource
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.potentiometer import Potentiometer
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource

CATALOGUE = tomllib.loads((Path(__file__).parent / "derivation" / "wrong_moves.toml").read_text("utf-8"))

NETS = {
    "inv": "V Vin in 0 | R R1 in n | R Rf n out | O U1 0 n out | R RL out 0",
    "noninv": "V Vin in 0 | R Rs in p | R R1 n 0 | R Rf out n | O U1 p n out | R RL out 0",
    "buf": "V Vs a 0 | R Ra a p | R Rb p 0 | O U1 p out out | R RL out 0",
    "invbias": "V Vin in 0 | V Vref ref 0 | R R1 in n | R Rf n out | O U1 ref n out",
    "sum": "V V1 a 0 | V V2 b 0 | V V3 c 0 | R R1 a n | R R2 b n | R R3 c n | R Rf n out | O U1 0 n out",
    "diff": "V V1 a 0 | V V2 b 0 | R R1 a n | R R2 n out | R R3 b p | R R4 p 0 | O U1 p n out",
    "nisum": "V V1 a 0 | V V2 b 0 | R Ra a p | R Rb b p | R R1 n 0 | R Rf n out | O U1 p n out",
    "pol": "V Vin in 0 | R R1 in n | R Rf n out | P Rp in 0 p | O U1 p n out",
    "casc": "V Vin in 0 | R R1 in n1 | R Rf1 n1 o1 | R R2 o1 n2 | R Rf2 n2 out | O U1 0 n1 o1 | O U2 0 n2 out",
    "tnet": "V Vin in 0 | R R1 in n | R R2 n x | R R3 x out | R R4 x 0 | O U1 0 n out",
    "iv": "I Is 0 n | R Rf n out | O U1 0 n out | R RL out 0",
}
"""The circuits of the twelve families, part by part: letter, name, nodes; a potentiometer's wiper comes last."""

STEPS = {
    "Vout": "V_out", "kvl": "V_out", "vn": "V_n", "vp": "V_p", "vx": "V_x", "iout": "I_U1", "iout1": "I_U1",
    "iR1": "I_R1", "iRf": "I_Rf", "iRa": "I_Ra", "iL": "I_RL", "iR2": "I_R2", "iR3": "I_R3", "iR4": "I_R4",
}  # fmt: skip
"""Steps of the catalogue to quantities. Steps in decibels or of one source alone ask for other things."""


class Entry(NamedTuple):
    """One wrong move: where, what is asked, the right and the wrong value."""

    id: str
    name: str
    netlist: Netlist
    step: str
    right: float
    wrong: float


def built(net: str, values: Mapping[str, Fraction], renamed: Mapping[str, str] | None = None) -> Netlist:
    """A circuit of ``NETS``; ``renamed`` gives parts other names."""
    new = renamed or {}
    parts = [_part(*row.split(), names=new) for row in net.split(" | ")]
    return Netlist(parts, {new.get(name, name): value for name, value in values.items()})


def _part(letter: str, name: str, *nodes: str, names: Mapping[str, str]) -> Part:
    own = names.get(name, name)
    if letter == "O":
        return OpAmp(own, plus=nodes[0], minus=nodes[1], out=nodes[2])
    if letter == "P":
        return Potentiometer(own, nodes[0], nodes[1], wiper=nodes[2])
    kinds: dict[str, Any] = {"R": Resistor, "V": VoltageSource, "I": CurrentSource}
    return kinds[letter](own, *nodes)  # type: ignore[no-any-return]


def entries() -> Iterator[Entry]:
    """Every entry of the catalogue that asks a step of one of these circuits."""
    examples = {circuit["id"]: circuit.get("example", {}) for circuit in CATALOGUE["circuit"]}
    for move in CATALOGUE["move"]:
        net, step = NETS.get(move["circuit"]), STEPS.get(move["step"])
        if net is None or step is None:
            continue
        example = examples[move["circuit"]]
        wrong = value_of(move["wrong"], example)
        values = {name: Fraction(repr(value)) for name, value in example.items()}
        yield Entry(move["id"], move["name"], built(net, values), step, value_of(move["correct"], example), wrong)


def value_of(formula: str, example: Mapping[str, float]) -> float:
    """A formula of the catalogue at its example values. It is our own data file, so Python may read it."""
    return float(eval(formula, {"sqrt": math.sqrt, "abs": abs, "exp": math.exp, "pi": math.pi, **example}))
