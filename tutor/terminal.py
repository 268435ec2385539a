"""What the terminal at hand can do, and text made fit for it."""

from __future__ import annotations

import os
import sys
from dataclasses import dataclass
from typing import TextIO

_ASCII = str.maketrans(
    {
        "−": "-",
        "·": "*",
        "×": "*",
        "µ": "u",
        "Ω": "ohm",
        "→": "->",
        "←": "<-",
        "↑": "^",
        "↓": "v",
        "…": "...",
        "≠": "!=",
        "≤": "<=",
        "≥": ">=",
        "½": "1/2",
        "∥": "||",
        "–": "-",
        "’": "'",
        "─": "-",
        "│": "|",
        "┬": "-",
        "┴": "-",
        "\u2009": " ",
        "\u00a0": " ",
    }
)
_SPACES = " \u2009\u00a0"
WIDEST = 100
"""Prose is never set wider than this, however wide the terminal."""

LONGEST_ECHO = 200
"""Signs of a typed line that are repeated."""


def screen_possible() -> bool:
    """Whether a full screen can be painted and typed into; it goes to stderr, so that must be a UTF-8 terminal too."""
    painted = sys.__stderr__
    typed = sys.__stdin__
    if painted is None or typed is None or typed.closed or painted.closed or not takes_unicode(painted):
        return False
    return typed.isatty() and painted.isatty() and os.environ.get("TERM", _default_term()) != "dumb"


def _default_term() -> str:
    """Windows consoles set no TERM; elsewhere none means a terminal nothing is known of."""
    return "console" if sys.platform == "win32" else "dumb"


def takes_unicode(stream: TextIO) -> bool:
    """Whether box characters, Greek and arrows survive on that stream."""
    try:
        "─│┬Ωµ−→".encode(getattr(stream, "encoding", None) or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def ascii_text(text: str) -> str:
    """The same text in ASCII; what has no spelling there becomes ``?``."""
    return text.translate(_ASCII).encode("ascii", "replace").decode("ascii")


def steady(text: str) -> str:
    """A whole line in which nothing steers a terminal: control, escape and direction marks become a replacement sign.

    ``formulas.spelling.inert`` does so for what was typed, which it also shortens for a place inside a sentence.
    """
    return "".join(c if c.isprintable() or c in _SPACES else "\ufffd" for c in text)


def shortened(text: str) -> str:
    """What is repeated of a line that was typed: all of it, unless it is far longer than any answer."""
    return text if len(text) <= LONGEST_ECHO else f"{text[:LONGEST_ECHO]} …"


def width(default: int = 80) -> int:
    """Columns of the terminal, or the default where there is none."""
    import shutil

    return shutil.get_terminal_size((default, 24)).columns


def tolerant(*streams: TextIO) -> None:
    """Make streams replace what they cannot carry instead of raising, so that no byte typed ends a session."""
    for stream in streams:
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")


@dataclass(frozen=True)
class Paper:
    """An output that takes lines of text. unicode: whether it carries box characters and Greek. columns: its width."""

    stream: TextIO | None
    unicode: bool
    columns: int

    @classmethod
    def of(cls, stream: TextIO | None) -> Paper:
        return cls(stream, stream is not None and takes_unicode(stream), min(width(), WIDEST))

    def line(self, text: str = "") -> None:
        """One line that steers nothing, in the signs that the output can carry."""
        if self.stream is not None:
            self.stream.write((steady(text) if self.unicode else ascii_text(steady(text))) + "\n")
            self.stream.flush()
