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
    "vi": "V Vin p 0 | R RL out n | R R n 0 | O U1 p n out",
    "ina": "V V1 a 0 | V V2 b 0 | R R1=R1 o1 g1 | R R1b=R1 o2 g2 | R RG g2 g1 | R R2=R2 o1 n | R R2b=R2 o2 p"
    " | R R3=R3 n out | R R3b=R3 p 0 | O U1 a g1 o1 | O U2 b g2 o2 | O U3 p n out",
    "divinv": "V Vs a 0 | R Ra a m | R Rb m 0 | R R1 m n | R Rf n out | O U1 0 n out",
    "divload": "V Vs a 0 | R Ra a m | R Rb m 0 | R RL m 0",
    "para": "V Vs a 0 | R R1 a 0 | R R2 a 0",
    "open": "V Vs a 0 | R R1 a b | R R2 c 0",
    "ground": "V V1 a 0 | V V2 b 0 | R Ra a m | R Rb m b",
}
"""The circuits, part by part: letter, name (= name of its value, where parts share it), nodes; a wiper comes last."""

PASSIVE = {"divload", "para", "open", "ground"}
"""The circuits without an op-amp."""

ONE_ON = {
    ("sum", "V2"): "V V2 b 0 | R R1 0 n | R R2 b n | R R3 0 n | R Rf n out | O U1 0 n out",
    ("diff", "V2"): "V V2 b 0 | R R1 0 n | R R2 n out | R R3 b p | R R4 p 0 | O U1 p n out",
    ("diff", "V1"): "V V1 a 0 | R R1 a n | R R2 n out | R R3 0 p | R R4 p 0 | O U1 p n out",
    ("invbias", "Vref"): "V Vref ref 0 | R R1 0 n | R Rf n out | O U1 ref n out",
}
"""Circuits with one source on; the others are wires."""

REACTIVE = {"integ", "deriv", "lp", "hp", "sk", "twolp"}
"""Circuits with a capacitor, which have tests of their own."""

OUT = {
    "gbw": "bandwidth: the op-amp is not ideal",
    "slew": "slew rate: the op-amp is not ideal",
    "schinv": "trigger: positive feedback",
    "schni": "trigger: positive feedback",
    "comp": "comparator: no feedback",
    "sat": "rail: the output is held by its supply",
    "offset": "offset and bias current: the op-amp is not ideal",
}
"""Circuits that are not linear and ideal, with the reason."""

OUT_STEPS = {
    ("casc", "dB"): "decibels: no quantity of a circuit",
    ("ina", "Acm1"): "gain for the common part of two sources: no quantity of a circuit",
}
"""Steps of the other circuits that ask for something else than a voltage or a current, with the reason."""

NOT_PRODUCED = {"di-s1-live": "the value with another source on is not that of the circuit with one on"}
"""Entries whose wrong value comes from no misuse yet, with the reason."""

STEPS = {
    "Vout": "V_out", "kvl": "V_out", "vn": "V_n", "vp": "V_p", "vx": "V_x", "iout": "I_U1", "iout1": "I_U1",
    "iR1": "I_R1", "iRf": "I_Rf", "iRa": "I_Ra", "iL": "I_RL", "iR2": "I_R2", "iR3": "I_R3", "iR4": "I_R4",
    "iRG": "I_RG", "Vo1": "V_o1", "vm": "V_m", "i1": "I_R1", "it": "-I_Vs", "vsw": "V_b,c", "vR1": "V_R1", "i": "I_Ra",
}  # fmt: skip
"""Steps of the catalogue to quantities; - where the arrow of the catalogue points the other way."""


class Entry(NamedTuple):
    """One wrong move: where, what is asked, the right and the wrong value. net: the circuit as in ``NETS``."""

    id: str
    name: str
    netlist: Netlist
    step: str
    right: float
    wrong: float
    net: str
    circuit: str


def built(net: str, values: Mapping[str, Fraction], renamed: Mapping[str, str] | None = None) -> Netlist:
    """A circuit of ``NETS``; ``renamed`` gives parts other names."""
    new = renamed or {}
    parts = [_part(*row.split(), names=new) for row in net.split(" | ")]
    return Netlist(parts, {new.get(name, name): value for name, value in values.items()})


def _part(letter: str, name: str, *nodes: str, names: Mapping[str, str]) -> Part:
    name, _, symbol = name.partition("=")
    own = names.get(name, name)
    if letter == "O":
        return OpAmp(own, plus=nodes[0], minus=nodes[1], out=nodes[2])
    if letter == "P":
        return Potentiometer(own, nodes[0], nodes[1], wiper=nodes[2])
    kinds: dict[str, Any] = {"R": Resistor, "V": VoltageSource, "I": CurrentSource}
    return kinds[letter](own, *nodes, names.get(symbol, symbol) or None)  # type: ignore[no-any-return]


def entries() -> Iterator[Entry]:
    """Every entry of the catalogue that asks a step of one of these circuits."""
    examples = {circuit["id"]: circuit.get("example", {}) for circuit in CATALOGUE["circuit"]}
    for move in CATALOGUE["move"]:
        circuit, asked = move["circuit"], move["step"]
        quantity, _, source = (
            asked.removesuffix("_only").rpartition("_") if asked.endswith("_only") else (asked, "", "")
        )
        net = ONE_ON.get((circuit, source)) if source else NETS.get(circuit)
        step = STEPS.get(quantity)
        if net is None or step is None:
            continue
        example = examples[circuit]
        sign = -1 if step.startswith("-") else 1
        right, wrong = (sign * value_of(move[which], example) for which in ("correct", "wrong"))
        names = {symbol for row in net.split(" | ") for symbol in row.split()[1].split("=")} | {"k"}
        values = {name: Fraction(repr(value)) for name, value in example.items() if name in names}
        netlist = built(net, values)
        yield Entry(move["id"], move["name"], netlist, step.removeprefix("-"), right, wrong, net, circuit)


def value_of(formula: str, example: Mapping[str, float]) -> float:
    """A formula of the catalogue at its example values. It is our own data file, so Python may read it."""
    return float(eval(formula, {"sqrt": math.sqrt, "abs": abs, "exp": math.exp, "pi": math.pi, **example}))
