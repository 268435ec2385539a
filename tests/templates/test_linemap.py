"""Where each key of a TOML text stands."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

import pytest

from problems.templates.content import content
from problems.templates.linemap import Path, line_map, spot_of

TEXT = """\
# a comment = with "signs"
title = "A # no comment"   # a comment
drawing = '''
 [R1]
 x = 3
'''
other = '''one line'''
[values]
R1 = { unit = "ohm", choose = ["1k",
  "2k", # "3k"
  "4k"] }
a.b = 1
[keep]
rules = [
  "a <= b",
  'c, d ]',
]
[[ask]]
find = "V_1"
[[ask]]

"find" = "V_2"
[ask.more]
x = 1979-05-27T07:32:00Z
"""


@pytest.mark.parametrize(
    ("path", "line"),
    [
        pytest.param(("title",), 2, id="key"),
        pytest.param(("drawing",), 3, id="text of several lines"),
        pytest.param(("other",), 7, id="key after a text of several lines"),
        pytest.param(("values",), 8, id="table"),
        pytest.param(("values", "R1", "choose"), 9, id="inside an inline table"),
        pytest.param(("values", "R1", "choose", 1), 10, id="second element"),
        pytest.param(("values", "R1", "choose", 2), 11, id="after a comment in a list"),
        pytest.param(("values", "a", "b"), 12, id="dotted key"),
        pytest.param(("keep", "rules", 1), 16, id="element on its own line"),
        pytest.param(("ask", 0, "find"), 19, id="first of a list of tables"),
        pytest.param(("ask", 1, "find"), 22, id="second of a list of tables, key in quotes"),
        pytest.param(("ask", 1, "more", "x"), 24, id="table inside a list of tables"),
    ],
)
def test_a_key_is_found_on_its_line(path: Path, line: int) -> None:
    assert line_map(TEXT)[path].line == line


def test_the_first_row_of_a_text_of_several_lines_is_below_its_key() -> None:
    assert line_map(TEXT)["drawing",].inside == 4
    assert line_map(TEXT)["other",].inside == 7


def test_windows_line_ends_count_as_one() -> None:
    assert line_map(TEXT.replace("\n", "\r\n")) == line_map(TEXT)


def test_what_is_missing_is_placed_at_the_table_that_should_have_it() -> None:
    lines = line_map(TEXT)
    assert spot_of(lines, ("ask", 1, "nothing")).line == 20
    assert spot_of(lines, ("nowhere", "at", "all")).line == 1


def _paths(value: Any, path: Path = ()) -> Iterator[Path]:
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, item in inner:
        yield (*path, key)
        yield from _paths(item, (*path, key))


@pytest.mark.parametrize("file", sorted(content("families").glob("*.toml")), ids=lambda file: file.stem)
def test_every_key_of_a_family_has_a_line_that_speaks_of_it(file: Any) -> None:
    text = file.read_text("utf-8")
    lines, rows = line_map(text), text.split("\n")
    paths = list(_paths(tomllib.loads(text)))
    assert paths
    for path in paths:
        if isinstance(path[-1], str):
            assert path[-1] in rows[lines[path].line - 1]
