"""A bare drawing as a file of its own: its values stand in its boxes or are given, and V_out is asked of it.

Whatever is wrong with it, in its shape or as a circuit, is told with file, row and column.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from problems.circuits.drawing import Drawing, DrawingError, read_drawing
from problems.circuits.drawing.board import WIDEST
from problems.circuits.drawing.faults import Fault as DrawingFault
from problems.circuits.equations import open_values
from problems.circuits.feedback import NEGATIVE, POSITIVE
from problems.circuits.netlist import ClashingSymbol
from problems.circuits.solution import ManySolutions, NoSolution
from problems.derivation.faults import NoWalk
from problems.formulas.spelling import inert
from problems.problem import Circuit, Problem, ask
from problems.quantities import GROUND, Quantity, voltage
from problems.templates.faults import FamilyFault, Fault
from problems.templates.ranges import senseless
from problems.templates.report import FaultList
from problems.templates.settings import read_settings

TARGET = "V_out"
"""What is asked of a bare drawing."""
OPEN = frozenset({"open-value", "open-setting", "idle"})
"""Faults that values given from outside mend, without a change to the drawing."""
EXAMPLES: Mapping[str, str] = {"ohm": "10k", "V": "1V", "A": "1mA", "F": "10nF", "H": "10mH", "": "0.5"}
"""A value by unit, as it is written in a box or given."""


class MissingValues(FamilyFault):
    """A bare drawing leaves values open. names: the symbols without a value, and the terminals that drive nothing."""

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(str(fault.fields["name"]) for fault in self.faults)


def drawing_faults(
    text: str, name: str, file: str, values: Mapping[str, Any] | None = None, find: tuple[str, ...] = ()
) -> tuple[Fault, ...]:
    """Everything that is wrong with a bare drawing when these values are given and these quantities asked.

    Raises UnknownSetting, BadSetting and UnknownQuantity for what is not the drawing's fault.
    """
    report = FaultList(file, {})
    rows = text.split("\n")
    wide = next(((row, len(line)) for row, line in enumerate(rows, 1) if len(line.rstrip()) > WIDEST), None)
    if wide is not None:
        report.whole("wide", wide[0], WIDEST + 1, width=wide[1], most=WIDEST)
    try:
        found = DrawingMaker(text, name, file).faults(values or {}, find)
    except FamilyFault as error:
        found = error.faults
    report.found += found
    return report.faults


class DrawingMaker:
    """Problems of a bare drawing; naming a terminal's value drives it. Raises FamilyFault when it cannot be read."""

    def __init__(self, text: str, name: str, file: str):
        self.name, self.file = name, file
        try:
            self.drawing: Drawing = read_drawing(text)
        except DrawingError as error:
            report = FaultList(file, {})
            for fault in error.faults:
                report.drawn((), fault)
            raise FamilyFault(report.faults) from None

    @property
    def asks(self) -> tuple[str, ...]:
        return (TARGET,)

    @property
    def symbols(self) -> tuple[str, ...]:
        return tuple(self._circuit({name: name for name in self.drawing.terminal_names}).units)

    def problem(self, seed: int, values: Mapping[str, Any], find: tuple[str, ...]) -> Problem:
        """See ``Family.problem``; the seed has nothing to choose."""
        check = _Check(self, values, find)
        faults = check.faults()
        if faults:
            raise (MissingValues if all(fault.key in OPEN for fault in faults) else FamilyFault)(faults)
        return ask(check.circuit, *(find or (TARGET,)))

    def faults(self, values: Mapping[str, Any], find: tuple[str, ...]) -> tuple[Fault, ...]:
        """Everything wrong with the circuit, in the order of the drawing."""
        return _Check(self, values, find).faults()

    def circuit(self, values: Mapping[str, Any]) -> Circuit:
        """The circuit with the terminals driven that ``values`` names.

        Raises FamilyFault, UnknownSetting, BadSetting.
        """
        driven = {name: name for name in values if name in self.drawing.terminal_names}
        try:
            circuit = self._circuit(driven)
        except ValueError as error:
            parts = error.parts if isinstance(error, ClashingSymbol) else ()
            report = FaultList(self.file, {})
            self.take_down(report, "circuit", next(iter(parts), ""), message=inert(str(error), 400))
            raise FamilyFault(report.faults) from None
        return circuit.with_values(read_settings(values, circuit, self.name))

    def _circuit(self, driven: Mapping[str, str]) -> Circuit:
        return Circuit(self.drawing.parts(driven), drawing=self.drawing)

    def take_down(self, report: FaultList, key: str, thing: str, **fields: object) -> None:
        """A fault at the part, op-amp or terminal of that name; at the file where it has no place."""
        row, column = self._place(thing)
        picture = DrawingFault(row, column, key, self.drawing.rows[row - 1]).picture if column else ""
        report.whole(key, row, column, picture=picture, **fields)

    def _place(self, thing: str) -> tuple[int, int]:
        """Row and column from 1; column 0 where nothing in the drawing has that name."""
        for box in (part.box for part in self.drawing.boxed):
            if box.name == thing:
                return box.row + 1, box.left + 2
        for amp in (part.triangle for part in self.drawing.opamps):
            if amp.name == thing:
                row, column = min(amp.cell(2, 1), amp.cell(2, 2))
                return row + 1, column + 1
        for terminal in self.drawing.terminals:
            if terminal.name == thing:
                return terminal.word.row + 1, terminal.word.left + 1
        return 1, 0


