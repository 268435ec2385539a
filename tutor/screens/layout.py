"""What each part of the practice sheet holds at a given size: pure, so that it is tested without a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from tutor import sheet
from tutor.terminal import inert
from tutor.widgets.spans import Line, Piece, plain
from tutor.words import say

if TYPE_CHECKING:
    from problems import Attempt
    from problems.derivation.law import Place
    from tutor.source import Task

WIDE = 100
"""Columns from which the working stands beside the drawing."""
SHORT = 18
"""Rows below which the drawing is left away."""
OTHER_ROWS = 9
"""Rows of the sheet that are not drawing, at the least, where the working stands below it."""
MOST_SAID = 9
"""Rows that a reply may take; a longer one scrolls."""
STYLES = {"wire": "", "name": "", "part": "part", "known": "known", "lit": "lit"}


class Page(NamedTuple):
    """The rows of each part of the sheet. said: how many rows the reply may take."""

    head: tuple[Line, ...]
    picture: tuple[Line, ...]
    working: tuple[Line, ...]
    said: int


def page(task: Task, attempt: Attempt, place: Place | None, width: int, height: int) -> Page:
    """The sheet for a size. place: what the last hint points at."""
    picture = _picture(attempt, place)
    columns, rows = _columns(picture) + 2, len(picture) + OTHER_ROWS
    wide = width >= WIDE
    room = width - _columns(picture) - 8 if wide else width - 4
    working = _working(task, attempt, max(room, 24), blank=wide)
    if columns > width or height < max(rows, SHORT):
        note = say("screen.small", columns=columns, rows=max(rows, SHORT))
        picture, working = (), (*plain(sheet.paragraphs(note, width - 4)), *working)
    body = max(len(picture) + 1, 6) if wide else len(picture) + 2
    said = max(2, min(MOST_SAID, height - OTHER_ROWS + 4 - body))
    return Page(_head(task, attempt, width - 2), picture, working, said)


def keys(width: int, more: bool = False) -> tuple[Line, ...]:
    """The line of keys, shorter where the window is. more: whether the reply goes on below what is seen of it."""
    size = "-wide" if width >= 110 else "" if width >= 76 else "-narrow"
    text = say(f"screen.keys{size}-more" if more else f"screen.keys{size}")
    return ((Piece(text[: width - 2], "faint"),),)


def _head(task: Task, attempt: Attempt, width: int) -> tuple[Line, ...]:
    """Title left, what to find right; over two lines where one does not hold them."""
    title, goal = inert(task.title), sheet.goal(task, attempt)
    gap = width - len(title) - len(goal)
    if gap < 2:
        return ((Piece(title[:width], "strong"),), (Piece(goal[:width]),))
    return ((Piece(title, "strong"), Piece(" " * gap), Piece(goal)),)


def _picture(attempt: Attempt, place: Place | None) -> tuple[Line, ...]:
    """The drawing in the styles of the sheet."""
    rows = sheet.drawing(attempt, place)
    return tuple(tuple(Piece(span.text, STYLES.get(span.style, "")) for span in row) for row in rows)


def _working(task: Task, attempt: Attempt, width: int, blank: bool) -> tuple[Line, ...]:
    """The given line, what the settings mean, and the working; blank: whether a free row stands between."""
    label = say("screen.given")
    pieces = sheet.folded(sheet.givens(task.problem, meaning=True), width - len(label))
    given = [(label if row == 0 else " " * len(label)) + text for row, text in enumerate(pieces)]
    entries = sheet.columns(sheet.working(attempt), width)
    return plain([*given, *([""] if blank else []), *entries])


def _columns(lines: tuple[Line, ...]) -> int:
    return max((sum(len(piece.text) for piece in line) for line in lines), default=0)
