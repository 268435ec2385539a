"""What follows from the states of a circuit with one capacitor or inductor: each quantity as a formula in others.

The resistance that the part sees, the time constant and the corner frequency, the gain, and what everything is at an
instant after a step. The formulas are the truth of these quantities and the relations of their laws alike.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from functools import lru_cache
from itertools import combinations
from typing import Any

from problems.circuits.closed import denominator
from problems.circuits.conditions import reactive, source_of
from problems.circuits.faults import ManySolutions, NoSolution
from problems.circuits.netlist import Netlist
from problems.circuits.parts.base import Part
from problems.circuits.parts.resistor import Resistor
from problems.circuits.situations import TEST, situation
from problems.formulas.expression import ONE, Call, Expression, Name, Negative, Number, Parallel
from problems.formulas.ratio import Ratio
from problems.quantities import PHASE, SIZE, TIME, Quantity, current, voltage

PI = Name("pi")
TWO_PI = Number(Fraction(2), "2") * PI
SEEN, TAU, CORNER, GAIN, SLOPE_OUT = (
    Quantity("R", "seen"),
    Quantity("T", "c"),
    Quantity("F", "c"),
    Quantity("G", "out"),
    Quantity("S", "out"),
)
NATURAL, QUALITY = Quantity("F", "0"), Quantity("Q", "0")
Solve = Callable[[Netlist], Mapping[Any, Any]]
"""Every quantity of a circuit, exactly."""
_PRIMES = (29, 37, 41, 43, 47, 53, 59, 61, 67, 71, 73, 79)


def tagged(quantity: Quantity, state: str) -> Quantity:
    """The quantity in one state."""
    return quantity._replace(when=state)


def relations(netlist: Netlist, values: Mapping[Any, Any]) -> dict[Quantity, Expression]:
    """Formulas of all that follows from the states, in an order in which they can be worked out.

    values: what is known of the circuit and its states, to tell how it behaves.
    """
    found: dict[Quantity, Expression] = {}
    if netlist.regime == "t":
        found |= _pace(netlist, values)
        found |= _in_time(netlist, values, SEEN in found)
        return found
    if "f=f_c" in netlist.states or TAU in netlist.further.values():
        found |= _pace(netlist, values)
        if TAU in found:
            found[CORNER] = _corner(reactive(netlist.parts)[0])
    found |= _of_second_order(netlist)
    source = source_of(netlist.parts)
    if GAIN in netlist.further.values() and source is not None:
        for state in ("", *(state for state in netlist.states if state != "test")):
            if tagged(voltage("out"), state) in values:
                found[tagged(GAIN, state)] = Name(tagged(voltage("out"), state)) / Name(source.parameters[0].symbol)
    return found


def sizes(quantities: list[Quantity]) -> dict[Quantity, Expression]:
    """Size and phase of each of the quantities."""
    found: dict[Quantity, Expression] = {}
    for quantity in quantities:
        found[quantity._replace(kind=SIZE + quantity.kind)] = Call("abs", Name(quantity))
        found[quantity._replace(kind=PHASE + quantity.kind)] = Call("phase", Name(quantity))
    return found


def _pace(netlist: Netlist, values: Mapping[Any, Any]) -> dict[Quantity, Expression]:
    """The resistance seen, and the time constant; nothing where the part sees no resistance, or none that is finite."""
    part = reactive(netlist.parts)[0]
    through = tagged(current(part.name), "test")
    if not values.get(through):
        return {}
    seen = seen_as(netlist.parts) or Negative(Name(TEST) / Name(through))
    return {SEEN: seen, TAU: time_constant(part, Name(SEEN))}


def time_constant(part: Part, resistance: Expression) -> Expression:
    """``R·C`` or ``L/R``."""
    value = Name(part.parameters[0].symbol)
    return resistance * value if part.parameters[0].unit == "F" else value / resistance


def _of_second_order(netlist: Netlist) -> dict[Quantity, Expression]:
    """Natural frequency and quality factor by the denominator of the output, where that is of second order."""
    if NATURAL not in netlist.further.values():
        return {}
    below = denominator(netlist, voltage("out"))
    if below is None or set(below) != {0, 1, 2}:
        return {}
    root = Call("sqrt", below[2] if below[0] == ONE else below[2] / below[0])
    middle = below[1] if below[0] == ONE else below[1] / below[0]
    return {NATURAL: ONE / (TWO_PI * root), QUALITY: root / middle}


def _corner(part: Part) -> Expression:
    value, resistance = Name(part.parameters[0].symbol), Name(SEEN)
    return ONE / (TWO_PI * resistance * value) if part.parameters[0].unit == "F" else resistance / (TWO_PI * value)


def _in_time(netlist: Netlist, values: Mapping[Any, Any], settles: bool) -> dict[Quantity, Expression]:
    """Everything at the instant ``t``, on the way from what it is at first to what it settles to.

    Where the part sees no finite resistance, it all rises evenly from what it is at first.
    """
    part = reactive(netlist.parts)[0]
    first = [key for key in values if isinstance(key, Quantity) and key.when == "t=0" and key.kind in "VID"]
    found: dict[Quantity, Expression] = {}
    if not settles:
        rate = Name(tagged(current(part.name), "t=0")) / Name(part.parameters[0].symbol)
        if SLOPE_OUT in netlist.further.values():
            found[SLOPE_OUT] = share_of(tagged(voltage("out"), "test"), values, rate)
    if TIME not in netlist.values:
        return found
    for key in first:
        plain = tagged(key, "")
        if settles and tagged(key, "t=inf") in values:
            last = tagged(key, "t=inf")
            left = Call("exp", Negative(Name(TIME) / Name(TAU)))
            found[plain] = Name(last) + (Name(key) - Name(last)) * left
        elif not settles and values.get(tagged(key, "test")) is not None:
            rises = Name(SLOPE_OUT) if plain == voltage("out") else share_of(tagged(key, "test"), values, rate)
            moves = bool(values[tagged(key, "test")])
            found[plain] = Name(key) + rises * Name(TIME) if moves else Name(key)
    return found


def share_of(key: Quantity, values: Mapping[Any, Any], rate: Expression) -> Expression:
    """The rate of a quantity that follows the capacitor's voltage: so many times that of the capacitor."""
    share = values.get(key)
    if share == 1:
        return rate
    return Negative(rate) if share == -1 else Name(key) / Name(TEST) * rate


