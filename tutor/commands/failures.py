"""How a command ends when it cannot do what was asked: a plain sentence on stderr and the exit status."""

from __future__ import annotations

import re
from typing import Any

import click

from tutor.terminal import steady
from tutor.words import say


class NotRight(click.ClickException):
    """A file or answer that is not right yet: exit status 1, the reason on stderr as it stands."""

    exit_code = 1

    def show(self, file: Any = None) -> None:
        click.echo(self.message, err=True)


class Unfit(click.UsageError):
    """A command line that is not right: exit status 2, what to mend on stderr as it stands."""

    def show(self, file: Any = None) -> None:
        click.echo(self.message, err=True)


def unfit(error: click.UsageError, within: str) -> click.UsageError:
    """What the parser of the command line found, in our own words; our own errors and help pages as they are.

    within: the command whose help says more, where the error does not know it.
    """
    if isinstance(error, (Unfit, click.exceptions.NoArgsIsHelpError)):
        return error
    command = error.ctx.command_path if error.ctx is not None else within
    return Unfit(steady(say("command.unfit", reason=_reason(error), command=command)), error.ctx)


def _reason(error: click.UsageError) -> str:
    """One sentence on what does not fit."""
    if isinstance(error, click.NoSuchOption):
        near = say("command.near", near=error.possibilities[0]) if error.possibilities else ""
        return say("command.no-option", word=error.option_name, remedy=near).rstrip()
    if isinstance(error, click.NoSuchCommand):
        group = error.ctx.command if error.ctx is not None else None
        known = group.list_commands(error.ctx) if isinstance(group, click.Group) and error.ctx is not None else ()
        return say("command.no-command", word=error.command_name, known=", ".join(known))
    if isinstance(error, click.BadOptionUsage):
        # the one other way to misuse an option is to hand a value to one that takes none
        key = "command.no-value" if "requires" in error.message else "command.no-value-taken"
        return say(key, word=error.option_name)
    if isinstance(error, click.MissingParameter):
        return say("command.missing", word=_name(error))
    if isinstance(error, click.BadParameter):
        return f"{_name(error)}: {error.message}"
    extra = re.search(r"extra arguments? \((.*)\)", error.message)
    return say("command.extra", words=extra[1]) if extra else error.message


def _name(error: click.BadParameter) -> str:
    """A parameter as the help page has it."""
    if isinstance(error.param, click.Option):
        return error.param.opts[-1]
    return error.param.make_metavar(error.ctx) if error.param is not None and error.ctx is not None else ""
