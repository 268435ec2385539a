"""``tworules`` itself: finds the command, and ends every run with a plain message and the right exit status."""

from __future__ import annotations

import os
import sys
from importlib import import_module
from typing import Any, NoReturn

import click

from tutor.__main__ import INTERRUPTED
from tutor.terminal import tolerant
from tutor.words import say

COMMANDS = ("practice", "families", "derive", "check", "author")
"""In the order of the help; each is the attribute ``command`` of ``tutor.commands.<name>``."""


class ReaderGone(Exception):
    """Whoever read the output has closed the pipe. Kept from click, which would end with 1 where nothing was wrong."""


class LazyGroup(click.Group):
    """A group that imports a command's module when the command is wanted, not before."""

    def make_context(self, *words: Any, **more: Any) -> click.Context:
        try:
            return super().make_context(*words, **more)
        except BrokenPipeError:
            raise ReaderGone from None

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        except BrokenPipeError:
            raise ReaderGone from None

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        found: click.Command = import_module(f"tutor.commands.{cmd_name}").command
        return found

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        try:
            return super().resolve_command(ctx, args)
        except click.UsageError as error:
            raise _with_hint(error, args[0], ctx) from None


def _with_hint(error: click.UsageError, word: str, ctx: click.Context) -> click.UsageError:
    """The same error naming the command that was probably meant."""
    import difflib

    near = difflib.get_close_matches(word, COMMANDS, 1)
    known = say("command.near", near=near[0]) if near else say("command.known", known=", ".join(COMMANDS))
    return click.UsageError(say("command.unknown", word=word, remedy=known), ctx) if word[:1] != "-" else error


@click.group(
    cls=LazyGroup,
    invoke_without_command=True,
    help=say("command.help"),
    epilog=say("command.epilog"),
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(None, "--version", package_name="tworules", help=say("command.version"))
@click.pass_context
def group(context: click.Context) -> None:
    if context.invoked_subcommand is None:
        context.invoke(import_module("tutor.commands.practice").command)


def main(words: list[str] | None = None) -> NoReturn:
    """Run the command line and end the process with the exit status that the help names."""
    tolerant(sys.stdin, sys.stdout, sys.stderr)
    sys.exit(_run(words))


def _run(words: list[str] | None) -> int:
    try:
        status: Any = group.main(words, prog_name="tworules", standalone_mode=False)
        if sys.stdout is not None:
            sys.stdout.flush()
    except click.ClickException as error:
        error.show()
        return error.exit_code
    except (KeyboardInterrupt, click.Abort):
        click.echo(say("command.interrupted"), err=True)
        return INTERRUPTED
    except (ReaderGone, BrokenPipeError):
        _drop_output()
        return 0
    return status if isinstance(status, int) else 0


def _drop_output() -> None:
    """Send what is still unwritten nowhere: the reader has gone, and Python would complain at exit."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
