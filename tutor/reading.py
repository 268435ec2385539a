"""How the line being typed would be read, said while it is typed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tutor.words import say

if TYPE_CHECKING:
    from problems import Attempt

LONGEST = 200
"""Signs of an entry beyond which nothing is read along."""


def reading(text: str, attempt: Attempt) -> str:
    """``read as 29.3 µA`` for a value that can be read, else empty."""
    from problems.formulas.printers import engineering
    from problems.formulas.values import read_value

    written = text.rpartition("=")[2].strip()
    if not written or len(text) > LONGEST:
        return ""
    try:
        value = read_value(written, "A")
    except ValueError:
        return ""
    return (
        say("reply.reading", reading=engineering(value, "A"))
        if value is not None and not isinstance(value, str)
        else ""
    )
