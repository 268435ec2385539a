"""``tworules author``: write a family of your own, and have everything wrong with it told in one go."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from tutor.commands.failures import NotRight, Unfit
from tutor.commands.options import faults_of, find_option, seed_option, set_option, shown_fault
from tutor.terminal import steady
from tutor.words import say

if TYPE_CHECKING:
    from pathlib import Path

    from tutor.source import Task


class FilePath(click.ParamType["Path"]):
    """A file's path; pathlib is loaded when one is given, not for a help page."""

    name = "file"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Path:
        from pathlib import Path

        return Path(value)

    def shell_complete(self, ctx: click.Context, param: click.Parameter, incomplete: str) -> list[Any]:
        from click.shell_completion import CompletionItem

        return [CompletionItem(incomplete, type="file")]


file_argument = click.argument("file", type=FilePath(), metavar="FILE")

STARTER = """\
title = "My amplifier"
topic = "inverting amplifier"
drawing = '''
           +----[Rf]----+
           |            |
           |   |\\       |
 Vin o-[Ri]+---|-\\      |
               |U1>-----+--o Vout
           +---|+/
          GND  |/
'''
statement = '''
Ri is {Ri}, Rf is {Rf}, and the input is {Vin}.
'''

[values]
Vin = { unit = "V", choose = ["-1", "-0.5", "0.5", "1"] }
Ri = { unit = "ohm", series = "E12", from = "4.7k", to = "22k" }
Rf = { unit = "ohm", series = "E12", from = "10k", to = "100k" }

[keep]
rules = ["abs(V_out) <= 10 V"]

[[ask]]
find = "I_Ri"

[[ask]]
find = "V_out"
"""


@click.group("author", help=say("author.help"))
def command() -> None:
    pass


@command.command("new", help=say("author.new"))
@file_argument
def new(file: Path) -> None:
    try:
        with file.open("x", encoding="utf-8") as out:
            out.write(STARTER)
    except FileExistsError:
        raise NotRight(say("author.exists", path=_shown(file))) from None
    except FileNotFoundError as error:
        raise Unfit(say("author.unwritable", path=_shown(file), reason=error.strerror)) from None
    except OSError as error:
        raise NotRight(say("author.unwritable", path=_shown(file), reason=error.strerror)) from None
    click.echo(say("author.written", path=_shown(file)))


@command.command("proofread", help=say("author.proofread"))
@file_argument
@set_option
@find_option
def proofread(file: Path, settings: tuple[tuple[str, str], ...], find: tuple[str, ...]) -> None:
    _proofread(file, None, settings, find)
    click.echo(say("author.fine", path=_shown(file)))


@command.command("preview", help=say("author.preview"))
@file_argument
@seed_option
@set_option
@find_option
def preview(file: Path, seed: int | None, settings: tuple[tuple[str, str], ...], find: tuple[str, ...]) -> None:
    from tutor.commands.derive import show

    show(_proofread(file, seed, settings, find))


def _proofread(
    file: Path, seed: int | None, settings: tuple[tuple[str, str], ...] = (), find: tuple[str, ...] = ()
) -> Task:
    """A problem of the file; raises NotRight with every fault found in it."""
    from problems.templates.library import proofread
    from tutor.source import Source, check_file

    with faults_of(str(file)):
        check_file(file)
        faults = proofread(file, dict(settings), find)
        if faults:
            raise NotRight("\n".join(shown_fault(fault) for fault in faults))
        return Source(str(file), seed, dict(settings), find).task()


def _shown(path: Path) -> str:
    return steady(str(path))
