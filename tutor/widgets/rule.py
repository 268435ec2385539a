"""A ruled line across the sheet, or down it."""

from __future__ import annotations

from rich.segment import Segment
from textual.strip import Strip
from textual.widget import Widget


class Rule(Widget):
    """One row of ``─``, or one column of ``│`` when it is made upright."""

    DEFAULT_CSS = """
    Rule { width: 1fr; height: 1; color: $text-muted; }
    Rule.upright { width: 1; height: 1fr; }
    """

    def render_line(self, y: int) -> Strip:
        sign = "│" if self.has_class("upright") else "─"
        return Strip([Segment(sign * self.size.width, self.rich_style)], self.size.width)
