"""Look-alike characters made plain, and text made safe to print.

People paste from papers and type on many keyboards: the ohm sign and the Greek capital, three minus signs, spaces that
look alike. ``plain`` knows them for formulas and values; a drawing shares the dashes and has its own list of lines and
arrowheads, as its columns must stay whole. ``inert`` makes foreign text harmless in a message.
"""

from __future__ import annotations

import unicodedata

DASHES = "\u2212\u2010\u2011\u2012\u2013\u2014\ufe63"
"""Characters that stand for a minus sign, or for a wire."""

_SAME: dict[str, str] = {
    "\u2126": "Ω",
    "µ": "u",
    "μ": "u",
    "π": "pi",
    "√": "sqrt",
    "∞": "inf",
    "°": "deg",
    "²": "^2",
    "³": "^3",
    "≈": "=",
    "¼": ".25",
    "½": ".5",
    "¾": ".75",
    **{sign: str(digit) for digit, sign in enumerate("₀₁₂₃₄₅₆₇₈₉")},
    "‖": "||",
    "∥": "||",
    **dict.fromkeys(DASHES, "-"),
    **dict.fromkeys("×·⋅∙∗•", "*"),
    **dict.fromkeys("÷∕⁄", "/"),
    **dict.fromkeys("\t\r\n\u00a0\u1680\u202f\u205f\u3000", " "),
    **{chr(code): " " for code in range(0x2000, 0x200B)},
    **{chr(code): chr(code - 0xFEE0) for code in range(0xFF01, 0xFF5F)},
}


def plain(text: str) -> tuple[str, list[int]]:
    """The text with look-alikes replaced, and for each character of it the place it had in ``text``."""
    pieces: list[str] = []
    places: list[int] = []
    for place, character in enumerate(text):
        piece = _SAME.get(character, character)
        pieces.append(piece)
        places += [place] * len(piece)
    return "".join(pieces), places


def hidden(text: str) -> int | None:
    """Place of the first character that cannot be seen (control, bidi, zero width, unassigned); None without one."""
    for place, character in enumerate(text):
        if not character.isprintable() and character not in _SAME:
            return place
    return None


def code_point(character: str) -> str:
    """``U+202E`` and its name, for naming a character that must not be printed."""
    name = unicodedata.name(character, "")
    return f"U+{ord(character):04X}" + (f" {name.lower()}" if name else "")


def inert(text: str, limit: int = 60) -> str:
    """The text fit to print: nothing that moves a cursor or turns a line around, and not too long."""
    shown = "".join(
        c if c.isprintable() else " " if c in _SAME else "\N{REPLACEMENT CHARACTER}" for c in text[: limit + 1]
    )
    return shown if len(shown) <= limit else shown[: limit - 1] + "…"