class _Check:
    """One look at a drawing's circuit with the values at hand. circuit: with those values."""

    def __init__(self, maker: DrawingMaker, values: Mapping[str, Any], find: tuple[str, ...]):
        self.maker, self.values, self.find = maker, values, find
        self.report = FaultList(maker.file, {})
        self.circuit = maker.circuit(values)

    def faults(self) -> tuple[Fault, ...]:
        """What is wrong; what a fault makes meaningless is not looked at."""
        asked = self._asked()
        self._values()
        if not self._idle(asked):
            self._solvable(asked)
        return self.report.faults

    def _fault(self, key: str, thing: str, **fields: object) -> None:
        self.maker.take_down(self.report, key, thing, **fields)

    def _asked(self) -> tuple[Quantity, ...]:
        """What is asked; raises UnknownQuantity where the caller asks for something that is not there."""
        names = self.circuit.names
        if not self.find and TARGET not in names.readings:
            self._fault("no-output", "")
            return ()
        return tuple(names.read(name) for name in self.find or (TARGET,))

    def _values(self) -> None:
        """Values that make no sense, and those that are open."""
        circuit = self.circuit
        for symbol, value in circuit.values.items():
            wrong = senseless(value, circuit.units.get(symbol, "")) if symbol in circuit.units else None
            if wrong is not None:
                self._fault(f"value-{wrong}", self._owner(symbol), value=f"{symbol} = {value}")
        for symbol in open_values(circuit):
            part, unit = self._owner(symbol), circuit.units[symbol]
            example = EXAMPLES.get(unit, "1")
            drawn = circuit.part(part).brackets or "[]"
            box = f"{drawn[0]}{part} {example}{drawn[-1]}"
            self._fault("open-value" if unit else "open-setting", part, name=symbol, part=part, box=box, value=example)

    def _owner(self, symbol: str) -> str:
        """The first part that has a value."""
        return next(part.name for part in self.circuit.parts for p in part.parameters if p.symbol == symbol)

    def _idle(self, asked: tuple[Quantity, ...]) -> bool:
        """Whether nothing drives the circuit, or a part of it that leads only to a terminal."""
        idle = tuple(self._idle_terminals(asked))
        for name, quantity in idle:
            self._fault("idle", name, name=name, quantity=quantity, value=EXAMPLES["V"])
        if not idle and not any(part.independent for part in self.circuit.parts):
            self._fault("no-source", "")
            return True
        return bool(idle)

    def _idle_terminals(self, asked: tuple[Quantity, ...]) -> Iterator[tuple[str, str]]:
        """Terminals that float: no value, nothing that holds them, and at most one path for current.

        Where the circuit has no source at all, and none floats, every terminal that could be one.
        """
        circuit = self.circuit
        held = {GROUND, *(amp.out for amp in circuit.opamps)}
        held |= {node for part in circuit.parts if part.independent for node in part.nodes}
        held |= {node for quantity in asked for node in (quantity.of, quantity.to) if quantity.kind in "VB"}
        held |= {quantity.of for quantity in (circuit.names.readings.get(TARGET),) if quantity is not None}
        nodes = {terminal.name: terminal.node for terminal in self.maker.drawing.terminals}
        loose = {name: node for name, node in nodes.items() if node not in held and node in circuit.nodes}
        floating = {name: node for name, node in loose.items() if self._paths(node) <= 1}
        sourceless = not any(part.independent for part in circuit.parts)
        for name, node in (floating or (loose if sourceless else {})).items():
            yield name, circuit.names.write(voltage(node))

    def _paths(self, node: str) -> int:
        """How many paths for current end at a node."""
        branches = (branch for branch in self.circuit.branches if branch.start != branch.end)
        return sum(node in (branch.start, branch.end) for branch in branches)

    def _solvable(self, asked: tuple[Quantity, ...]) -> None:
        """Whether the circuit has a solution, and the two rules lead to what is asked."""
        numeric = not open_values(self.circuit)
        try:
            if numeric:
                self.circuit.solve().voltage(GROUND)
            for name, sign in self.circuit.lesson.feedback.items():
                if sign == POSITIVE or (numeric and sign != NEGATIVE):
                    self._fault(f"feedback-{sign}", name, name=name)
            if numeric and asked and not self.report.found:
                if not self.circuit.regime:
                    for quantity in asked:
                        self.circuit.solve().exact(quantity)
                self.circuit.lesson.walk(asked)
        except (NoSolution, ManySolutions) as error:
            key = "no-solution" if isinstance(error, NoSolution) else "many-solutions"
            self._fault(key, next(iter(error.parts), ""), message=str(error))
        except NoWalk as error:
            self._fault("no-walk", "", name=error.quantity)
