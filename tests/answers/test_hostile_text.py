"""Text that is hostile by accident: judged or refused, never an exception, never printed raw."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from station_lesson import said, vane

import problems
from problems.answers.verdict import KINDS
from problems.words import has

LIKE_A_STATEMENT = st.text(alphabet="0123456789.,eEkmMuRVAIinotfgpU_+-*/^()|= sj[]{}%Ω−", max_size=80)
WORDS = [
    "V_2",
    "V_out",
    "I_Ri",
    "Vin",
    "Ri",
    "k",
    "2k",
    "2R2",
    "0.56",
    "V",
    "uA",
    "=",
    "+",
    "-",
    "*",
    "/",
    "||",
    "(",
    ")",
    "^",
    "2",
    "sqrt(",
    "down",
    "to",
    "ground",
    "V_in,2",
    "1e-3",
    "j",
    "pi",
    "log10(",
    "I_U1",
    "0",
    "%",
]
PIECES = st.lists(st.sampled_from(WORDS), max_size=14).map(" ".join)


def printable(message: str) -> bool:
    """Nothing but what can be seen; the thin space before a unit is ours."""
    return message.replace("\u2009", " ").isprintable()


@given(st.one_of(st.text(max_size=200), LIKE_A_STATEMENT, PIECES))
@example("V_2 = 1/0")
@example("V_2 = 0^-1")
@example("V_2 = (0-8)^(1/3)")
@example("V_2 = ln(0-1)")
@example("V_2 = exp(1000)")
@example("V_2 = exp(9999999999)")
@example("V_2 = sqrt(1e40)^12")
@example("V_2 = j")
@example("V_2 = sqrt(2) j^2")
@example("V_2 = 2 * * 2")
@example("I_Ri = 5 from")
@example("I_Ri = 5 to to to")
@example("I_Ri = 5 V_2 to V_2,2")
@example("= = =")
@example("\ud800 V")
@example("V_0 = 0")
@example("V_0,0 = 0 V")
def test_any_text_gets_a_verdict(text: str) -> None:
    verdict = said(vane(), text, "V_2", V_3="0.5")
    assert verdict.kind in KINDS
    assert printable(verdict.message)


RAW = [
    pytest.param("\x1b[31mV_2 = 5 V", id="an escape sequence"),
    pytest.param("V_\u202e2 = 5 V", id="a bidi mark"),
    pytest.param("V_2 = 5 \x07V", id="a bell"),
    pytest.param("zero\u200bwidth", id="a character of no width"),
    pytest.param("I_Ri = 1 uA from \x1b]0;title\x07", id="an escape sequence in a direction"),
    pytest.param("\U000e0041", id="a tag character"),
    pytest.param("V_2 = 5 V" + "\u0301" * 50, id="a heap of accents"),
]


@pytest.mark.parametrize("text", RAW)
def test_nothing_that_cannot_be_seen_is_printed(text: str) -> None:
    verdict = said(vane(), text, "V_2")
    assert verdict.kind == "unreadable"
    assert printable(verdict.message)
    assert not verdict.costs_a_try


LONG = [
    pytest.param("(" * 10_000, id="brackets"),
    pytest.param("9" * 10_000, id="digits"),
    pytest.param("V_2 = " + "1+" * 5000, id="a sum"),
    pytest.param("9^" * 5000 + "9", id="powers"),
]


@pytest.mark.parametrize("text", LONG)
def test_ten_thousand_characters_are_refused(text: str) -> None:
    assert said(vane(), text, "V_2").kind == "unreadable"


def test_every_reason_for_not_reading_has_its_sentence() -> None:
    folder = Path(problems.__file__).parent
    sources = [path.read_text("utf-8") for room in ("formulas", "answers") for path in (folder / room).glob("*.py")]
    pattern = re.compile(r"(?:Refused|Unreadable|NoValue)\(\s*\"([a-z-]+)\"")
    keys = {key for source in sources for key in pattern.findall(source)}
    assert len(keys) > 25
    assert not {key for key in keys if not has(f"unreadable.{key}")}
