"""Whatever a file says, proofreading it reports faults and never raises, and a file without faults gives problems."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from problems.templates.content import content
from problems.templates.faults import Fault
from problems.templates.library import Family
from problems.templates.proofread import faults_of

GOOD = [file.read_text("utf-8") for file in sorted(content("families").glob("*.toml"))]
WORDS = [
    "V_out",
    "k",
    "0",
    "-1",
    "1e400",
    "nan",
    "[",
    "]]",
    "'''",
    '"',
    "=",
    "{",
    "{}",
    "Ω",
    "not",
    "choose",
    "|",
    "+",
    "o",
]
WORDS += ["", "\t", "\x1b", "\u202e", "9" * 30, "GND"]
SETTINGS = settings(deadline=None, max_examples=120, suppress_health_check=[HealthCheck.too_slow])


@st.composite
def mutated(draw: Any) -> str:
    """A good file with one to three pieces deleted, doubled, exchanged or replaced."""
    text: str = draw(st.sampled_from(GOOD))
    for _ in range(draw(st.integers(1, 3))):
        lines = text.split("\n")
        kind = draw(st.sampled_from(["line", "double", "swap", "cut", "put"]))
        place = draw(st.integers(0, len(lines) - 1))
        if kind == "line":
            del lines[place]
        elif kind == "double":
            lines.insert(place, lines[place])
        elif kind == "swap":
            other = draw(st.integers(0, len(lines) - 1))
            lines[place], lines[other] = lines[other], lines[place]
        else:
            start = draw(st.integers(0, len(lines[place])))
            end = start + (draw(st.integers(0, 6)) if kind == "cut" else 0)
            lines[place] = lines[place][:start] + draw(st.sampled_from(WORDS)) + lines[place][end:]
        text = "\n".join(lines) or "x"
    return text


def _safe(faults: tuple[Fault, ...]) -> bool:
    return all(str(fault).isprintable() and fault.line >= 1 and fault.says for fault in faults)


@SETTINGS
@given(mutated())
def test_a_changed_file_is_reported_or_works(text: str) -> None:
    faults = faults_of(text, "f", "f.toml", draws=8)
    assert _safe(faults)
    lines = text.count("\n") + 1
    assert all(fault.line <= lines for fault in faults)
    try:
        problem = Family("f", text, "f.toml").problem(seed=1)
    except ValueError:
        return
    assert problem.asks


@SETTINGS
@given(st.text(max_size=200))
@example("\0")
@example("drawing = 3")
@example("[values]\n[values.x]\n")
@example("ask = [[]]\ndrawing = ''\n")
@example("keep = []\nvalues = 3\nhints = 'x'\nask = 'y'\ndrawing = []\ntitle = {}\n")
@example("a = {b = {c = [{d = '''\n'''}]}}")
def test_any_text_is_reported(text: str) -> None:
    assert _safe(faults_of(text, "f", "f.txt", draws=4))


SHAPES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner, max_size=3),
    max_leaves=6,
)


@pytest.mark.parametrize("key", ["title", "drawing", "ask", "values", "keep", "hints", "package", "statement", "topic"])
@SETTINGS
@given(shape=SHAPES)
def test_any_shape_under_a_key_is_reported(key: str, shape: Any) -> None:
    from problems.templates.definition import _Definer  # noqa: PLC0415  # the reader behind the TOML reader
    from problems.templates.report import FaultList  # noqa: PLC0415

    report = FaultList("f.toml", {})
    _Definer({"title": "x", "drawing": " Va o--[R1]--GND", "ask": [{"find": "V_a"}], key: shape}, "f", report).draft()
    assert _safe(report.faults)
