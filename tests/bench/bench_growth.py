"""How a walk grows with the circuit: up to 60 parts and 10 op-amps, nothing kept from before and structure kept.

Run: ``python tests/bench/bench_growth.py``. Beside each walk stands the exact solution of the same circuit.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from problems.circuits.netlist import Netlist
from problems.circuits.parts import Part
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.resistor import Resistor
from problems.circuits.parts.voltage_source import VoltageSource
from problems.circuits.solution import exact_values
from problems.derivation import lawset
from problems.derivation.lesson import Lesson
from problems.derivation.step import Step
from problems.quantities import Quantity, voltage

ROUNDS = 3


def ladder(sections: int) -> tuple[list[Part], str]:
    """Rails and rungs, the far end asked."""
    parts: list[Part] = [VoltageSource("Vin", "g0", "0", "10 V")]
    for number in range(1, sections + 1):
        parts.append(Resistor(f"Rs{number}", f"g{number - 1}", f"g{number}", f"{number + 1}k"))
        parts.append(Resistor(f"Rp{number}", f"g{number}", "0", f"{2 * number + 3}k"))
    return parts, f"g{sections}"


def converter(bits: int) -> tuple[list[Part], str]:
    """R-2R ladder with a source for each bit, into an inverting stage."""
    parts: list[Part] = [Resistor("Rt", "g1", "0", "20k")]
    for number in range(1, bits + 1):
        parts.append(VoltageSource(f"V{number}", f"b{number}", "0", f"{number} V"))
        parts.append(Resistor(f"Rb{number}", f"b{number}", f"g{number}", "20k"))
        if number > 1:
            parts.append(Resistor(f"Rl{number}", f"g{number - 1}", f"g{number}", "10k"))
    parts += [Resistor("Rx", f"g{bits}", "n", "10k"), Resistor("Rf", "n", "out", "20k"), OpAmp("U1", "0", "n", "out")]
    return parts, "out"


def cascade(stages: int) -> tuple[list[Part], str]:
    """Inverting stages one behind the other."""
    parts: list[Part] = [VoltageSource("Vin", "o0", "0", "1 V")]
    for number in range(1, stages + 1):
        parts.append(Resistor(f"Ra{number}", f"o{number - 1}", f"n{number}", "10k"))
        parts.append(Resistor(f"Rf{number}", f"n{number}", f"o{number}", "12k"))
        parts.append(OpAmp(f"U{number}", "0", f"n{number}", f"o{number}"))
    return parts, f"o{stages}"


def divided_cascade(stages: int) -> tuple[list[Part], str]:
    """The same with a loaded divider before each stage."""
    parts: list[Part] = [VoltageSource("Vin", "o0", "0", "1 V")]
    for number in range(1, stages + 1):
        parts.append(Resistor(f"Rd{number}", f"o{number - 1}", f"m{number}", "10k"))
        parts.append(Resistor(f"Rg{number}", f"m{number}", "0", "15k"))
        parts.append(Resistor(f"Ra{number}", f"m{number}", f"n{number}", "10k"))
        parts.append(Resistor(f"Rf{number}", f"n{number}", f"o{number}", "47k"))
        parts.append(OpAmp(f"U{number}", "0", f"n{number}", f"o{number}"))
    return parts, f"o{stages}"


def summing_tree(stages: int) -> tuple[list[Part], str]:
    """Summing stages of three inputs; the last adds the others."""
    parts: list[Part] = []
    for number in range(1, stages):
        for arm in "abc":
            parts.append(VoltageSource(f"V{number}{arm}", f"s{number}{arm}", "0", "1 V"))
            parts.append(Resistor(f"R{number}{arm}", f"s{number}{arm}", f"n{number}", "10k"))
        parts.append(Resistor(f"Rf{number}", f"n{number}", f"o{number}", "12k"))
        parts.append(OpAmp(f"U{number}", "0", f"n{number}", f"o{number}"))
        parts.append(Resistor(f"Rt{number}", f"o{number}", "n", "10k"))
    parts += [Resistor("Rf", "n", "out", "20k"), OpAmp("U0", "0", "n", "out")]
    return parts, "out"


def grid(side: int) -> tuple[list[Part], str]:
    """Square grid of resistors between a source and ground at opposite corners: no one law leads through it."""
    names = {(row, column): f"g{row}_{column}" for row in range(side) for column in range(side)}
    names[side - 1, side - 1] = "0"
    parts: list[Part] = [VoltageSource("V1", "g0_0", "0", "5 V")]
    for (row, column), name in names.items():
        for there in ((row, column + 1), (row + 1, column)):
            if there in names:
                parts.append(Resistor(f"R{len(parts)}", name, names[there], f"{len(parts)}k"))
    return parts, f"g{side // 2}_{side // 2}"


KINDS: tuple[tuple[Callable[[int], tuple[list[Part], str]], tuple[int, ...]], ...] = (
    (ladder, (3, 10, 20, 30)),
    (converter, (3, 8, 19)),
    (cascade, (3, 10, 19)),
    (divided_cascade, (2, 5, 10)),
    (summing_tree, (2, 4, 7)),
    (grid, (3, 4, 5, 6)),
)


def least(run: Callable[[], object]) -> float:
    """Milliseconds of the quickest of some rounds."""
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return min(times) * 1e3


def walk(netlist: Netlist, target: Quantity, kept: bool) -> tuple[Step, ...]:
    if not kept:
        lawset._KEPT.clear()
    return Lesson.of(netlist).walk((target,))


def main() -> None:
    print("circuit            parts  op-amps  laws  steps  unknowns   cold ms   kept ms   exact solution ms")
    for kind, sizes in KINDS:
        for size in sizes:
            parts, node = kind(size)
            netlist, target = Netlist(parts), voltage(node)
            cold = least(lambda n=netlist, t=target: walk(n, t, False))  # type: ignore[misc]
            kept = least(lambda n=netlist, t=target: walk(n, t, True))  # type: ignore[misc]
            exact = least(lambda n=netlist: exact_values(n))  # type: ignore[misc]
            lesson = Lesson.of(netlist)
            steps = lesson.walk((target,))
            assert steps[-1].exact == lesson.values[target]
            unknowns = sum(step.role == "assume" for step in steps)
            counts = f"{len(parts):5}  {len(netlist.opamps):7}  {len(lesson.laws.laws):4}  {len(steps):5}  {unknowns:8}"
            print(f"{kind.__name__:17}  {counts}  {cold:8.2f}  {kept:8.2f}  {exact:8.2f}")


if __name__ == "__main__":
    main()
