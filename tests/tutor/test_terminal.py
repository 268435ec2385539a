"""Text is made fit for the terminal at hand, and nothing in it steers one."""

from __future__ import annotations

import io

import pytest

from tutor.terminal import Paper, ascii_text, steady, takes_unicode


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        pytest.param("\x1b[31mred", "\ufffd[31mred", id="an escape sequence"),
        pytest.param("a\u202eb", "a\ufffdb", id="a direction mark"),
        pytest.param("a\u200bb", "a\ufffdb", id="a hidden sign"),
        pytest.param("a\r\nb\t", "a\ufffd\ufffdb\ufffd", id="control signs"),
        pytest.param("29.3\u2009µA −Ω", "29.3\u2009µA −Ω", id="what we print ourselves"),
    ],
)
def test_echoed_text_is_inert(text: str, shown: str) -> None:
    assert steady(text) == shown


def test_ascii_keeps_the_meaning() -> None:
    assert ascii_text("I_Rf = −17.4\u2009µA → 4.7\u2009kΩ · ½ …") == "I_Rf = -17.4 uA -> 4.7 kohm * 1/2 ..."
    assert ascii_text("漢") == "?"


@pytest.mark.parametrize(
    ("encoding", "expected"), [("utf-8", True), ("ascii", False), ("latin-1", False), ("no-such", False)]
)
def test_whether_a_stream_takes_box_characters(encoding: str, expected: bool) -> None:
    class Stream(io.StringIO):
        pass

    stream = Stream()
    Stream.encoding = encoding
    assert takes_unicode(stream) is expected


def test_a_paper_without_unicode_prints_ascii() -> None:
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding="ascii")
    Paper.of(stream).line("− Ω │")
    assert raw.getvalue() == b"- ohm |\n"
