"""A widget that shows rows of styled text: the drawing, the working, the head and the rules of the sheet.

It paints line by line from plain rows, which is what keeps a key press within a few milliseconds, and gives every
segment a style, without which Textual fails when colour is switched off.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar, NamedTuple

from rich.cells import cell_len
from rich.segment import Segment
from rich.style import Style
from textual.geometry import Size
from textual.strip import Strip
from textual.widget import Widget


class Piece(NamedTuple):
    """Text in one style; style is a name of ``Spans.STYLES``, empty for plain."""

    text: str
    style: str = ""


Line = tuple[Piece, ...]


class Spans(Widget):
    """Rows of pieces, as tall and as wide as they are. Set them with ``show``."""

    STYLES: ClassVar[frozenset[str]] = frozenset({"part", "known", "lit", "strong", "faint"})
    COMPONENT_CLASSES = {f"spans--{style}" for style in STYLES}  # noqa: RUF012 - Textual's own type
    DEFAULT_CSS = """
    Spans { width: auto; height: auto; }
    Spans > .spans--part, Spans > .spans--strong { text-style: bold; }
    Spans > .spans--known { color: $text-accent; text-style: bold; }
    Spans > .spans--lit { text-style: bold reverse; }
    Spans > .spans--faint { color: $text-muted; }
    """

    def __init__(self, rows: Iterable[Line] = (), *, id: str | None = None):  # noqa: A002 - Textual's name
        super().__init__(id=id)
        self.rows: tuple[Line, ...] = tuple(rows)

    def show(self, rows: Iterable[Line]) -> None:
        """Put other rows in place; paints only when something changed."""
        new = tuple(rows)
        if new == self.rows:
            return
        reshaped = len(new) != len(self.rows) or _widest(new) != _widest(self.rows)
        self.rows = new
        self.refresh(layout=reshaped)

    def get_content_width(self, container: Size, viewport: Size) -> int:
        return _widest(self.rows)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return len(self.rows)

    def render_line(self, y: int) -> Strip:
        base = self.rich_style
        line = self.rows[y] if 0 <= y < len(self.rows) else ()
        segments = [Segment(piece.text, self._style(piece.style, base)) for piece in line]
        return Strip(segments).adjust_cell_length(self.size.width, base)

    def _style(self, name: str, base: Style) -> Style:
        return self.get_component_rich_style(f"spans--{name}") if name in self.STYLES else base


def plain(lines: Iterable[str]) -> tuple[Line, ...]:
    """Unstyled rows."""
    return tuple((Piece(line),) for line in lines)


def _widest(rows: tuple[Line, ...]) -> int:
    return max((sum(cell_len(piece.text) for piece in line) for line in rows), default=0)
