"""A table on a narrow terminal cuts no word; off a terminal no line is wrapped."""

import sys

import pytest

from crewplan.publishing.terminal import table_text

COLUMNS = ("hour", "verdict", "measure", "value", "limit")
ROWS = [
    ("07:00", "unknown", "wind", "unknown", "17 mph"),
    ("08:00", "no-go", "gust", "9", "26 mph"),
]


@pytest.mark.parametrize("width", [10, 30, 60])
def test_no_verdict_is_cut_where_the_terminal_is_narrow(
    width: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", str(width))
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True, raising=False)
    text = table_text(COLUMNS, ROWS)
    assert "\u2026" not in text
    assert text.count("unknown") == 2


def test_a_row_is_one_line_off_a_terminal_however_long_it_is() -> None:
    long = "word " * 2000
    lines = table_text(("what", "why"), [("a", long)]).splitlines()
    assert any(long.strip() in line for line in lines)
