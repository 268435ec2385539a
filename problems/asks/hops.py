"""A path through a circuit, as it is named: nodes in walking order, with a part between two where several join them."""

from __future__ import annotations

from dataclasses import dataclass

from problems.asks.question import AskFault
from problems.circuits.netlist import Netlist
from problems.circuits.parts.base import Branch
from problems.circuits.parts.voltage_source import VoltageSource
from problems.formulas.expression import Expression, Name
from problems.quantities import GROUND, current, drop

GROUND_WORDS = frozenset({"gnd", "ground", "0"})


class NoSuchPlace(AskFault):
    """A word of a path is no node and no part. fields: name, known."""

    key = "no-such-place"


class PathBroken(AskFault):
    """No part leads on. fields: first, second, known: the parts at the first."""

    key = "path-broken"


class PathForks(AskFault):
    """Several parts join two nodes. fields: first, second, parts."""

    key = "path-forks"


class PathRepeats(AskFault):
    """A part is crossed twice. fields: part."""

    key = "path-repeats"


class PathUnfinished(AskFault):
    """A path of no part, or one that begins or ends with one. fields: path."""

    key = "path-unfinished"


class PathEmpty(AskFault):
    """Its sum says nothing: the source that holds a node, and the voltage of that node. fields: path."""

    key = "path-empty"


@dataclass(frozen=True)
class Hop:
    """A part crossed. sign: +1 from its first terminal to its second. start, end: the nodes, in walking order."""

    branch: Branch
    sign: int
    start: str
    end: str
    source: str = ""
    """Symbol of the voltage that it holds, where it is a source."""

    @property
    def fall(self) -> Expression:
        """The fall of voltage from its first terminal to its second."""
        if self.branch.impedance is not None:
            return Name(current(self.branch.name)) * self.branch.impedance
        return Name(self.source or drop(self.branch.name))


def hops_of(netlist: Netlist, words: tuple[str, ...]) -> tuple[Hop, ...]:
    """The parts that a path crosses. Raises NoSuchPlace, PathBroken, PathForks, PathRepeats, PathUnfinished."""
    path = "-".join(words)
    hops: list[Hop] = []
    here, through = _node(netlist, words[0]) if words else None, ""
    if here is None:
        _known(netlist, words[0] if words else "")
        raise PathUnfinished(path=path)
    for word in words[1:]:
        node = _node(netlist, word)
        if node == here and not _is_part(netlist, word):
            continue  # the same place by another name, as in 0-Vin-in
        if node is None or node == here:
            _known(netlist, word)
            if through:
                raise PathUnfinished(path=path)
            through = word
            continue
        hop = _between(netlist, here, node, through)
        if any(hop.branch == earlier.branch for earlier in hops):
            raise PathRepeats(part=hop.branch.name)
        hops.append(hop)
        here, through = node, ""
    if through or not hops:
        raise PathUnfinished(path=path)
    return tuple(hops)


def _node(netlist: Netlist, word: str) -> str | None:
    """The node of a word: its name, a pin, a terminal, or a word for ground."""
    if word in netlist.nodes:
        return word
    if word.lower() in GROUND_WORDS:
        return GROUND
    named = {terminal: node for node, terminal in netlist.terminals.items()}
    held = {symbol: node for node, symbol in netlist.held.items()}
    return netlist.pins.get(word) or named.get(word) or (held.get(word) if not _is_part(netlist, word) else None)


def _is_part(netlist: Netlist, word: str) -> bool:
    return any(word in (branch.name, branch.part) for branch in netlist.branches)


def _known(netlist: Netlist, word: str) -> None:
    """Raises NoSuchPlace where a word is no part either."""
    if not _is_part(netlist, word):
        raise NoSuchPlace(name=word, known=", ".join((*netlist.nodes, *netlist.part_names)))


def _between(netlist: Netlist, start: str, end: str, through: str) -> Hop:
    """The one part from a node to the next."""
    at = [b for b in netlist.branches if None not in (b.start, b.end) and b.start != b.end]
    joining = [branch for branch in at if {branch.start, branch.end} == {start, end}]
    found = [branch for branch in joining if through in ("", branch.name, branch.part)]
    if not found:
        leading = ", ".join(branch.name for branch in at if start in (branch.start, branch.end))
        raise PathBroken(first=start, second=end, known=leading)
    if len(found) > 1:
        raise PathForks(first=start, second=end, parts=", ".join(branch.name for branch in found))
    branch = found[0]
    part = netlist.part(branch.part)
    held = part.symbol if isinstance(part, VoltageSource) else ""
    return Hop(branch, 1 if branch.start == start else -1, start, end, held)
