"""``tworules check``: statements judged without a session."""

from __future__ import annotations

import sys

import click

from tutor.commands.failures import Unfit
from tutor.commands.options import (
    faults_of,
    find_option,
    json_option,
    method_option,
    seed_option,
    set_option,
    source_argument,
)
from tutor.terminal import Paper, shortened
from tutor.words import say


@click.command("check", help=say("check.help"))
@source_argument
@click.argument("statements", nargs=-1, metavar="STATEMENT ...")
@seed_option
@set_option
@find_option
@method_option
@json_option
def command(
    source: str,
    statements: tuple[str, ...],
    seed: int | None,
    settings: tuple[tuple[str, str], ...],
    find: tuple[str, ...],
    method: str,
    as_json: bool,
) -> None:
    from tutor.source import Source

    if not statements:
        raise Unfit(say("check.no-statement"))
    with faults_of(source):
        task = Source(source, seed, dict(settings), find, method).task()
    if seed is None and task.code and not set(task.problem.circuit.units) <= dict(settings).keys():
        raise Unfit(say("check.no-seed"))
    attempt = task.problem.begin()
    judged = []
    for text in statements:
        attempt, verdict = attempt.state(text)
        judged.append((text, verdict))
    if as_json:
        import json

        from tutor.documents import verdicts

        click.echo(json.dumps(verdicts(task, judged, attempt), ensure_ascii=False, indent=2))
    else:
        _show([(text, verdict.message) for text, verdict in judged])
    if not all(verdict.right for _, verdict in judged):
        raise click.exceptions.Exit(1)


def _show(judged: list[tuple[str, str]]) -> None:
    from tutor.session import spoken
    from tutor.sheet import paragraphs

    paper = Paper.of(sys.stdout)
    for text, message in judged:
        paper.line(f"> {shortened(text)}")
        for line in spoken(message):
            for part in paragraphs(paper.spelled(line), paper.columns - 2):
                paper.line(f"  {part}")
