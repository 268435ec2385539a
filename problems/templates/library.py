"""Families by name: those of the content folder, and any file.

Listing families must stay fast, so a family reads no more than its title until a problem is asked of it; all that reads
drawings or solves circuits is imported then.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from problems.templates.content import content
from problems.words import say

if TYPE_CHECKING:
    from problems.problem import Problem
    from problems.templates.faults import Fault
    from problems.templates.maker import Maker

SUFFIX = ".toml"


class UnknownFamily(ValueError):
    """No family of that name, and no file. name: what was given. near: families with a name like it, else all."""

    def __init__(self, name: str, known: Sequence[str]):
        import difflib  # see the head of this module

        from problems.formulas.spelling import inert
        from problems.templates.faults import there_is

        self.name = name
        self.near = tuple(difflib.get_close_matches(name, known, 3, 0.5)) or tuple(known)
        super().__init__(say("family.unknown-family", name=inert(name), near=there_is(self.near)))


@dataclass(frozen=True)
class Family:
    """Problems of one kind: a drawing, ranges for its values, and what to ask.

    name: the stem of its file. text: the file's content. file: what to call the file in messages.
    """

    name: str
    text: str
    file: str

    @property
    def title(self) -> str:
        """What a list of families says of it; the name where the file says nothing that can be read."""
        return str(self._head.get("title") or self.name)

    @property
    def topic(self) -> str:
        """What it is filed under."""
        return str(self._head.get("topic") or "")

    @property
    def order(self) -> float:
        """Its place among the families, easy ones first; endless where the file names none."""
        place = self._head.get("order")
        return place if isinstance(place, int) and place > 0 else float("inf")

    @property
    def asks(self) -> tuple[str, ...]:
        """Names of the quantities asked, in order. Raises FamilyFault."""
        return self._maker.asks

    @property
    def symbols(self) -> tuple[str, ...]:
        """Names of the values that ``problem`` lets you hold. Raises FamilyFault."""
        return self._maker.symbols

    def problem(
        self, seed: int | None = None, values: Mapping[str, Any] | None = None, find: Sequence[str] = ()
    ) -> Problem:
        """The problem of that seed; the same seed and values always give the same.

        seed: any whole number; none is 0. values: values to hold instead of drawing them, by name. find: quantities to
        ask instead of the family's own. Raises FamilyFault with everything wrong in the file, UnknownSetting,
        BadSetting, MissingValues, NoVariant, UnknownQuantity.
        """
        return self._maker.problem(0 if seed is None else seed, values or {}, tuple(find))

    def proofread(self, values: Mapping[str, Any] | None = None, find: Sequence[str] = ()) -> tuple[Fault, ...]:
        """Everything that is wrong with the file.

        values, find: what a bare drawing is looked at with; a family's file has its own. Raises UnknownSetting,
        BadSetting and UnknownQuantity where those do not fit the drawing.
        """
        from problems.templates.bare import drawing_faults  # see the head of this module
        from problems.templates.maker import is_drawing
        from problems.templates.proofread import faults_of

        if is_drawing(self.text):
            return drawing_faults(self.text, self.name, self.file, values, tuple(find))
        return faults_of(self.text, self.name, self.file)

    @cached_property
    def _head(self) -> Mapping[str, Any]:
        """The tables of the file; only what stands before the drawing where that is enough, which is quicker."""
        return _parsed(self.text.partition("\ndrawing")[0], ("title", "topic")) or _parsed(self.text, ()) or {}

    @cached_property
    def _maker(self) -> Maker:
        from problems.templates.maker import maker_of  # see the head of this module

        return maker_of(self.text, self.name, self.file)


@cache
def families() -> tuple[Family, ...]:
    """The families of the content folder in the order of teaching: by the ``order`` of their files, then by name."""
    found = [load_family(path) for path in content("families").glob(f"*{SUFFIX}")]
    return tuple(sorted(found, key=lambda family: (family.order, family.name)))


def family(name: str | Path) -> Family:
    """The family of that name, or of that file. Raises UnknownFamily, naming near ones."""
    found = next((known for known in families() if known.name == str(name)), None)
    if found is not None:
        return found
    path = Path(name)
    if not _is_file(path):
        raise UnknownFamily(str(name), [known.name for known in families()])
    return load_family(path)


def load_family(path: str | Path) -> Family:
    """The family of a file: a family's file, or a bare drawing. Raises OSError."""
    path = Path(path)
    text = path.read_bytes().decode("utf-8-sig", errors="surrogateescape")
    return Family(path.stem, text, str(path))


def _parsed(text: str, needed: tuple[str, ...]) -> Mapping[str, Any] | None:
    """The tables of a text; None where it is not TOML or a key is missing."""
    try:
        head = tomllib.loads(text)
    except (ValueError, RecursionError):
        return None
    return head if all(key in head for key in needed) else None


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except (OSError, ValueError):  # a name too long, or with a null in it
        return False


def proofread(path: str | Path, values: Mapping[str, Any] | None = None, find: Sequence[str] = ()) -> tuple[Fault, ...]:
    """Everything that is wrong with a family's file or a bare drawing, in the order of the file.

    Raises OSError, and what ``Family.proofread`` raises.
    """
    return load_family(path).proofread(values, find)
