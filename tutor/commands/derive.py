"""``tworules derive``: the drawing and the worked derivation."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from tutor.commands.options import (
    faults_of,
    find_option,
    json_option,
    method_option,
    seed_option,
    set_option,
    source_argument,
)
from tutor.terminal import Paper
from tutor.words import say

if TYPE_CHECKING:
    from tutor.source import Task


@click.command("derive", help=say("derive.help"))
@source_argument
@seed_option
@set_option
@find_option
@method_option
@json_option
def command(
    source: str,
    seed: int | None,
    settings: tuple[tuple[str, str], ...],
    find: tuple[str, ...],
    method: str,
    as_json: bool,
) -> None:
    from tutor.source import Source

    with faults_of(source):
        task = Source(source, seed, dict(settings), find, method).task()
        if as_json:
            import json

            from tutor.documents import derivation

            click.echo(json.dumps(derivation(task), ensure_ascii=False, indent=2))
            return
        show(task)


def show(task: Task) -> None:
    """Print the sheet of a task with its whole derivation."""
    from tutor.derivation import lines

    paper = Paper.of(sys.stdout)
    for line in lines(task, paper):
        paper.line(line)
