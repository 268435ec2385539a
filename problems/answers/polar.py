"""Phasors as people type them, made into formulas: ``3.54 V at -45 deg``, ``3.54∠-45° V``, ``2.5 - j2.5``."""

from __future__ import annotations

import re

_ANGLE = re.compile(
    r"\s*(?:∠|@|\bat\b(?:\s+an\s+angle\s+of)?|\bangle\b|,(?=\s*[-+\u2212]?\s*[\d.]+\s*(?:°|deg|rad)))"
    r"\s*(?P<degrees>[-+\u2212\u2013]?\s*(?:\d+\.?\d*|\.\d+))\s*(?P<unit>°|deg(?:rees?)?|rad(?:ians?)?)?(?![\w.])"
)
_LEADING_J = re.compile(r"(?<![\w.])j\s*(?=\d)")
_SPREAD_UNIT = re.compile(
    r"(?P<real>[-+\u2212]?\s*[\d.]+)\s*(?P<sign>[-+\u2212])\s*(?P<imag>j[*·]?[\d.]+|[\d.]+[*·]?j)\s+(?P<unit>[a-zA-ZµΩ]+)\s*\Z"
)


def plain_formula(text: str) -> str:
    """The text with its angles as factors ``turn(…)`` in degrees, and with a product sign behind a leading j.

    A unit behind a real and an imaginary part is that of both.
    """
    text = _SPREAD_UNIT.sub(r"(\g<real> \g<sign> \g<imag>) \g<unit>", text)
    return _LEADING_J.sub("j*", _ANGLE.sub(_turned, text))


def _turned(match: re.Match[str]) -> str:
    factor = "*180/pi" if (match["unit"] or "").startswith("rad") else ""
    return f"*turn({match['degrees']}{factor})"
