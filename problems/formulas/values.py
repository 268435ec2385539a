"""Reading one value with its unit, as authors and program code write it: ``10k``, ``4k7``, ``1 V``, ``k``."""

from __future__ import annotations

import re
from fractions import Fraction

Value = str | int | Fraction | object | None
"""What a part accepts: text, an exact number, a sympy number or symbol, or nothing."""

PREFIXES = {"f": -15, "p": -12, "n": -9, "u": -6, "µ": -6, "μ": -6, "m": -3, "k": 3, "M": 6, "G": 9, "T": 12}
