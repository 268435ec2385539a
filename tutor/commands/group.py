"""``tworules`` itself: finds the command, and ends every run with a plain message and the right exit status."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from importlib import import_module
from typing import Any, NoReturn

import click

from tutor.commands.failures import Unfit, unfit
from tutor.status import INTERRUPTED
from tutor.terminal import tolerant
from tutor.words import say

COMMANDS = ("practice", "families", "derive", "check", "author")
"""In the order of the help; each is the attribute ``command`` of ``tutor.commands.<name>``."""


UNWRITTEN = 1
"""Exit status where what was to be printed could not be written."""


class ReaderGone(Exception):
    """Whoever read the output has closed the pipe. Kept from click, which would end with 1 where nothing was wrong."""


class LazyGroup(click.Group):
    """A group that imports a command's module when the command is wanted, not before."""

    def make_context(self, *words: Any, **more: Any) -> click.Context:
        with _plainly(say("command.name")):
            return super().make_context(*words, **more)

    def invoke(self, ctx: click.Context) -> Any:
        with _plainly(ctx.command_path, ctx):
            return super().invoke(ctx)

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
        if args[0] not in COMMANDS and args[0][:1] != "-":
            import difflib

            near = difflib.get_close_matches(args[0], COMMANDS, 1)
            known = say("command.near", near=near[0]) if near else say("command.known", known=", ".join(COMMANDS))
            raise Unfit(say("command.unknown", word=args[0], remedy=known))
        return super().resolve_command(ctx, args)


@contextmanager
def _plainly(command: str, ctx: click.Context | None = None) -> Iterator[None]:
    """Errors of the command line in our own words; a closed pipe kept from click."""
    try:
        yield
    except click.UsageError as error:
        within = f" {ctx.invoked_subcommand}" if ctx is not None and ctx.invoked_subcommand else ""
        raise unfit(error, command + within) from None
    except BrokenPipeError:
        raise ReaderGone from None


@click.group(
    say("command.name"),
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
        status: Any = group.main(words, prog_name=say("command.name"), standalone_mode=False)
        if sys.stdout is not None:
            sys.stdout.flush()
    except click.ClickException as error:
        _tell(error.show)
        return error.exit_code
    except (KeyboardInterrupt, click.Abort):
        _tell(lambda: click.echo(say("command.interrupted"), err=True))
        return INTERRUPTED
    except (ReaderGone, BrokenPipeError):
        _drop_output()
        return 0
    except OSError as error:
        _drop_output()
        reason = f"{error.filename}: {error.strerror}" if error.filename else error.strerror
        _tell(lambda: click.echo(say("command.unwritten", reason=reason), err=True))
        return UNWRITTEN
    return status if isinstance(status, int) else 0


def _tell(how: Callable[[], None]) -> None:
    """Say a last word on stderr; where that cannot be written either, the exit status says it alone."""
    with suppress(OSError):
        how()


def _drop_output() -> None:
    """Send what is still unwritten nowhere: it cannot be written, and Python would complain at exit."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
