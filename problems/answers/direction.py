"""A direction named beside a current: ``46.7 uA down``, ``left to right``, ``from Vin to pin 2``, ``to ground``."""

from __future__ import annotations

import re
from typing import NamedTuple

from problems.circuits.netlist import Netlist, pin_numbers
from problems.circuits.parts.base import part_of
from problems.circuits.parts.opamp import OpAmp
from problems.quantities import GROUND, Quantity, UnknownQuantity

_START = re.compile(
    r"[\s,;(](?:(?:flowing|flows|going|goes|running|runs)\s+)?"
    r"(?P<phrase>(?:down|up|left|right)(?:wards?)?\b.*|(?:top|bottom) to .*|(?:from|to|towards?|into|out of)\s+\S.*)\Z",
    re.IGNORECASE,
)
_WAYS: tuple[tuple[str, str, int], ...] = (
    (r"(?:from )?(?:the )?left to (?:the )?right\b", "lying", 1),
    (r"(?:from )?(?:the )?right to (?:the )?left\b", "lying", -1),
    (r"(?:from )?(?:the )?top to (?:the )?bottom\b", "standing", 1),
    (r"(?:from )?(?:the )?bottom to (?:the )?top\b", "standing", -1),
    (r"(?:to (?:the )?)?right(?:wards?)?\b", "lying", 1),
    (r"(?:to (?:the )?)?left(?:wards?)?\b", "lying", -1),
    (r"down(?:wards?)?\b", "standing", 1),
    (r"up(?:wards?)?\b", "standing", -1),
)
"""Phrase, how a part must be drawn for it to make sense, and +1 where it runs from the first terminal to the second."""
_ENDS = re.compile(r"(?P<word>from|out of|to|towards?|into)\s+(?P<place>(?:the |node |pin )*[\w.+-]+)")


class Direction(NamedTuple):
    """phrase: what was written. sign: +1 along the reference arrow, -1 against it, 0 where it does not say."""

    phrase: str
    sign: int


def split_direction(text: str) -> tuple[str, str]:
    """The text without the direction at its end, and that direction; the direction is ``""`` where there is none."""
    match = _START.search(text)
    if match is None or not re.search(r"\w", text[: match.start()]):
        return text, ""
    return text[: match.start()].rstrip(" ,;("), match["phrase"].rstrip(" .)")


def direction(phrase: str, quantity: Quantity, netlist: Netlist) -> Direction:
    """What a phrase means for the current of a branch."""
    signs = set(_by_drawing(phrase, quantity, netlist)) | set(_by_ends(phrase, quantity, netlist))
    return Direction(phrase, signs.pop() if len(signs) == 1 else 0)


def ends(quantity: Quantity, netlist: Netlist) -> tuple[str | None, str | None]:
    """The nodes between which a current runs, first to second; an op-amp's comes from its supply, None."""
    own = [branch for branch in netlist.branches if branch.name == quantity.of]
    halves = [branch for branch in netlist.branches if branch.part == quantity.of]
    found = own or halves
    return (found[0].start, found[-1].end) if found else (None, None)


def _by_drawing(phrase: str, quantity: Quantity, netlist: Netlist) -> list[int]:
    """Left, right, up, down: the first terminal of a part is its left or upper one."""
    rest = phrase.lower()
    signs: list[int] = []
    posture = _posture(quantity, netlist)
    for pattern, needed, sign in _WAYS:
        rest, times = re.subn(pattern, " ", rest)
        if times:
            signs.append(sign if posture in {needed, "any"} else 0)
    return signs


def _posture(quantity: Quantity, netlist: Netlist) -> str:
    """How a part is drawn. Without a drawing, one that leads to ground is taken to stand (common practice)."""
    name = part_of(quantity.of)
    if netlist.drawing is None:
        return "standing" if ends(quantity, netlist)[1] == GROUND else ""
    drawn = next((part for part in netlist.drawing.boxed if part.name == name), None)
    return "" if drawn is None else "lying" if drawn.lying else "standing"


def _by_ends(phrase: str, quantity: Quantity, netlist: Netlist) -> list[int]:
    start, end = ends(quantity, netlist)
    signs: list[int] = []
    for match in _ENDS.finditer(phrase):
        if match["place"].lower().split()[-1] in {"left", "right", "top", "bottom"}:
            continue
        leaves = match["word"].lower() in {"from", "out of"}
        if start is None and _is_output_pin(match["place"], quantity.of, netlist):
            signs.append(1 if leaves else -1)
            continue
        node = _node(match["place"], netlist)
        if node is None:
            signs.append(0)
        elif node in (start, end):
            signs.append(1 if (node == start) == leaves else -1)
        else:
            signs.append(0)
    return signs


def _is_output_pin(place: str, amp: str, netlist: Netlist) -> bool:
    """Whether a person means the output pin of an op-amp by ``the pin``, ``pin 6``, ``the output``, or by its name.

    The node behind that pin is another place: what comes out of the pin runs to it.
    """
    words = [word.lower() for word in place.split() if word.lower() != "the"]
    if words[:1] == ["pin"] and len(words) == 2:
        index = next(index for index, each in enumerate(netlist.opamps) if each.name == amp)
        return words[1] in (out := pin_numbers(netlist.package, index)[2], f"{amp}.{out}".lower())
    return words in (["pin"], ["output"], ["op-amp"], ["opamp"], ["amplifier"], [amp.lower()])


def _node(place: str, netlist: Netlist) -> str | None:
    """The node that a person means by ``ground``, ``pin 2``, ``the output``, ``Vin`` or ``node a``."""
    words = [word for word in place.split() if word.lower() not in {"the", "node"}]
    name = words[-1] if words else ""
    if name.lower() in {"ground", "gnd", "earth", GROUND}:
        return GROUND
    if len(words) == 2 and words[0].lower() == "pin":
        return netlist.pins.get(name)
    if name.lower() in {"output", "out"} and "out" not in netlist.nodes:
        return _only_output(netlist)
    for spelling in (name, "in" if name.lower() == "input" else "out" if name.lower() == "output" else name):
        if spelling in netlist.nodes:
            return spelling
    for spelling in (name, f"V_{name}"):
        try:
            found = netlist.names.read(spelling)
        except UnknownQuantity:
            continue
        if found.kind == "V":
            return found.of
    return None


def _only_output(netlist: Netlist) -> str | None:
    amps: tuple[OpAmp, ...] = netlist.opamps
    return amps[0].out if len(amps) == 1 else None
