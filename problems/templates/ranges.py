"""What each value of a family may be: an entry of [values] as the exact candidates to draw from."""

from __future__ import annotations

from fractions import Fraction

from problems.formulas.spelling import inert
from problems.formulas.units import SPELLINGS
from problems.formulas.values import BadValue, read_value
from problems.templates.eseries import SERIES, preferred
from problems.templates.faults import near
from problems.templates.linemap import Path
from problems.templates.schema import Choice, Fixed, Report, Series

MOST = 1000
"""Candidates that one value may have; E192 over five decades stays below."""
_LARGEST, _SMALLEST = Fraction(10) ** 15, Fraction(1, 10**18)


def candidates(entry: Series | Choice | Fixed, unit: str, path: Path, report: Report) -> tuple[Fraction, ...]:
    """The exact values in SI units, in the order of the file; those that make no sense go to ``report``.

    unit: that of the part which the value belongs to; ``""`` is a setting, a share from 0 to 1.
    """
    if entry.unit and entry.unit not in SPELLINGS.get(unit, (unit,)):
        report((*path, "unit"), "unit", got=inert(entry.unit), unit=unit or "no unit", name=path[-1])
    if isinstance(entry, Series):
        return _series(entry, unit, path, report)
    if isinstance(entry, Fixed):
        return _sound([entry.value], unit, path, report)
    if not entry.choose:
        report((*path, "choose"), "empty-list")
    if len(entry.choose) > MOST:
        report((*path, "choose"), "too-many", most=MOST)
        return ()
    return _sound(entry.choose, unit, (*path, "choose"), report)


def senseless(value: Fraction, unit: str) -> str | None:
    """Key of what makes the value impossible for a part of that unit; None where it can be."""
    if unit == "" and not 0 <= value <= 1:
        return "setting"
    if unit in ("ohm", "F", "H", "Hz", "s") and value < 0:
        return "negative"
    if value and not _SMALLEST <= abs(value) <= _LARGEST:
        return "size"
    return None


def _sound(figures: tuple[object, ...] | list[object], unit: str, path: Path, report: Report) -> tuple[Fraction, ...]:
    found: list[Fraction] = []
    for place, figure in enumerate(figures):
        where = (*path, place) if len(figures) > 1 else path
        value = _read(figure, unit, where, report)
        if value is None:
            continue
        wrong = senseless(value, unit)
        if wrong is None:
            found.append(value)
        else:
            report(where, f"value-{wrong}", value=inert(str(figure)))
    return tuple(found)


def _read(figure: object, unit: str, path: Path, report: Report) -> Fraction | None:
    try:
        value = read_value(figure, unit)
    except BadValue as error:
        report(path, "value", value=inert(error.text), reason=error.reason, remedy=error.remedy)
        return None
    if isinstance(value, Fraction):
        return value
    report(path, "value-name", value=inert(str(figure)))
    return None


def _series(entry: Series, unit: str, path: Path, report: Report) -> tuple[Fraction, ...]:
    limits = _sound([entry.low], unit, (*path, "from"), report) + _sound([entry.high], unit, (*path, "to"), report)
    if entry.series not in SERIES:
        report((*path, "series"), "series", name=inert(entry.series), near=near(entry.series, SERIES))
        return ()
    if len(limits) < 2:
        return ()
    low, high = limits
    if low <= 0 or low > high:
        report(path, "limits", low=inert(str(entry.low)), high=inert(str(entry.high)))
        return ()
    found = preferred(entry.series, low, high)
    if not found:
        report(path, "empty-series", series=entry.series, low=inert(str(entry.low)), high=inert(str(entry.high)))
    if len(found) > MOST:
        report(path, "too-many", most=MOST)
    return found[:MOST]
