"""Where the faults of one file are gathered while it is read."""

from __future__ import annotations

from collections.abc import Mapping

from problems.circuits.drawing import Fault as DrawingFault
from problems.formulas.spelling import inert
from problems.templates.faults import Fault
from problems.templates.linemap import Path, Spot, spot_of


class FaultList:
    """Faults of one file; calling it takes one down.

    file: as the reader named it. lines: where each key stands.
    """

    def __init__(self, file: str, lines: Mapping[Path, Spot]):
        self.file, self.lines = file, lines
        self.found: list[Fault] = []

    def __call__(self, path: Path, key: str, **fields: object) -> None:
        """A fault at a key; at the table that should have it, where the key is missing."""
        spot = spot_of(self.lines, path)
        self.found.append(Fault(key, self.file, spot.line, dotted(path), 0, fields))

    def whole(self, key: str, line: int, column: int = 0, picture: str = "", **fields: object) -> None:
        """A fault of the file, and of no key in it."""
        self.found.append(Fault(key, self.file, line, "", column, fields, picture))

    def inside(self, path: Path, row: int, column: int, key: str, picture: str = "", **fields: object) -> None:
        """A fault at a row and column (from 1) of a text of several lines."""
        line = spot_of(self.lines, path).inside + row - 1
        self.found.append(Fault(key, self.file, line, dotted(path), column, fields, picture))

    def drawn(self, path: Path, fault: DrawingFault) -> None:
        """A fault that the reader of drawings found; the path of a bare drawing is empty."""
        told = {"problem": fault.problem, "remedy": fault.remedy, "picture": fault.picture}
        if path:
            self.inside(path, fault.row, fault.column, "drawing", **told)
        else:
            self.whole("drawing", fault.row, fault.column, **told)

    @property
    def faults(self) -> tuple[Fault, ...]:
        """In the order of the file, each once."""
        unique = {(fault.line, fault.column, fault.at, str(fault)): fault for fault in self.found}
        return tuple(unique[place] for place in sorted(unique))


def dotted(path: Path) -> str:
    """A path as people write it, positions from 1: ``ask 2.find``, ``keep.rules 1``."""
    text = ""
    for step in path:
        text += f" {step + 1}" if isinstance(step, int) else f".{step}" if text else step
    return inert(text, 100)
