"""``tworules practice``: one problem after another, on the screen or line by line."""

from __future__ import annotations

import sys

import click

from tutor.commands.options import faults_of, find_option, method_option, optional_source, seed_option, set_option
from tutor.terminal import Paper, screen_possible
from tutor.words import say


@click.command("practice", help=say("practice.help"))
@optional_source
@seed_option
@set_option
@find_option
@method_option
@click.option("--lines", is_flag=True, help=say("practice.lines"))
def command(
    source: str = "",
    seed: int | None = None,
    settings: tuple[tuple[str, str], ...] = (),
    find: tuple[str, ...] = (),
    method: str = "laws",
    lines: bool = False,
) -> None:
    from tutor.source import Source, again

    start = Source(source, seed, dict(settings), find, method, in_order=seed is not None).drawn()
    on_screen = not lines and screen_possible()
    task = None
    with faults_of(source):
        if not (on_screen and start.sure):  # else the screen paints first and makes its problem then
            task = start.task()
    if on_screen:
        from tutor.screens.app import Tutor

        # the mouse stays the terminal's own, so that drawing and working can be marked and copied
        app = Tutor(start, task)
        app.run(mouse=False)
        Paper.of(sys.stdout).line(say("practice.left", command=again(app.sheet.source, app.sheet.current)))
    else:
        from tutor.lines import Lines

        Lines(start, task or start.task()).run()
