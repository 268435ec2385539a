"""The full-screen tutor: one practice sheet, and what is true of the whole app."""

from __future__ import annotations

import os

from textual.app import App

from tutor.screens.practice import PracticeScreen
from tutor.source import Source, Task


class Tutor(App[None]):
    """Opens the practice sheet on a task, or on the first task of a source.

    It wears the terminal's own colours unless TEXTUAL_THEME says otherwise.
    """

    ENABLE_COMMAND_PALETTE = False
    CSS_PATH = "practice.tcss"
    TITLE = "tworules"

    def __init__(self, source: Source, task: Task | None = None):
        # said before the start: Textual chooses its filter for NO_COLOR then, and the other one paints black on black
        own_colours = "NO_COLOR" in os.environ or not os.environ.get("TEXTUAL_THEME")
        super().__init__(ansi_color=own_colours or None)
        if own_colours:
            self.theme = "ansi-dark"
        self.sheet = PracticeScreen(source, task)

    def get_default_screen(self) -> PracticeScreen:
        return self.sheet
