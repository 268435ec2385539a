"""Where problems come from: a family by name, a family file, a bare drawing, or all families in turn."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from tutor.seeds import code_of, fresh_seed
from tutor.words import say

if TYPE_CHECKING:
    from problems import Problem

PLAIN = "laws"
"""The method where none is named."""
LARGEST_FILE = 1_000_000
"""Bytes; a drawing or family file beyond this is some other file given by mistake."""


class NoSuchSource(ValueError):
    """The word names neither a family nor a file. word: what was given. known: families with a name like it."""

    def __init__(self, word: str, known: tuple[str, ...]):
        self.word, self.known = word, known
        super().__init__(say("source.unknown", word=word, known=", ".join(known)))


class FolderGiven(NoSuchSource):
    """The word names a folder."""

    def __init__(self, word: str):
        self.word, self.known = word, ()
        ValueError.__init__(self, say("source.folder", word=word))


class UnreadableFile(ValueError):
    """The file is there but its text cannot be had. path, reason: which and why."""

    def __init__(self, path: str, reason: str):
        self.path, self.reason = path, reason
        super().__init__(say("source.unreadable", path=path, reason=reason))


@dataclass(frozen=True)
class Task:
    """A problem and how it came about. name: what the command line calls it.

    code: the version code that brings it back, empty where nothing was drawn by lot.
    """

    problem: Problem
    name: str
    code: str = ""

    @property
    def title(self) -> str:
        """For the head of the sheet; a bare drawing is named after its file."""
        return self.problem.title or say("source.drawing", file=Path(self.name).name)


@dataclass(frozen=True)
class Source:
    """Gives one task after another. Never changes: ``after`` is the source of the next task.

    word: family, file, or empty for every family. seed: None until drawn. settings: values held. find: asks in place of
    the family's own. method: of the derivation. in_order: the user gave the seed, so the next problem has the next one.
    last: the family just practised.
    """

    word: str = ""
    seed: int | None = None
    settings: Mapping[str, str] | None = None
    find: tuple[str, ...] = ()
    method: str = PLAIN
    in_order: bool = False
    last: str = ""

    def drawn(self) -> Source:
        """The same source with its seed fixed."""
        return self if self.seed is not None else replace(self, seed=fresh_seed())

    def after(self, task: Task) -> Source:
        """The source of the task that follows."""
        seed = self.seed + 1 if self.in_order and self.seed is not None else None
        return replace(self, seed=seed, last=task.name).drawn()

    @property
    def sure(self) -> bool:
        """Whether its task cannot fail: a family of the library, with nothing held, asked or chosen by the user."""
        return not self.settings and not self.find and self.method == PLAIN and self.chosen in family_names()

    @property
    def chosen(self) -> str:
        """The family or file; where any family will do, the easiest at first, then others by the seed."""
        if self.word:
            return self.word
        if not self.last:
            return family_names()[0]
        names = [name for name in family_names() if name != self.last]
        return names[(self.seed or 0) % len(names)]

    def task(self) -> Task:
        """The task of this source.

        Raises NoSuchSource, UnreadableFile, and what the engine raises for a drawing, family file or value at fault.
        """
        from problems import family
        from problems.templates.maker import is_drawing

        source = self.drawn()
        word, seed = source.chosen, source.seed or 0
        if word not in family_names():
            check_file(Path(word))
        found = family(word)
        problem = found.problem(seed=seed, values=dict(self.settings or {}), find=self.find)
        if self.method != problem.method:
            problem = problem.begin().with_method(self.method).problem
        return Task(problem, word, "" if is_drawing(found.text) else code_of(seed))


def again(source: Source, task: Task) -> str:
    """The command line that brings a task of that source back."""
    import shlex

    words = ["tworules", "practice", task.name]
    words += ["--seed", task.code] if task.code else []
    words += [word for name, value in (source.settings or {}).items() for word in ("--set", f"{name}={value}")]
    words += [word for quantity in source.find for word in ("--find", quantity)]
    words += ["--method", task.problem.method] if task.problem.method != PLAIN else []
    return shlex.join(words)


def check_file(path: Path) -> None:
    """Raises NoSuchSource where there is no such file, UnreadableFile where it is no text of bearable size."""
    try:
        folder, size = path.is_dir(), path.stat().st_size if path.is_file() else None
    except (OSError, ValueError):  # a name too long, or with a null in it
        folder, size = False, None
    if folder:
        raise FolderGiven(str(path))
    if size is None:
        raise NoSuchSource(str(path), near_families(str(path)))
    if size > LARGEST_FILE:
        raise UnreadableFile(str(path), say("source.too-large", most=LARGEST_FILE // 1_000_000))
    try:
        path.read_text("utf-8-sig")
    except UnicodeDecodeError:
        raise UnreadableFile(str(path), say("source.not-text")) from None
    except OSError as error:
        raise UnreadableFile(str(path), error.strerror or str(error)) from None


def family_names() -> tuple[str, ...]:
    """Names of all families, easy ones first."""
    from problems import families

    return tuple(found.name for found in families())


def near_families(word: str) -> tuple[str, ...]:
    """Families with a name like that word, capitals aside; all of them where none is near."""
    import difflib

    names = family_names()
    return tuple(difflib.get_close_matches(word.lower(), names, 3, 0.5)) or names
