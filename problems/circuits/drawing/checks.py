"""Checks on what was read: names, values, ground."""

from __future__ import annotations

from problems.circuits.drawing.drawing import kind_of
from problems.circuits.drawing.faults import Faults
from problems.circuits.drawing.shapes import Box
from problems.circuits.drawing.terminals import GROUND_WORD, Terminal, Texts
from problems.circuits.drawing.triangles import Triangle
from problems.circuits.drawing.wires import GROUND_NET, Joined, Nets, Port
from problems.circuits.parts.registry import by_letter
from problems.formulas.values import BadValue, read_value
from problems.quantities import GROUND


def check_boxes(boxes: list[Box], faults: Faults) -> None:
    """The letters and the values of the boxed parts."""
    for box in boxes:
        kind = kind_of(box)
        if kind is None:
            _unknown_letter(box, faults)
        elif box.value is not None:
            try:
                read_value(box.value, str(getattr(kind, "unit", "")))
            except BadValue as error:
                remedy = error.remedy[:1].upper() + error.remedy[1:]
                told = {"value": repr(error.text), "reason": error.reason, "remedy": remedy}
                faults.add(box.row, box.left + 1, "part-value", name=box.name, **told)


def _unknown_letter(box: Box, faults: Faults) -> None:
    other = {"[]": "()", "()": "[]"}[box.brackets]
    known = ", ".join(sorted(by_letter(box.brackets)))
    fields = {"name": box.name, "letter": box.name[0], "known": known, "brackets": box.brackets}
    if any(box.name.startswith(letter) for letter in by_letter(other)):
        faults.add(box.row, box.left, "part-brackets", other=other[0] + box.name + other[1], **fields)
    elif any(box.name.upper().startswith(letter) for letter in by_letter(box.brackets)):
        capital = box.name[0].upper() + box.name[1:]
        faults.add(box.row, box.left + 1, "part-case", capital=capital, **fields)
    else:
        faults.add(box.row, box.left + 1, "part-letter", **fields)


def check_names(boxes: list[Box], amps: list[Triangle], terminals: list[Terminal], faults: Faults) -> None:
    """No two things of one name."""
    placed = [(box.row, box.left + 1, box.name) for box in boxes]
    placed += [(*min(amp.cell(2, 1), amp.cell(2, 2)), amp.name) for amp in amps]
    first: dict[str, tuple[int, int]] = {}
    for row, column, name in sorted(placed):
        if name in first:
            at = first[name]
            faults.add(row, column, "name-twice", name=name, first=f"row {at[0] + 1}, column {at[1] + 1}")
        first.setdefault(name, (row, column))
    boxed = {box.name for box in boxes}
    for terminal in terminals:
        place = (terminal.word.row, terminal.word.left)
        if terminal.name in first and not (terminal.name in boxed and terminal.name[0] == "V"):
            faults.add(*place, "name-clash", name=terminal.name, part=terminal.name)
        elif terminal.node in first:
            faults.add(*place, "name-clash", name=terminal.name, part=terminal.node)


def check_nets(nets: Nets, boxes: list[Box], amps: list[Triangle], texts: Texts, faults: Faults) -> None:
    """One name a net; a ground; something to solve."""
    named: dict[Joined, Terminal] = {}
    ground = nets.find(GROUND_NET)
    for terminal in sorted(texts.terminals, key=lambda t: (t.row, t.column)):
        net = nets.find((terminal.row, terminal.column))
        place = (terminal.word.row, terminal.word.left)
        if net == ground and terminal.node != GROUND:
            faults.add(*place, "two-names", name=terminal.name, other=GROUND_WORD)
        elif net in named and named[net].name != terminal.name:
            other = named[net]
            faults.add(*place, "two-names", name=terminal.name, other=other.name)
        named.setdefault(net, terminal)
        _check_source(terminal, nets, boxes, faults)
    if not boxes and not amps and not len(faults):
        faults.add(0, 0, "no-parts")
    elif not texts.grounds and not texts.terminals and not len(faults):
        faults.add(0, 0, "no-ground")


def _check_source(terminal: Terminal, nets: Nets, boxes: list[Box], faults: Faults) -> None:
    """A terminal may bear the name of a drawn source only where that source stands: ``(Vin)`` at ``Vin``."""
    net = nets.find((terminal.row, terminal.column))
    for index, box in enumerate(boxes):
        if box.name == terminal.name and net not in (nets.find(Port("box", index, end)) for end in range(2)):
            faults.add(terminal.word.row, terminal.word.left, "name-clash", name=terminal.name, part=box.name)
