"""Ground symbols, named terminals and wiper arrows: what the loose words and marks of a drawing stand for."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from problems.circuits.drawing.faults import Faults
from problems.circuits.drawing.glyphs import ARROWS, JOINTS, RUNS, STEP
from problems.circuits.drawing.shapes import NAME, Box, Word, find_words
from problems.circuits.drawing.sheet import Cell, Sheet
from problems.formulas.expression import FUNCTIONS
from problems.quantities import GROUND, LAPLACE

GROUND_WORD = "GND"

FARTHEST_NAME = 12
"""Blanks allowed between a terminal and its name."""

RESERVED = frozenset({"k", LAPLACE, "j", "pi", "log"} | FUNCTIONS.keys())
"""Words of the answers' grammar; a terminal of that name could not be spoken of."""


@dataclass(frozen=True)
class Terminal:
    """An ``o`` with its name. node: the node that the name stands for."""

    name: str
    row: int
    column: int
    word: Word

    @property
    def node(self) -> str:
        return node_of(self.name)


def node_of(name: str) -> str:
    """The node named by a terminal: ``Vout`` and ``V_out`` name ``out``, ``A`` names ``A``."""
    if name == GROUND_WORD:
        return GROUND
    return name[1:].lstrip("_") or name if name[0] == "V" else name


@dataclass
class Texts:
    """What the words of a drawing turned out to be."""

    grounds: list[Word] = field(default_factory=list)
    terminals: list[Terminal] = field(default_factory=list)
    nameless: set[Cell] = field(default_factory=set)
    """Terminals whose name is missing or cannot be used; wires may still end there."""
    stray: set[Cell] = field(default_factory=set)


def find_arrows(sheet: Sheet, boxes: list[Box], claimed: set[Cell]) -> dict[Cell, int]:
    """Arrowheads that touch a box, and which box: ``[Rp]<``, ``>[Rp]``, ``^`` beneath, ``v`` above."""
    box_at = {cell: index for index, box in enumerate(boxes) for cell in box.cells}
    found: dict[Cell, int] = {}
    for row, column, character in sheet.cells:
        side = ARROWS.get(character)
        if side is None or (row, column) in claimed:
            continue
        down, right = STEP[side]
        target = (row + down, column + right)
        if target in box_at and (character != "v" or _alone(sheet, row, column)):
            found[row, column] = box_at[target]
    return found


def _alone(sheet: Sheet, row: int, column: int) -> bool:
    """Whether a ``v`` is an arrowhead under a wire, not a letter of a word."""
    above = sheet.at(row - 1, column)
    beside = sheet.at(row, column - 1) + sheet.at(row, column + 1)
    return (above in JOINTS or "down" in RUNS.get(above, ())) and not any(c.isalnum() or c == "_" for c in beside)


def find_texts(sheet: Sheet, claimed: set[Cell], faults: Faults) -> Texts:
    """Sort the words of a drawing into grounds, terminals with their names, and what has no place there."""
    texts, places, names = Texts(), [], []
    for word in _split(sheet, find_words(sheet, claimed)):
        if word.text in {"o", "○"}:
            places.append((word.row, word.left))
        elif word.text == GROUND_WORD and touched(sheet, word):
            texts.grounds.append(word)
        else:
            names.append(word)
    given = _assign(sheet, places, names)
    for place in places:
        name = given.get(place)
        key = "terminal-nameless" if name is None else name_fault(name.text)
        if name is not None and key is None:
            texts.terminals.append(Terminal(name.text, *place, name))
        else:
            texts.nameless.add(place)
            at = place if name is None else (name.row, name.left)
            faults.add(*at, key or "", name=name.text if name else "")
    used = set(given.values())
    for word in names:
        if word not in used:
            if word.text == GROUND_WORD:
                texts.grounds.append(word)
            else:
                _stray(word, texts, faults)
    return texts


def touched(sheet: Sheet, word: Word) -> bool:
    """Whether any wire runs towards a word."""
    sides = [(word.row, word.left - 1, "right"), (word.row, word.right + 1, "left")]
    sides += [(word.row - 1, column, "down") for _, column in word.cells]
    sides += [(word.row + 1, column, "up") for _, column in word.cells]
    return any(side in RUNS.get(sheet.at(row, column), ()) for row, column, side in sides)


def name_fault(name: str) -> str | None:
    """Why a word cannot name a terminal, as the key of a fault; None where it can."""
    if not NAME.match(name):
        return "terminal-name"
    if re.fullmatch(r"V_*[0-9]+", name):
        return "terminal-digits"
    return "terminal-reserved" if name in RESERVED else None


def _split(sheet: Sheet, words: list[Word]) -> list[Word]:
    """``--oVout``: the terminal apart from its name."""
    parted: list[Word] = []
    for word in words:
        ends_a_wire = sheet.at(word.row, word.left - 1) in JOINTS | {"-"}
        if len(word.text) > 1 and word.text[0] == "o" and word.text[1].isupper() and ends_a_wire:
            parted += [Word("o", word.row, word.left), Word(word.text[1:], word.row, word.left + 1)]
        else:
            parted.append(word)
    return parted


def _assign(sheet: Sheet, places: list[Cell], names: list[Word]) -> dict[Cell, Word]:
    """Each terminal its name: a word beside it in its row, else one right above or below."""
    by_row: dict[int, list[Word]] = {}
    for word in names:
        by_row.setdefault(word.row, []).append(word)
    given: dict[Cell, Word] = {}
    for row in dict.fromkeys(row for row, _ in places):
        here = [place for place in places if place[0] == row] if row in by_row else []
        given |= _share_out({place: _beside(sheet, place, by_row[row]) for place in here})
    used = set(given.values())
    for row, column in places:
        if (row, column) not in given:
            near = [*by_row.get(row - 1, ()), *by_row.get(row + 1, ())]
            fitting = (w for w in near if w.left <= column <= w.right and w.text != GROUND_WORD and w not in used)
            if (above_or_below := next(fitting, None)) is not None:
                given[row, column] = above_or_below
                used.add(above_or_below)
    return given


def _share_out(wishes: dict[Cell, list[tuple[int, Word]]]) -> dict[Cell, Word]:
    """Terminals of a row and the words near each: who has least choice chooses first, and takes the nearest."""
    given: dict[Cell, Word] = {}
    while wishes:
        place = min(wishes, key=lambda place: (len(wishes[place]) != 1, [gap for gap, _ in wishes[place]][:1]))
        choice = wishes.pop(place)
        if choice:
            given[place] = choice[0][1]
            wishes = {other: [w for w in wish if w[1] is not choice[0][1]] for other, wish in wishes.items()}
    return given


def _beside(sheet: Sheet, place: Cell, names: list[Word]) -> list[tuple[int, Word]]:
    """Words of its row that could name a terminal, nearest first."""
    row, column = place
    found: list[tuple[int, Word]] = []
    for word in names:
        gap = column - word.right - 1 if word.left < column else word.left - column - 1
        between = range(min(word.right, column) + 1, max(word.left, column))
        if gap <= FARTHEST_NAME and all(sheet.at(row, cell) == " " for cell in between):
            found.append((gap, word))
    return sorted(found, key=lambda wish: (wish[0], wish[1].left < column))


def _stray(word: Word, texts: Texts, faults: Faults) -> None:
    texts.stray |= set(word.cells)
    key = "stray-word" if any(character.isalnum() for character in word.text) else "stray"
    if word.text.upper() == GROUND_WORD:
        key = "stray-ground"
    faults.add(word.row, word.left, key, name=word.text)
