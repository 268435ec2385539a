"""The shape of a family's file, and a check of that shape that reports every fault and not just the first."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from types import UnionType
from typing import Annotated, Any, get_args, get_origin

import msgspec
from msgspec import Meta, Struct
from msgspec.structs import fields

from problems.asks.registry import AskKind, ask_kinds
from problems.formulas.spelling import code_point, inert
from problems.templates.faults import near
from problems.templates.linemap import Path

Line = Annotated[str, Meta(max_length=200)]
Text = Annotated[str, Meta(max_length=4000)]
Title = Annotated[str, Meta(min_length=1, max_length=70)]
Figure = Any
"""A number or a text with a number; what it means is read by ``ranges``, which knows the unit."""


class Series(Struct, frozen=True, forbid_unknown_fields=True):
    """Any value of an E-series between two limits, limits included."""

    series: Line
    low: Figure = msgspec.field(name="from")
    high: Figure = msgspec.field(name="to")
    unit: Line = ""


class Choice(Struct, frozen=True, forbid_unknown_fields=True):
    """Any value of a list."""

    choose: tuple[Figure, ...]
    unit: Line = ""


class Fixed(Struct, frozen=True, forbid_unknown_fields=True):
    """Always the same value."""

    value: Figure
    unit: Line = ""


class Keep(Struct, frozen=True, forbid_unknown_fields=True):
    """Conditions that a variant must meet."""

    rules: tuple[Line, ...] = ()


class Find(Struct, frozen=True, forbid_unknown_fields=True):
    """Ask for the value of a quantity. apart: wrong moves whose values must differ from each other in every variant."""

    find: Line
    apart: tuple[Line, ...] = ()


class Twin(Struct, frozen=True, forbid_unknown_fields=True):
    """Marks a disguised twin. of: the family it is a twin of. names: what a value of that one is called here."""

    of: Line
    names: dict[str, Line] = {}  # msgspec copies it for each struct


class FamilyFile(Struct, frozen=True, forbid_unknown_fields=True):
    """A family as it is written. order: its place in the list of families, easy ones first; 0 is after all others."""

    title: Title
    drawing: Text
    ask: tuple[Any, ...]
    topic: Line = ""
    order: int = 0
    package: Line = "single"
    statement: Text = ""
    setting: Text = ""
    caution: Text = ""
    values: dict[str, Any] = {}  # msgspec copies it for each struct
    keep: Keep = Keep()
    hints: dict[str, Line] = {}
    twin: Twin | None = None


VALUE_KINDS: Mapping[str, type[Series | Choice | Fixed]] = {"series": Series, "choose": Choice, "value": Fixed}
"""A table of [values] is told by the key it has; a bare figure is a fixed value."""
FIELD_TYPES: Mapping[type, Any] = {str: Line, tuple: tuple[Line, ...]}
"""What a field of an ask may be, by the plain type that its kind names."""
ASKS_PLANNED = ("choose", "show")
"""Kinds of ask that the format keeps a place for and that no one has built yet."""

Report = Callable[..., None]
"""``report(path, key, **fields)``: take down one fault."""


@cache
def ask_structs() -> Mapping[str, type[Struct]]:
    """The shape of each kind of [[ask]], by the key that tells it."""
    return {"find": Find} | {key: _ask_struct(kind) for key, kind in ask_kinds().items()}


def _ask_struct(kind: AskKind) -> type[Struct]:
    shape = [
        (name.replace("-", "_"), FIELD_TYPES[plain], msgspec.field(name=name)) for name, plain in kind.fields.items()
    ]
    return msgspec.defstruct(kind.key, shape, frozen=True, forbid_unknown_fields=True)


def check(raw: Mapping[str, Any], report: Report) -> FamilyFile | None:
    """The file as a struct, or None; every fault of its shape goes to ``report``."""
    found: list[None] = []

    def counted(path: Path, key: str, **about: object) -> None:
        found.append(None)
        report(path, key, **about)

    _struct(raw, FamilyFile, (), counted)
    _asks(raw.get("ask"), counted)
    return None if found else msgspec.convert(raw, FamilyFile)


def asks_of(raw: Any) -> Iterator[tuple[int, str, Struct]]:
    """The asks that have the right shape, with position and kind, whatever else is wrong in the file."""
    for place, ask in enumerate(raw if isinstance(raw, list) else ()):
        kind = next((name for name in ask_structs() if isinstance(ask, dict) and name in ask), "find")
        try:
            yield place, kind, msgspec.convert(ask, ask_structs()[kind])
        except msgspec.ValidationError:
            continue


def twin_of(raw: Any) -> Twin | None:
    """The twin mark if it has the right shape, whatever else is wrong in the file."""
    try:
        return msgspec.convert(raw, Twin)
    except msgspec.ValidationError:
        return None


def value_of(raw: Any, path: Path, report: Report) -> Series | Choice | Fixed | None:
    """One entry of [values]; None, and reports, where its shape is wrong."""
    if not isinstance(raw, dict):
        return Fixed(value=raw)
    kinds = [name for name in VALUE_KINDS if name in raw]
    if len(kinds) != 1:
        report(path, "value-kind" if not kinds else "value-kinds", names=", ".join(kinds))
        return None
    before: list[None] = []

    def counted(where: Path, key: str, **about: object) -> None:
        before.append(None)
        report(where, key, **about)

    _struct(raw, VALUE_KINDS[kinds[0]], path, counted)
    return None if before else msgspec.convert(raw, VALUE_KINDS[kinds[0]])


def _asks(raw: Any, report: Report) -> None:
    if raw == []:
        report(("ask",), "no-ask")
    for place, ask in enumerate(raw if isinstance(raw, list) else ()):
        path: Path = ("ask", place)
        kind = next((name for name in (*ask_structs(), *ASKS_PLANNED) if isinstance(ask, dict) and name in ask), "")
        if kind in ask_structs():
            _struct(ask, ask_structs()[kind], path, report)
        elif kind:
            report((*path, kind), "ask-planned", kind=kind)
        else:
            word = inert(next(iter(ask), "")) if isinstance(ask, dict) else ""
            report(path, "ask-kind", near=near(word, ask_structs()))


def _struct(raw: Any, kind: type[Struct], path: Path, report: Report) -> None:
    """Each key of a table on its own, so that one fault does not hide another."""
    if not isinstance(raw, dict):
        report(path, "type", wanted="a table", got=_called(raw))
        return
    known = {entry.encode_name: entry for entry in fields(kind)}
    for name in raw:
        if name not in known:
            report((*path, name), "unknown-key", name=inert(name), near=near(name, known))
    for name, entry in known.items():
        if name in raw:
            _leaf(raw[name], entry.type, (*path, name), report)
        elif entry.required:
            report(path, "missing-key", name=name)


def _leaf(raw: Any, kind: Any, path: Path, report: Report) -> None:
    if isinstance(kind, UnionType):
        kind = get_args(kind)[0]  # TOML has no null: what may be left out is there or not
    if isinstance(kind, type) and issubclass(kind, Struct):
        _struct(raw, kind, path, report)
    elif get_origin(kind) is tuple and isinstance(raw, list):
        for place, item in enumerate(raw):
            _leaf(item, get_args(kind)[0], (*path, place), report)
    elif get_origin(kind) is dict and isinstance(raw, dict):
        for name, item in raw.items():
            _leaf(item, get_args(kind)[1], (*path, name), report)
    else:
        _plain(raw, kind, path, report)


def _plain(raw: Any, kind: Any, path: Path, report: Report) -> None:
    try:
        msgspec.convert(raw, kind)
    except msgspec.ValidationError as error:
        wanted = {tuple: "a list", dict: "a table", int: "a whole number"}.get(get_origin(kind) or kind, "a text")
        if isinstance(raw, str) and wanted == "a text":
            report(path, "length", got=len(raw), wanted=str(error))
        else:
            report(path, "type", wanted=wanted, got=_called(raw))
        return
    strange = next((char for char in raw if _obeyed(char)), None) if isinstance(raw, str) else None
    if strange is not None:
        report(path, "character", code=code_point(strange))


def _obeyed(char: str) -> bool:
    """Control and direction characters: a terminal obeys them, a reader does not see them."""
    return char not in "\n\t" and unicodedata.category(char) in ("Cc", "Cf", "Cs", "Zl", "Zp")


def _called(raw: Any) -> str:
    names = {bool: "true or false", str: "a text", list: "a list", dict: "a table"}
    return next((name for kind, name in names.items() if isinstance(raw, kind)), "a number")
