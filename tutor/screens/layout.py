"""What each part of the practice sheet holds at a given size: pure, so that it is tested without a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from rich.cells import cell_len, set_cell_size

from tutor import sheet
from tutor.terminal import steady
from tutor.widgets.spans import Line, Piece, plain
from tutor.words import say

if TYPE_CHECKING:
    from problems import Attempt
    from problems.derivation.law import Place
    from tutor.source import Task

WIDE = 100
"""Columns from which the sheet is set with more room, and the working stands beside the drawing where it can."""
SHORT = 18
"""Rows below which the sheet goes without its outer rules, and mostly without the drawing."""
TALL = 30
"""Rows from which a narrow sheet has a rule below its head."""
NARROWEST = 22
"""Columns that the working needs beside the drawing."""
LEAST_SAID, MOST_SAID = 2, 9
"""Rows that a reply may take at the least and at the most; a longer one scrolls."""
STYLES = {"wire": "", "name": "", "part": "part", "known": "known", "lit": "lit"}


class Page(NamedTuple):
    """The rows of each part of the sheet. given: stays in place above the working, which scrolls.

    beside: whether the working stands beside the drawing, not below it. upper, lower: whether there is a rule below the
    head, and one above the entry. said: how many rows the reply may take.
    """

    head: tuple[Line, ...]
    picture: tuple[Line, ...]
    given: tuple[Line, ...]
    working: tuple[Line, ...]
    said: int
    beside: bool
    upper: bool
    lower: bool


class Room(NamedTuple):
    """What a window has for body and reply. columns, rows: that room. wide: whether it is set with free rows."""

    columns: int
    rows: int
    wide: bool

    def beside(self, drawing: int) -> int:
        """Columns that stay for the working beside a drawing."""
        return self.columns - drawing - (8 if self.wide else 6)


def page(task: Task, attempt: Attempt, place: Place | None, width: int, height: int) -> Page:
    """The sheet for a size. place: what the last hint points at."""
    head, picture = _head(task, attempt, width - 2), _picture(attempt, place)
    columns, rows = max(_columns(picture), _drawn_columns(task)), len(picture)
    room = _room(width, height, len(head))
    where = arrangement(room, task, columns, rows)
    across = room.beside(columns) if where == "beside" else width - 4
    given, working = _given(task, across), sheet.columns(sheet.working(attempt), across)
    if where == "none":
        note = say("screen.small", columns=columns + 2, rows=_rows_needed(task, attempt, columns, rows))
        picture, given, working = (), [], [*sheet.paragraphs(note, across), *given, *working]
    elif where == "beside" and room.wide:
        given = [*given, ""]
    body = {"beside": max(rows + room.wide, 6), "below": rows + len(given) + 1, "none": 2}[where]
    said = max(LEAST_SAID, min(MOST_SAID, room.rows - body))
    upper, lower = _rules(width, height)
    return Page(head, picture, plain(given), plain(working), said, where == "beside", upper, lower)


def arrangement(room: Room, task: Task, columns: int, rows: int) -> str:
    """Where the working stands: ``beside`` a drawing of that size, ``below`` it, or ``none`` where that has no room.

    Below it reads better, line for line; beside it more lines are seen at once.
    """
    free = room.rows - LEAST_SAID
    below = free - rows - len(_given(task, room.columns - 4)) if columns <= room.columns - 2 else 0
    beside = room.beside(columns) if rows + room.wide <= free else 0
    if (room.wide or below < len(task.problem.steps)) and beside >= NARROWEST:
        return "beside"
    return "below" if below >= 1 else "none"


def _rules(width: int, height: int) -> tuple[bool, bool]:
    """Whether there is a rule below the head, and one above the entry."""
    return height >= SHORT and (width >= WIDE or height >= TALL), height >= SHORT


def _room(width: int, height: int, head: int) -> Room:
    """What a window leaves below a head of so many rows: the rules, the entry and the line of keys take their own."""
    return Room(width, height - head - sum(_rules(width, height)) - 3, width >= WIDE)


def _rows_needed(task: Task, attempt: Attempt, columns: int, rows: int) -> int:
    """Rows of the lowest window as wide as the drawing in which it is shown."""
    head, sizes = len(_head(task, attempt, columns)), range(rows, rows + 2 * SHORT)
    shown = (h for h in sizes if arrangement(_room(columns + 2, h, head), task, columns, rows) != "none")
    return next(shown, sizes[-1])


def keys(width: int, more: bool = False) -> tuple[Line, ...]:
    """The line of keys, shorter where the window is. more: whether the reply goes on below what is seen of it."""
    size = "-wide" if width >= 110 else "" if width >= 76 else "-narrow"
    text = say(f"screen.keys{size}-more" if more else f"screen.keys{size}")
    return ((Piece(text[: width - 2], "faint"),),)


def reading(text: str, typed: str, width: int) -> tuple[str, str]:
    """How the line is read: beside it where that leaves all of it in sight, else in place of the line of keys."""
    if cell_len(typed) + len("|  ") + cell_len(text) <= width - 2:
        return text, ""
    return "", text if cell_len(text) <= width - 2 else set_cell_size(text, width - 4) + " …"


def _head(task: Task, attempt: Attempt, width: int) -> tuple[Line, ...]:
    """Title left, what to find right; over two lines where one does not hold them."""
    title, goal = steady(task.title), sheet.goal(task, attempt)
    gap = width - len(title) - len(goal)
    if gap < 2:
        return ((Piece(title[:width], "strong"),), (Piece(goal[:width]),))
    return ((Piece(title, "strong"), Piece(" " * gap), Piece(goal)),)


def _picture(attempt: Attempt, place: Place | None) -> tuple[Line, ...]:
    """The drawing in the styles of the sheet."""
    rows = sheet.drawing(attempt, place)
    return tuple(tuple(Piece(span.text, STYLES.get(span.style, "")) for span in row) for row in rows)


def _given(task: Task, width: int) -> list[str]:
    """The values that are given, and what the settings are the share of, behind the word for them."""
    label, gap = say("screen.given"), "   "
    if width < 40:
        label, gap = f"{label.strip()} ", "  "
    lines = sheet.folded(sheet.givens(task.problem, meaning=True), width - len(label), gap)
    return [(label if row == 0 else " " * len(label)) + text for row, text in enumerate(lines)]


def _drawn_columns(task: Task) -> int:
    """Columns of the drawing as its author drew it: the sheet must not jump when values are written beside it."""
    drawing = task.problem.circuit.drawing
    return max((len(row.rstrip()) for row in drawing.rows), default=0) if drawing is not None else 0


def _columns(lines: tuple[Line, ...]) -> int:
    return max((cell_len("".join(piece.text for piece in line)) for line in lines), default=0)
