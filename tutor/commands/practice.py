"""``tworules practice``: one problem after another, on the screen or line by line."""

from __future__ import annotations

import click

from tutor.commands.options import find_option, optional_source, seed_option, set_option
from tutor.words import say


@click.command("practice", help=say("practice.help"))
@optional_source
@seed_option
@set_option
@find_option
@click.option("--lines", is_flag=True, help=say("practice.lines"))
def command(
    source: str = "",
    seed: int | None = None,
    settings: tuple[tuple[str, str], ...] = (),
    find: tuple[str, ...] = (),
    lines: bool = False,
) -> None:
    from tutor.commands.options import faults_of
    from tutor.source import Source
    from tutor.terminal import screen_possible

    start = Source(source, seed, dict(settings), find).drawn()
    with faults_of(source):
        task = start.task()
    if lines or not screen_possible():
        from tutor.lines import run

        run(start, task, seed_asked=seed is not None)
        return
    from tutor.screens.app import Tutor

    # the mouse stays the terminal's own, so that drawing and working can be marked and copied
    Tutor(start, task, seed_asked=seed is not None).run(mouse=False)
