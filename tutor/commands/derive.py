"""``tworules derive``: the drawing and the worked derivation."""

from __future__ import annotations

import sys
from dataclasses import replace
from typing import TYPE_CHECKING

import click

from tutor.commands.options import (
    faults_of,
    find_option,
    json_option,
    methods_option,
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
@methods_option
@json_option
def command(
    source: str,
    seed: int | None,
    settings: tuple[tuple[str, str], ...],
    find: tuple[str, ...],
    methods: tuple[tuple[str, ...], ...],
    as_json: bool,
) -> None:
    from tutor.source import Source

    with faults_of(source):
        named = tuple(dict.fromkeys(method for several in methods for method in several)) or ("laws",)
        start = Source(source, seed, dict(settings), find).drawn()
        tasks = [replace(start, method=method).task() for method in named]
        if as_json:
            import json

            from tutor.documents import derivation, derivations

            document = derivation(tasks[0]) if len(tasks) == 1 else derivations(tasks)
            click.echo(json.dumps(document, ensure_ascii=False, indent=2))
            return
        show(*tasks)


def show(*tasks: Task) -> None:
    """Print the sheet of a problem with its whole derivation, by one method or by several."""
    from tutor.derivation import compared, lines

    paper = Paper.of(sys.stdout)
    for line in lines(tasks[0], paper) if len(tasks) == 1 else compared(tasks, paper):
        paper.line(line)
