"""Drawings turned and renamed: the same circuit in another look."""

from __future__ import annotations

import re
from collections.abc import Mapping

_TOKEN = re.compile(r"\[[^\]]*\]|\([^)]*\)|[A-Za-z0-9_]+|.")
_TURNED = str.maketrans("<>/\\┌┐└┘├┤◂▸╲╱", "><\\/┐┌┘└┤├▸◂╱╲")


def mirrored(text: str) -> str:
    """The drawing as seen in a mirror, left and right exchanged; names and values stay readable."""
    lines = text.splitlines()
    width = max(map(len, lines), default=0)
    turned = []
    for line in lines:
        tokens = _TOKEN.findall(line.ljust(width))
        turned.append("".join(t if len(t) > 1 else t.translate(_TURNED) for t in reversed(tokens)).rstrip())
    return "\n".join(turned)


def renamed(text: str, mapping: Mapping[str, str]) -> str:
    """The drawing with other names; a shorter name leaves blanks, in its box or beside its terminal.

    Raises ValueError for a name that is longer than the one it replaces: the columns would shift.
    """
    for old, new in mapping.items():
        if len(new) > len(old):
            raise ValueError(f"{new} is longer than {old}")

    def token(found: re.Match[str]) -> str:
        text = found.group()
        if text[0] in "[(":
            inner = re.sub(r"[A-Za-z0-9_]+", lambda m: mapping.get(m.group(), m.group()), text[1:-1], count=1)
            return text[0] + inner.ljust(len(text) - 2) + text[-1]
        new = mapping.get(text, text)
        before_terminal = text != new and found.string[found.end() :].lstrip(" ").startswith("o")
        return new.rjust(len(text)) if before_terminal else new.ljust(len(text))

    return "\n".join(_TOKEN.sub(token, line) for line in text.splitlines())
