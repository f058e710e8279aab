"""Days and numbers as readers of several countries write them.

Expected forms: Unicode's Common Locale Data Repository as Babel brings it, looked at by hand.
"""

from datetime import date

import pytest

from crewplan.publishing.day_words import day_words, long_day_words
from crewplan.publishing.reader import decimal, reader, separators, written_for
from crewplan.publishing.screen_units import quantity

MONDAY = date(2026, 5, 4)


@pytest.mark.parametrize(
    ("locale", "short", "long", "figure", "wind", "marks"),
    [
        ("", "Mon 4 May", "Monday 4 May 2026", "1,234,567.5", "10.5 m/s", ".,"),
        ("en_US", "Mon, May 4", "Monday, May 4, 2026", "1,234,567.5", "10.5 m/s", ".,"),
        ("en_GB", "Mon 4 May", "Monday 4 May 2026", "1,234,567.5", "10.5 m/s", ".,"),
        ("en_DE", "Mon 4 May", "Monday 4 May 2026", "1.234.567,5", "10,5 m/s", ",."),
        ("en_IN", "Mon 4 May", "Monday 4 May 2026", "12,34,567.5", "10.5 m/s", ".,"),
    ],
)
def test_days_and_numbers_follow_the_reader(
    locale: str, short: str, long: str, figure: str, wind: str, marks: str
) -> None:
    with written_for(locale):
        # commas after the day of the week came and went between versions of the data
        found = (
            day_words(MONDAY).replace(", 4", " 4"),
            long_day_words(MONDAY).replace("y, 4 ", "y 4 "),
        )
        assert found == (short, long)
        assert decimal(1234567.5, 1) == figure
        assert quantity(10.5, "m/s", "metric") == wind
        assert separators() == marks
    assert reader() == ""


@pytest.mark.parametrize("locale", ["", "en_US"])
def test_signs_and_rounding_are_those_of_the_terminal(locale: str) -> None:
    with written_for(locale):
        assert decimal(-1234.565, 2) == f"{-1234.565:,.2f}"
        assert decimal(2.5, 0) == f"{2.5:,.0f}"
        assert decimal(1200, 0, signed=True) == "+1,200"
        assert decimal(-3.2, 1, signed=True) == "-3.2"
