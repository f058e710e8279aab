"""A forecast that somebody kept is told on its evening; without one it is made, and counted."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from past_stations import TIMEZONE
from replay_cases import company, weather_of

from crewplan.model.weather_table import NO_TIME_S, WeatherTable
from crewplan.replay import POLICIES, Errors, Stream, ensemble, jobs_of, replay, score
from crewplan.replay.kept import in_order, newest

FIRST, LAST = date(2013, 5, 6), date(2013, 5, 10)


def _issued(day: date, hour: int = 18, times: float = 0.0) -> WeatherTable:
    at = int(datetime(day.year, day.month, day.day, hour, tzinfo=ZoneInfo(TIMEZONE)).timestamp())
    return ensemble(weather_of("EWR"), Errors(times=times), at, 16 * 24, 1)


def test_the_newest_that_was_known_counts_for_two_days() -> None:
    """By hand: issued Sunday and Monday 18 h; nothing before, the later one after, then too old."""
    sunday, monday = _issued(date(2013, 5, 5)), _issued(date(2013, 5, 6))
    tables = in_order([monday, sunday])
    at = int(sunday.issued_s.max())
    assert newest(tables, at - 1) is None
    assert newest(tables, at) is sunday
    assert newest(tables, at + 86_400) is monday
    assert newest(tables, at + 3 * 86_400) is monday
    assert newest(tables, at + 3 * 86_400 + 1) is None


def test_a_table_that_does_not_say_when_it_was_issued_is_of_no_evening() -> None:
    table = _issued(date(2013, 5, 5))
    silent = replace(
        table, issued_s=np.where(np.arange(len(table)) == 3, NO_TIME_S, table.issued_s)
    )
    assert in_order([silent]) == ()


def test_kept_forecasts_without_error_are_what_knowing_the_weather_is() -> None:
    """From outside: the same orders as a policy that is given the truth."""
    base, weather = company("EWR"), weather_of("EWR")
    sold = jobs_of(base, Stream(jobs_a_week=14.0), FIRST - timedelta(days=1), LAST, 1)
    kept = [_issued(FIRST + timedelta(days=ahead - 1)) for ahead in range(5)]
    told = replay(base, sold, weather, POLICIES["tomorrow_only"], FIRST, LAST, forecasts=kept)
    made = replay(
        base, sold, weather, POLICIES["tomorrow_only"], FIRST, LAST, errors=Errors(times=0.0)
    )
    assert told.log == made.log
    assert (told.kept_evenings, made.kept_evenings) == (5, 0)
    assert score(base, told).kept_evenings == 5


@pytest.mark.parametrize("gaps", [(), (2,), (1, 2, 3)])
def test_evenings_without_one_are_made(gaps: tuple[int, ...]) -> None:
    """By hand: five evenings; a table holds for its own and the two that follow."""
    base = company("EWR")
    sold = jobs_of(base, Stream(jobs_a_week=14.0), FIRST - timedelta(days=1), LAST, 1)
    kept = [_issued(FIRST + timedelta(days=n - 1)) for n in range(5) if n not in gaps]
    found = replay(
        base, sold, weather_of("EWR"), POLICIES["always_go"], FIRST, LAST, forecasts=kept
    )
    assert found.kept_evenings == {(): 5, (2,): 5, (1, 2, 3): 4}[gaps]
