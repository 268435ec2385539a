"""On which line of a TOML text each key stands; the standard reader keeps no positions.

The scanner trusts the text: it runs only on what ``tomllib`` has accepted, so it needs to know where a value ends and
nothing of what it means.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple

Path = tuple[str | int, ...]
"""Keys and list positions from the top of the file to one value: ``("ask", 0, "find")``."""

_KEY = re.compile(r"""[A-Za-z0-9_-]+|"(?:[^"\\]|\\.)*"|'[^']*'""")
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}' r"|'''.*?'{3,5}" r'|"(?:[^"\\\n]|\\.)*"' r"|'[^'\n]*'",
    re.DOTALL,
)
_PLAIN = re.compile(r"[^,\]}#\n]*")
_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")


class Spot(NamedTuple):
    """line: where the key stands. inside: where the first line of a multi-line text stands (else the same line)."""

    line: int
    inside: int


def line_map(text: str) -> Mapping[Path, Spot]:
    """Every key path of a valid TOML text to its spot, lines counted from 1."""
    return _Scanner(text.replace("\r\n", "\n")).run()


def spot_of(lines: Mapping[Path, Spot], path: Path) -> Spot:
    """The spot of the key, or of the nearest table that would hold it."""
    for length in range(len(path), 0, -1):
        if path[:length] in lines:
            return lines[path[:length]]
    return Spot(1, 1)


class _Scanner:
    """One pass over the text; ``at`` is the position reached."""

    def __init__(self, text: str):
        self.text, self.at, self.line, self.counted = text, 0, 1, 0
        self.found: dict[Path, Spot] = {}
        self.lists: dict[Path, int] = {}

    def run(self) -> Mapping[Path, Spot]:
        table: Path = ()
        while self.skip():
            if self.text[self.at] == "[":
                table = self.header()
            else:
                self.pair(table)
        return self.found

    def skip(self) -> bool:
        """Past blanks, line ends and comments; whether anything is left."""
        blank = _BLANK.match(self.text, self.at)
        self.at = blank.end() if blank else self.at
        return self.at < len(self.text)

    def here(self) -> int:
        """The line of the position reached; it only grows, so nothing is counted twice."""
        self.line += self.text.count("\n", self.counted, self.at)
        self.counted = self.at
        return self.line

    def note(self, path: Path) -> None:
        line = self.here()
        inside = line + 1 if self.text[self.at : self.at + 4] in ("'''\n", '"""\n') else line
        self.found.setdefault(path, Spot(line, inside))

    def header(self) -> Path:
        """``[a.b]`` or ``[[a]]``: the path of the table that it opens."""
        line, double = self.here(), self.text.startswith("[[", self.at)
        self.at += 2 if double else 1
        path = self.within(self.keys())
        self.at = self.text.index("]", self.at) + (2 if double else 1)
        if double:
            self.lists[path] = self.lists.get(path, -1) + 1
            self.found.setdefault(path, Spot(line, line))
            path = (*path, self.lists[path])
        self.found.setdefault(path, Spot(line, line))
        return path

    def within(self, names: tuple[str, ...]) -> Path:
        """Key names as a path, with the position of the latest element where a key names a list of tables."""
        path: Path = ()
        for place, name in enumerate(names):
            path = (*path, name)
            if path in self.lists and place < len(names) - 1:
                path = (*path, self.lists[path])
        return path

    def keys(self) -> tuple[str, ...]:
        """A dotted key."""
        names: list[str] = []
        while True:
            self.skip()
            key = _KEY.match(self.text, self.at)
            if key is None:
                return tuple(names)
            names.append(key[0].strip("\"'") if key[0][0] in "\"'" else key[0])
            self.at = key.end()
            self.skip()
            if not self.text.startswith(".", self.at):
                return tuple(names)
            self.at += 1

    def pair(self, table: Path) -> None:
        """``key = value`` below ``table``."""
        start = self.at
        path = (*table, *self.keys())
        self.skip()
        self.at += 1  # the equals sign
        self.skip()
        self.note(path)
        self.value(path)
        self.at = max(self.at, start + 1)

    def value(self, path: Path) -> None:
        """Past one value, noting what stands inside it."""
        opening = self.text[self.at : self.at + 1]
        if opening in ("[", "{"):
            self.inside(path, "]" if opening == "[" else "}")
            return
        end = (_STRING.match(self.text, self.at) if opening in "\"'" else None) or _PLAIN.match(self.text, self.at)
        self.at = end.end() if end else self.at

    def inside(self, path: Path, closing: str) -> None:
        """A list or an inline table; each element has a spot of its own."""
        self.at += 1
        place = 0
        while self.skip() and self.text[self.at] != closing:
            if self.text[self.at] == ",":
                self.at += 1
                place += 1
            elif closing == "]":
                self.note((*path, place))
                self.value((*path, place))
            else:
                self.pair(path)
        self.at += 1