@lru_cache(maxsize=256)
def seen_as(parts: tuple[Part, ...]) -> Expression | None:
    """The resistance that the one capacitor or inductor sees, where that is one resistor, or two in line or abreast.

    Whatever their values are; None where it takes a derivation.
    """
    plain = [part.symbol for part in parts if isinstance(part, Resistor)]
    symbols = tuple(dict.fromkeys(plain))
    options: list[Expression] = [Name(symbol) for symbol in symbols]
    options += [Name(a) + Name(b) for a, b in combinations(symbols, 2)]
    options += [Parallel((Name(a), Name(b))) for a, b in combinations(symbols, 2)]
    netlist = Netlist(parts)
    for turn in (0, 5):
        values = _spread(netlist, turn)
        seen = _resistance(netlist.with_values(values))
        options = [option for option in options if seen is not None and option.at(values) == seen]
    return options[0] if options else None


def _spread(netlist: Netlist, turn: int) -> dict[Any, Fraction]:
    found: dict[Any, Fraction] = {}
    for place, (name, unit) in enumerate(netlist.units.items()):
        prime = _PRIMES[(place + turn) % len(_PRIMES)] + place // len(_PRIMES)
        found[name] = Fraction(prime, 101) if unit == "" else Fraction(prime)
    return found


def _resistance(netlist: Netlist) -> Fraction | None:
    from problems.circuits.solution import exact_values

    part = reactive(netlist.parts)[0]
    try:
        through = exact_values(situation(netlist, "test"))[current(part.name)]
    except (NoSolution, ManySolutions):
        return None
    return -1 / through if through else None


def completed(netlist: Netlist, found: dict[Any, Any], solve: Solve) -> dict[Any, Any]:
    """Values with those of the states and of all that follows from them. solve: every quantity of one state."""
    for state in netlist.states:
        if state != "f=f_c":
            _enter(netlist, found, state, solve)
    _work_out(relations(netlist, found), found)
    corner = found.get(CORNER)
    if "f=f_c" in netlist.states and isinstance(corner, Fraction) and not _open(netlist):
        at_corner = solve(netlist.with_values({"f": corner}))
        kept = {key: value for key, value in at_corner.items() if _is_plain(key)}
        found |= {tagged(key, "f=f_c"): value for key, value in kept.items()}
        _work_out({key: f for key, f in relations(netlist, found).items() if key.when == "f=f_c"}, found)
    complexes = [key for key in found if isinstance(key, Quantity) and _has_size(key, netlist)]
    _work_out(sizes(complexes), found)
    return found


def _is_plain(key: Any) -> bool:
    return isinstance(key, Quantity) and not key.when and key.kind in ("V", "I", "D")


def _has_size(key: Quantity, netlist: Netlist) -> bool:
    return key.kind in ("V", "I", "D", "G") and (key.when == "f=f_c" or (not key.when and netlist.regime == "f"))


def _open(netlist: Netlist) -> bool:
    return any(name not in netlist.values for name in netlist.units)


def _enter(netlist: Netlist, found: dict[Any, Any], state: str, solve: Solve) -> None:
    """The values of one state, where it has any: with one capacitor alone at an output there is no dc."""
    try:
        values = solve(situation(netlist, state))
    except (NoSolution, ManySolutions):
        return
    found |= {tagged(key, state): plainest(value) for key, value in values.items() if _is_plain(key)}
    if state == "test":
        found[TEST] = values[TEST]


def _work_out(formulas: Mapping[Quantity, Expression], found: dict[Any, Any]) -> None:
    for key, formula in formulas.items():
        try:
            value = formula.at(found)
        except (ZeroDivisionError, KeyError, OverflowError, TypeError):
            continue
        found[key] = Fraction(value) if isinstance(value, float) else plainest(value)


def plainest(value: Any) -> Any:
    """A formula without a name in it as the number that it is."""
    constant = value.constant if isinstance(value, Ratio) else None
    return value if constant is None else constant
