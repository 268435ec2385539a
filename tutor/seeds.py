"""Seeds and the version codes they are shown by: six letters that bring the same problem back."""

from __future__ import annotations

LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Thirty-two signs without the look-alikes I, L, O and U."""
_LOOK_ALIKE = str.maketrans("ILO", "110")

_CODES = 32**6


class BadSeed(ValueError):
    """What was given as a seed is neither a whole number nor a version code. text: what it was."""

    def __init__(self, text: str):
        self.text = text
        super().__init__(f"{text!r} is neither a whole number from 0 nor a version code such as 3F7-K2Q")


def fresh_seed() -> int:
    """A seed nobody chose, small enough to be shown as a code."""
    import secrets

    return secrets.randbelow(_CODES)


def code_of(seed: int) -> str:
    """The code a seed is shown by: ``3F7-K2Q``; a seed too large for one is shown as the number that it is."""
    if not 0 <= seed < _CODES:
        return str(seed)
    signs = "".join(LETTERS[seed // 32**place % 32] for place in range(5, -1, -1))
    return f"{signs[:3]}-{signs[3:]}"


def read_seed(text: str) -> int:
    """The seed meant by a whole number or a version code; raises BadSeed."""
    if text.isascii() and text.isdigit() and len(text) <= 18:
        return int(text)
    signs = text.strip().upper().translate(_LOOK_ALIKE)
    if len(signs) != 7 or signs[3] != "-" or not set(signs.replace("-", "", 1)) <= set(LETTERS):
        raise BadSeed(text)
    seed = 0
    for sign in signs.replace("-", "", 1):
        seed = seed * 32 + LETTERS.index(sign)
    return seed
