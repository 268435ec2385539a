"""What the terminal at hand can do, and text made fit for it."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
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
HARD_SPACE = "\u00a0"
_SPACES = f" \u2009{HARD_SPACE}"
WIDEST = 100
"""Prose is never set wider than this, however wide the terminal."""

ENDLESS = 100_000
"""Columns of an output that is no terminal."""
_COERCED = ("C.UTF-8", "C.utf8", "UTF-8")
"""What Python sets LC_CTYPE to in the locale C (PEP 538)."""

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
    """Whether box characters, Greek and arrows survive on that stream, and are wanted where it leads."""
    try:
        "─│┬Ωµ−→".encode(getattr(stream, "encoding", None) or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return sys.platform == "win32" or wants_unicode(os.environ, _given_environment())


def wants_unicode(environment: Mapping[str, str], given: Mapping[str, str]) -> bool:
    """Whether the locale of an environment has UTF-8; one that says nothing leaves it to Python.

    Python itself writes UTF-8 in the locales C and POSIX, and says so in LC_CTYPE (PEP 538, PEP 540); a terminal set
    to them is one that shows ASCII. given: the environment as it was before Python changed it.
    """
    if environment.get("PYTHONIOENCODING") or environment.get("PYTHONUTF8") == "1":
        return True  # asked for by name
    coerced = environment.get("LC_CTYPE") in _COERCED and given.get("LC_CTYPE") != environment.get("LC_CTYPE")
    names = ("LC_ALL", "LANG") if coerced else ("LC_ALL", "LC_CTYPE", "LANG")
    locale = next((environment[name] for name in names if environment.get(name)), "")
    return not locale or locale.partition("@")[0].lower().replace("-", "").endswith("utf8")


def _given_environment() -> Mapping[str, str]:
    """The environment that the process was started with, where the system tells it; else that of now, less LC_CTYPE."""
    try:
        with open("/proc/self/environ", encoding="utf-8", errors="replace") as told:
            pairs = [entry.partition("=") for entry in told.read().split("\0")]
    except OSError:
        return {name: value for name, value in os.environ.items() if name != "LC_CTYPE"}
    return {name: value for name, _, value in pairs}


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
    import shutil  # 7 ms, which --help and a Tab press need not wait for

    return shutil.get_terminal_size((default, 24)).columns


def tolerant(*streams: TextIO) -> None:
    """Make streams replace what they cannot carry instead of raising, so that no byte typed ends a session."""
    for stream in streams:
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")


@dataclass(frozen=True)
class Paper:
    """An output that takes lines of text. unicode: whether it carries box characters and Greek.

    columns: the width to which prose is set. across: the width it has; what is no terminal is as wide as need be.
    """

    stream: TextIO | None
    unicode: bool
    columns: int
    across: int = ENDLESS

    @classmethod
    def of(cls, stream: TextIO | None) -> Paper:
        unicode = stream is not None and takes_unicode(stream)
        return cls(stream, unicode, min(width(), WIDEST), width(ENDLESS))

    def spelled(self, text: str) -> str:
        """Text that steers nothing, in signs that the output can carry; wrap it after this: some signs become words.

        Hard spaces stay until the line goes out, so that no unit is torn from its number.
        """
        if self.unicode:
            return steady(text)
        parts = steady(text).replace("\u2009", HARD_SPACE).split(HARD_SPACE)
        return HARD_SPACE.join(map(ascii_text, parts))

    def line(self, text: str = "") -> None:
        """One line out."""
        if self.stream is not None:
            shown = steady(text)
            self.stream.write((shown if self.unicode else ascii_text(shown)) + "\n")
            self.stream.flush()
