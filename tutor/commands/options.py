"""Options and argument types that several commands share, and the one way an engine's error ends a command."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, TypeVar

import click

from tutor.commands.failures import NotRight, Unfit
from tutor.seeds import BadSeed, read_seed
from tutor.terminal import steady
from tutor.words import has, say

if TYPE_CHECKING:
    from problems.templates.faults import Fault

F = TypeVar("F", bound=Callable[..., Any])


class SourceWord(click.ParamType[str]):
    """FAMILY or FILE; completes names of families, and leaves files to the shell where none fits."""

    name = "source"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        word = str(value)
        if not word.strip() and param is not None and param.required:
            self.fail(say("source.empty"), param, ctx)
        return word

    def shell_complete(self, ctx: click.Context, param: click.Parameter, incomplete: str) -> list[Any]:
        from click.shell_completion import CompletionItem

        from problems import families

        found = [CompletionItem(f.name, help=f.title) for f in families() if f.name.startswith(incomplete)]
        return found or [CompletionItem(incomplete, type="file")]


class Seed(click.ParamType[int]):
    """A whole number or a version code."""

    name = "seed"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        try:
            return value if isinstance(value, int) else read_seed(value)
        except BadSeed as error:
            self.fail(say("seed.bad", text=error.text), param, ctx)


class Setting(click.ParamType[tuple[str, str]]):
    """``name=value``, as a pair."""

    name = "setting"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> tuple[str, str]:
        if isinstance(value, tuple):
            return value
        name, equals, text = value.partition("=")
        if not (equals and name.strip() and text.strip()):
            self.fail(say("set.bad", text=value), param, ctx)
        return name.strip(), text.strip()


class Method(click.ParamType[str]):
    """A method of derivation; the engine, which knows them, is loaded only where one is named."""

    name = "method"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        known = self._known() if value != "laws" else (value,)
        if value not in known:
            self.fail(say("method.bad", text=value, known=", ".join(known)), param, ctx)
        return str(value)

    def get_metavar(self, param: click.Parameter, ctx: click.Context | None = None) -> str:
        return f"[{'|'.join(self._known())}]"

    def shell_complete(self, ctx: click.Context, param: click.Parameter, incomplete: str) -> list[Any]:
        from click.shell_completion import CompletionItem

        return [CompletionItem(method) for method in self._known() if method.startswith(incomplete)]

    def _known(self) -> tuple[str, ...]:
        from problems.derivation.methods.registry import methods

        return tuple(methods())


class Methods(Method):
    """One method, or several behind one another with commas; each once."""

    name = "methods"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        if isinstance(value, tuple):
            return value
        words = [word.strip() for word in str(value).split(",")]
        return tuple(dict.fromkeys(super(Methods, self).convert(word, param, ctx) for word in words))


source_argument = click.argument("source", type=SourceWord(), metavar=say("command.source"))
optional_source = click.argument("source", type=SourceWord(), metavar=f"[{say('command.source')}]", default="")
seed_option = click.option("--seed", type=Seed(), help=say("option.seed"))
set_option = click.option(
    "--set", "settings", type=Setting(), multiple=True, metavar="NAME=VALUE", help=say("option.set")
)
find_option = click.option("--find", multiple=True, metavar="QUANTITY", help=say("option.find"))
method_option = click.option("--method", type=Method(), default="laws", help=say("option.method"))
methods_option = click.option("--method", "methods", type=Methods(), multiple=True, help=say("option.methods"))
json_option = click.option("--json", "as_json", is_flag=True, help=say("option.json"))


@contextmanager
def faults_of(word: str) -> Iterator[None]:
    """Turn an engine's ValueError into the end of a command: 1 when a file is at fault, else the command line's 2."""
    try:
        yield
    except ValueError as error:
        raise (NotRight if _of_file(error, word) else Unfit)(shown_error(error)) from None


def _of_file(error: ValueError, word: str) -> bool:
    """Whether a file, or the circuit in it, is at fault, not the words of the command line."""
    from problems import DrawingError, ManySolutions, NoNegativeFeedback, NoSolution, NoWalk
    from problems.circuits.netlist import ClashingSymbol, DuplicateName
    from problems.templates.bare import MissingValues
    from problems.templates.faults import FamilyFault
    from problems.templates.sample import NoVariant
    from tutor.source import UnreadableFile, family_names

    if word in family_names():
        return False  # the families that come with the program are right: a value given to one is at fault
    if isinstance(error, NoVariant):
        return word.endswith(".toml") and not error.held
    if isinstance(error, MissingValues):
        return False  # values on the command line would do
    of_circuit = (DrawingError, ClashingSymbol, DuplicateName, NoSolution, ManySolutions, NoNegativeFeedback, NoWalk)
    return isinstance(error, (*of_circuit, FamilyFault, UnreadableFile))


def shown_fault(fault: Fault) -> str:
    """A fault of a file with its place, its row of the drawing, and what to do about it on the command line."""
    remedy = say(f"remedy.{fault.key}", **fault.fields) if has(f"remedy.{fault.key}") else None
    return _inert("\n".join(filter(None, (fault.told(remedy), fault.picture))))


def shown_error(error: Exception) -> str:
    """The text of an error, each line of it made steady."""
    from problems.templates.faults import FamilyFault

    if isinstance(error, FamilyFault):
        return "\n".join(map(shown_fault, error.faults))
    return _inert(str(error)) or type(error).__name__


def _inert(text: str) -> str:
    return "\n".join(steady(line) for line in text.splitlines())
