"""How much of the catalogue of wrong moves the misused laws give, and whether they name the cause it names."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from wrong_move_catalogue import CATALOGUE, NETS, OUT, OUT_STEPS, PASSIVE, REACTIVE, Entry, entries

from problems.answers.judge import OUTSIDE_ATTEMPT, judge
from problems.answers.moves import fits
from problems.derivation.lesson import Lesson

CAUSES = tomllib.loads((Path(__file__).parent / "derivation" / "wrong_move_causes.toml").read_text("utf-8"))


class Found(NamedTuple):
    """What became of an entry. produced: its value is that of a misuse. among: the right cause is named or asked about.

    named: a cause is named outright. rightly: and it is the right one. causes: all that were offered.
    """

    entry: Entry
    produced: bool
    among: bool
    named: bool
    rightly: bool
    causes: tuple[str, ...]


class Share(NamedTuple):
    """Counts over some entries."""

    name: str
    entries: int
    produced: int
    among: int
    named: int
    rightly: int


def found(entry: Entry) -> Found:
    """The verdict on the wrong value of an entry, stated by itself."""
    lesson = Lesson.of(entry.netlist)
    quantity = entry.netlist.names.read(entry.step)
    moves = lesson.wrong_moves(quantity)
    produced = any(abs(float(move.exact) - entry.wrong) <= 1e-6 * abs(entry.wrong) + 1e-15 for move in moves)
    verdict = judge(lesson, f"{entry.wrong!r} {quantity.unit}", quantity, {}, OUTSIDE_ATTEMPT)
    right = set(CAUSES[entry.id])
    offered = fits(lesson, quantity, verdict.value) if verdict.value is not None else ()
    causes = tuple(fit.misuse.key for fit in offered)
    named = verdict.kind == "wrong-move"
    return Found(entry, produced, bool(right & set(causes)), named, named and verdict.wrong_move in right, causes)


def share(name: str, some: Iterable[Found]) -> Share:
    """Counts over some entries."""
    rows = tuple(some)
    counts = ([getattr(row, field) for row in rows].count(True) for field in ("produced", "among", "named", "rightly"))
    return Share(name, len(rows), *counts)


def all_found() -> tuple[Found, ...]:
    """Every entry of the circuits that are built."""
    return tuple(found(entry) for entry in entries())


def table(rows: tuple[Found, ...]) -> str:
    """The coverage as a table, and what is left out with the reason."""
    lines = [f"{'':34}{'entries':>8}{'value':>8}{'cause':>8}{'named':>8}{'rightly':>8}"]
    groups = [share("resistive, with op-amp", (row for row in rows if row.entry.circuit not in PASSIVE))]
    groups += [share("passive", (row for row in rows if row.entry.circuit in PASSIVE)), share("all of these", rows)]
    groups += [share(f"  {name}", (row for row in rows if row.entry.circuit == name)) for name in NETS]
    for one in groups:
        marks = (one.produced, one.among, one.named)
        lines.append(
            f"{one.name:34}{one.entries:>8}"
            + "".join(f"{mark / one.entries:>8.0%}" for mark in marks)
            + (f"{one.rightly / one.named:>8.0%}" if one.named else f"{'-':>8}")
        )
    for row in rows:
        if not (row.produced and row.among):
            lines.append(f"not found: {row.entry.id} ({row.entry.name}); offered {', '.join(row.causes) or 'nothing'}")
        elif row.named and not row.rightly:
            lines.append(f"named otherwise: {row.entry.id} ({row.entry.name}) as {row.causes[0]}")
    for move in CATALOGUE["move"]:
        reason = OUT.get(move["circuit"]) or OUT_STEPS.get((move["circuit"], move["step"]))
        if reason:
            lines.append(f"out: {move['id']} ({reason})")
    lines.append(f"reactive, tested elsewhere: {sum(m['circuit'] in REACTIVE for m in CATALOGUE['move'])} entries")
    return "\n".join(lines)
