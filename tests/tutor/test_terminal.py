"""Text is made fit for the terminal at hand, and nothing in it steers one."""

from __future__ import annotations

import io

import pytest

from tutor.terminal import Paper, ascii_text, steady, takes_unicode, wants_unicode


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


UTF = {"LANG": "en_GB.UTF-8"}


@pytest.mark.parametrize(
    ("environment", "given", "expected"),
    [
        pytest.param(UTF, UTF, True, id="UTF-8"),
        pytest.param({"LANG": "de_DE.utf8@euro"}, {}, True, id="UTF-8 spelled otherwise"),
        pytest.param({}, {}, True, id="nothing said"),
        pytest.param({"LC_ALL": "C", **UTF}, UTF, False, id="LC_ALL goes before LANG"),
        pytest.param({"LC_ALL": "", "LANG": "POSIX"}, {}, False, id="an empty one says nothing"),
        pytest.param({"LANG": "de_DE.ISO-8859-1"}, {}, False, id="another encoding"),
        pytest.param({"LANG": "C", "LC_CTYPE": "C.UTF-8"}, {"LANG": "C"}, False, id="LC_CTYPE as Python set it"),
        pytest.param({"LANG": "C", "LC_CTYPE": "C.UTF-8"}, {"LC_CTYPE": "C.UTF-8"}, True, id="LC_CTYPE as given"),
        pytest.param({"LC_ALL": "C", "PYTHONIOENCODING": "utf-8"}, {}, True, id="asked for by name"),
    ],
)
def test_the_locale_as_it_was_given_says_whether_a_terminal_has_utf_8(
    environment: dict[str, str], given: dict[str, str], expected: bool
) -> None:
    assert wants_unicode(environment, given) is expected


def test_text_is_wrapped_after_it_is_spelled_and_no_unit_is_torn_off() -> None:
    paper = Paper(None, unicode=False, columns=80)
    assert paper.spelled("4.7\u2009kΩ") == "4.7\u00a0kohm"
    assert paper.spelled("Rg ∥ Rf\x1b") == "Rg || Rf?"


def test_a_paper_without_unicode_prints_ascii() -> None:
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding="ascii")
    Paper.of(stream).line("− Ω │")
    assert raw.getvalue() == b"- ohm |\n"
