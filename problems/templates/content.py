"""Where the content folder lies: inside the installed package, or beside it in a checkout."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parents[1]


class ContentMissing(FileNotFoundError):
    """The installation has no content folder. looked: the places tried."""

    def __init__(self, looked: tuple[Path, ...]):
        self.looked = looked
        super().__init__(f"no content folder at {' or '.join(map(str, looked))}; install the package again")


def content(folder: str = "") -> Path:
    """The content folder, or a folder in it; raises ContentMissing.

    A wheel carries it as ``problems/_content``; an editable install has only the checkout's own ``content``. Plain
    paths and not ``importlib.resources``, which costs 15 ms at every start.
    """
    places = (_PACKAGE / "_content", _PACKAGE.parent / "content")
    for place in places:
        if place.is_dir():
            return place / folder
    raise ContentMissing(places)
