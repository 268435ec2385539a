"""Values that a caller holds, read exactly and refused where no such part could have them."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from problems.formulas.spelling import inert
from problems.formulas.values import BadValue, read_value
from problems.problem import Circuit
from problems.templates.faults import near
from problems.templates.ranges import senseless
from problems.words import say


class UnknownSetting(ValueError):
    """A value to hold that the family does not have. name: as given. family: its name. known: the values it has."""

    def __init__(self, name: str, family: str, known: tuple[str, ...]):
        self.name, self.family, self.known = name, family, known
        super().__init__(say("family.unknown-setting", name=inert(name), family=family, near=near(name, known)))


class BadSetting(ValueError):
    """A value to hold that no such part can have. name, value: as given. reason: why not."""

    def __init__(self, name: str, value: str, reason: str):
        self.name, self.value, self.reason = name, value, reason
        super().__init__(say("family.bad-setting", name=name, value=inert(value), reason=reason))


def read_settings(values: Mapping[str, Any], circuit: Circuit, name: str) -> dict[str, Fraction]:
    """Values to hold, exactly, in the order of the circuit; raises UnknownSetting, BadSetting."""
    held: dict[str, Fraction] = {}
    for symbol, value in values.items():
        if symbol not in circuit.settable:
            raise UnknownSetting(symbol, name, tuple(circuit.settable))
        held[symbol] = _setting(symbol, value, circuit.settable[symbol])
    return {symbol: held[symbol] for symbol in circuit.settable if symbol in held}


def _setting(symbol: str, value: Any, unit: str) -> Fraction:
    shown = inert(str(value)) if not isinstance(value, int) or value.bit_length() < 200 else "a number of many digits"
    try:
        read = read_value(value, unit)
    except BadValue as error:
        raise BadSetting(symbol, shown, f"it {error.reason}; {error.remedy}") from None
    if not isinstance(read, Fraction):
        raise BadSetting(symbol, shown, say("family.value-name.remedy"))
    wrong = senseless(read, unit)
    if wrong is not None:
        raise BadSetting(symbol, shown, say(f"family.value-{wrong}.remedy"))
    return read
