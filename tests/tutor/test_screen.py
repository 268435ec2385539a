"""The practice screen, driven by keys: what stands where, at which size, and what each key does."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

import pytest
from textual.pilot import Pilot

from tutor.screens.app import Tutor
from tutor.screens.layout import keys, reading
from tutor.screens.practice import GRACE
from tutor.sheet import Entry, columns
from tutor.source import Source
from tutor.widgets.answer import Answer
from tutor.widgets.spans import Spans

VALUES = {"Vin": "0.8", "Ri": "8.2k", "Rf": "33k", "Rg": "12k", "Rp": "20k", "k": "0.7"}
SOURCE = Source("adjustable-polarity-gain", 7, VALUES, in_order=True)


@asynccontextmanager
async def opened(columns: int = 120, rows: int = 40, family: str = "") -> AsyncIterator[Pilot[None]]:
    """The tutor on a known problem, painted at a size."""
    app = Tutor(Source(family, 7, in_order=True) if family else SOURCE)
    async with app.run_test(size=(columns, rows)) as pilot:
        await pilot.app.workers.wait_for_complete()
        await pilot.pause()
        yield pilot


async def say(pilot: Pilot[None], text: str) -> None:
    pilot.app.screen.query_one(Answer).value = text
    await pilot.press("enter")
    await pilot.pause()


def shown(pilot: Pilot[None], part: str) -> str:
    """Text of one part of the sheet."""
    rows = pilot.app.screen.query_one(f"#{part}", Spans).rows
    return "\n".join("".join(piece.text for piece in row) for row in rows)


def painted(pilot: Pilot[None]) -> list[str]:
    """The rows of the whole screen as they are painted."""
    return [strip.text.rstrip() for strip in pilot.app.screen._compositor.render_strips()]


async def test_a_problem_stands_on_the_sheet_from_the_start() -> None:
    async with opened() as pilot:
        assert "find V_out · step 1 of 6" in shown(pilot, "head")
        assert "[Ri]" in shown(pilot, "picture")
        assert "Vin 0.8" in shown(pilot, "given")
        assert shown(pilot, "working").endswith("V_3 = …")
        assert "wind vane" in shown(pilot, "reply")
        assert isinstance(pilot.app.focused, Answer)


async def test_a_right_statement_goes_into_the_working_and_onto_the_drawing() -> None:
    async with opened() as pilot:
        before = shown(pilot, "picture")
        await say(pilot, "V_3 = 0.56 V")
        assert shown(pilot, "reply").startswith("right")
        assert "V_3 = k·Vin = 0.56" in shown(pilot, "working")
        assert "0.56" not in before
        assert "0.56" in shown(pilot, "picture")


async def test_a_wrong_statement_asks_and_gives_nothing_away() -> None:
    async with opened() as pilot:
        await say(pilot, "V_3 = 0.24 V")
        assert shown(pilot, "reply").startswith("not yet")
        assert "k·Vin" not in shown(pilot, "working")


async def test_the_line_is_read_along_while_it_is_typed() -> None:
    async with opened() as pilot:
        await pilot.press(*"560m")
        assert "read as" in shown(pilot, "reading")
        await pilot.press("ctrl+u")
        assert shown(pilot, "reading") == ""


LONG = "V_out = V_6 - I_R4*R4 + 3*(1.2 V - 4k7*1 uA)"


async def test_the_reading_of_a_long_line_yields_to_the_line() -> None:
    async with opened(80, 24, "cascade") as pilot:
        await pilot.press(*LONG)
        await pilot.pause()
        entry, below = painted(pilot)[-2:]
        assert entry.strip() == LONG
        assert below.strip() == "read as V_6 − I_R4·R4 + 3·(1.2 V − 4700·1 µA)"
        await pilot.press("ctrl+u")
        await pilot.pause()
        assert "tab hint" in painted(pilot)[-1], "the keys are back once the line is empty"


@pytest.mark.parametrize("width", [20, 40, 60, 61, 62, 80])
def test_typed_line_cursor_and_reading_never_share_a_cell(width: int) -> None:
    for typed in ("", "3*4", "x" * 30, "x" * 90):
        beside, below = reading("read as " + "y" * 20, typed, width)
        assert not (beside and below)
        assert len(below) <= width - 2
        assert not beside or len(typed) + 1 + 2 + len(beside) <= width - 2


async def test_square_brackets_and_markup_are_shown_as_typed() -> None:
    async with opened() as pilot:
        await say(pilot, "[/b] [red]V_3 = 1")
        assert pilot.app.is_running
        assert shown(pilot, "reply")


async def test_tab_opens_a_rung_and_lights_the_part() -> None:
    async with opened() as pilot:
        await pilot.press("tab")
        assert shown(pilot, "reply").startswith("1 of 4: ")
        rows = pilot.app.screen.query_one("#picture", Spans).rows
        assert any(piece.style == "lit" and "Rp" in piece.text for row in rows for piece in row)
        await pilot.press("tab")
        assert "opens after a try" in shown(pilot, "reply")


async def test_the_other_keys_do_what_the_key_line_says() -> None:
    async with opened() as pilot:
        await say(pilot, "V_3 = 0.56 V")
        await pilot.press("f2")
        assert shown(pilot, "reply").startswith("V_3 = k·Vin")
        await pilot.press("f3")
        assert shown(pilot, "reply").startswith("Once a wrong move has a name")
        await pilot.press("ctrl+z")
        assert shown(pilot, "reply") == "Taken back: V_3 = 0.56 V"
        assert shown(pilot, "working").endswith("V_3 = …")
        await pilot.press("f1")
        assert "enter says it" in shown(pilot, "reply")
        await pilot.press("ctrl+n")
        assert "step 1 of 6" in shown(pilot, "head")


@pytest.mark.parametrize("word", ["working", "Steps"])
async def test_the_word_for_the_working_says_where_it_stands(word: str) -> None:
    async with opened() as pilot:
        await say(pilot, word)
        assert shown(pilot, "reply").startswith("What is found so far stands on the sheet")


async def test_escape_clears_the_line_first_and_leaves_then() -> None:
    async with opened() as pilot:
        await pilot.press("4", "escape")
        assert pilot.app.screen.query_one(Answer).value == ""
        assert pilot.app.is_running
        await pilot.press("escape")
        await pilot.pause(2 * GRACE)
        assert not pilot.app.is_running


async def test_an_escape_that_begins_a_paste_does_not_leave() -> None:
    async with opened() as pilot:
        await pilot.press("escape", "escape", *"V_3=5V", "enter")
        await pilot.pause(2 * GRACE)
        assert pilot.app.is_running
        assert shown(pilot, "reply").startswith("not yet")


async def test_ctrl_c_says_what_escape_does_now() -> None:
    async with opened() as pilot:
        await pilot.press("ctrl+c")
        assert shown(pilot, "reply") == "esc leaves."
        await pilot.press("4", "ctrl+c")
        assert shown(pilot, "reply") == "esc clears the line; with an empty line it leaves."


async def test_the_help_says_what_counts_as_right() -> None:
    async with opened() as pilot:
        await pilot.press("f1")
        said = " ".join(shown(pilot, "reply").split())
        assert "within 1 % of the true one, limits included; where a law gives 0, only 0 is." in said
        assert "rounded to three" in said


async def test_answers_typed_ahead_do_not_join() -> None:
    async with opened() as pilot:
        answer = pilot.app.screen.query_one(Answer)
        answer.value = "V_3 = 0.56 V"
        await pilot.press("enter", "0", "enter", "0", ".", "5", "6", "enter")
        await pilot.pause()
        stated = pilot.app.screen.session.attempt.stated  # type: ignore[attr-defined]
        assert set(stated) == {"V_3", "V_2"}


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), (100, 24), (120, 40), (200, 60)])
async def test_at_a_usual_size_nothing_is_cut(columns: int, rows: int) -> None:
    async with opened(columns, rows) as pilot:
        lines = painted(pilot)
        assert "find V_out" in lines[0]
        for text in ("[Ri]", "U1>6", "Rg 12", "the share of", "V_3 = …", "esc leave", "wind vane"):
            assert any(text in line for line in lines), text
        for row in shown(pilot, "picture").splitlines():
            assert any(row.rstrip() in line for line in lines), row


@pytest.mark.parametrize(("columns", "rows"), [(40, 12), (30, 8), (120, 12), (40, 40)])
async def test_a_small_window_says_what_it_needs_and_still_takes_answers(columns: int, rows: int) -> None:
    async with opened(columns, rows) as pilot:
        assert "The drawing needs" in shown(pilot, "working")
        await say(pilot, "V_3 = 0.56 V")
        assert any("right" in line for line in painted(pilot))


SUMMING = ("I_Ra = 95.2 uA", "V_3 = 0.352 V", "V_2 = V_3", "I_Rg = 62.9 uA", "I_Rf = I_Rg", "V_out = -0.78 V")
CASCADE = (
    "V_2 = 0 V",
    "I_R1 = 58.8 uA",
    "I_R2 = I_R1",
    "V_a = -1.06 V",
    "V_6 = 0 V",
    "I_R3 = -129 uA",
    "I_U1 = -188uA",
)


@pytest.mark.parametrize(
    ("family", "said", "seen"),
    [
        pytest.param(
            "non-inverting-summing", SUMMING, ("Va 0.8", "Rf 18", "I_Ra = (Va", "V_out = −0.78"), id="summing"
        ),
        pytest.param("cascade", CASCADE, ("Vin 0.4", "R4 6.8", "V_a = V_2", "I_U1 = I_R3", "I_R4 = …"), id="cascade"),
    ],
)
async def test_at_80_columns_the_given_line_stays_and_several_steps_are_seen(
    family: str, said: tuple[str, ...], seen: tuple[str, ...]
) -> None:
    async with opened(80, 24, family) as pilot:
        for text in said:
            await say(pilot, text)
        lines = painted(pilot)
        for text in seen:
            assert any(text in line.replace("\u2009", " ") for line in lines), text


async def test_the_sheet_does_not_jump_while_values_come_onto_the_drawing() -> None:
    async with opened(80, 24, "cascade") as pilot:
        places = set()
        for text in CASCADE:
            await say(pilot, text)
            places.add((pilot.app.screen.has_class("-beside"), painted(pilot)[1].index("o Va")))
        assert len(places) == 1


@pytest.mark.parametrize(("columns", "rows", "family"), [(40, 12, "cascade"), (40, 12, "t-network")])
async def test_a_small_window_says_in_full_what_it_needs(columns: int, rows: int, family: str) -> None:
    async with opened(columns, rows, family) as pilot:
        said = " ".join(line.strip() for line in painted(pilot)[2:4])
        assert said.startswith("The drawing needs")
        assert said.endswith("--lines tells it in words.")
        needed = [int(word) for word in said.split() if word.isdigit()]
        await pilot.resize_terminal(*needed)
        await pilot.pause()
        assert "[R1]" in shown(pilot, "picture")
        await pilot.resize_terminal(needed[0], needed[1] - 1)
        await pilot.pause()
        assert shown(pilot, "picture") == ""


def test_a_narrow_working_has_no_columns_of_blanks() -> None:
    entries = (Entry("I_R2 = I_R1", "58.8 µA", "same current"), Entry("I_R1 = (Vin − V_2)/R1", "58.8 µA", "Ohm"))
    assert columns(entries, 38) == ["I_R2 = I_R1 = 58.8 µA  same current", "I_R1 = (Vin − V_2)/R1 = 58.8 µA  Ohm"]
    assert columns(entries, 26)[:2] == ["I_R2 = I_R1", "  = 58.8 µA  same current"]
    assert columns(entries, 60)[0] == "I_R2 = I_R1           = 58.8 µA  same current"


async def test_a_reply_longer_than_its_place_says_how_to_see_the_rest() -> None:
    async with opened(80, 23, "t-network") as pilot:
        assert "pgdn more" in painted(pilot)[-1], "the statement has more rows than stay below a drawing of 14"
        before = painted(pilot)
        await pilot.press("pagedown")
        await pilot.pause()
        assert painted(pilot) != before
        await say(pilot, "V_2 = 0 V")
        assert "pgdn more" not in painted(pilot)[-1]


@pytest.mark.parametrize("width", [40, 76, 80, 110, 120])
def test_the_line_of_keys_is_whole_at_every_width(width: int) -> None:
    for more in (False, True):
        (line,) = keys(width, more)
        text = "".join(piece.text for piece in line)
        assert len(text) <= width - 2
        assert text.endswith("esc leave") or (more and text.endswith("F1 help"))


@pytest.mark.parametrize("word", ["quit", "exit", "q"])
async def test_a_word_for_leaving_is_answered_with_the_key(word: str) -> None:
    async with opened() as pilot:
        await say(pilot, word)
        assert "esc leaves" in shown(pilot, "reply")


async def test_the_sheet_follows_a_window_that_changes() -> None:
    async with opened(120, 40) as pilot:
        await pilot.resize_terminal(80, 24)
        await pilot.pause()
        assert any("tab hint" in line for line in painted(pilot))
        await pilot.resize_terminal(40, 12)
        await pilot.pause()
        assert "The drawing needs" in shown(pilot, "working")


async def test_without_colour_nothing_is_lost(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened() as pilot:
        await pilot.press("tab")
        assert pilot.app.theme == "ansi-dark"
        assert any("[Ri]" in line for line in painted(pilot))


async def test_the_word_method_goes_on_by_another_method_and_keeps_what_is_stated() -> None:
    async with opened() as pilot:
        await say(pilot, "V_3 = 0.56 V")
        await say(pilot, "method nodes")
        assert "By node equations from here on" in shown(pilot, "reply")
        assert "V_3" in shown(pilot, "working")
        await say(pilot, "V_2 = 0.56 V")
        await say(pilot, "(V_2 - Vin)/Ri + V_2/Rg + (V_2 - V_out)/Rf = 0")
        assert "node equation at pin 2" in shown(pilot, "reply")
