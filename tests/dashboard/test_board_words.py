"""What the board says, and in which units."""

from dataclasses import replace

import pytest
from board_views import ASKED_AT, day_verdicts, full_view, one_job_view, view

from crewplan.model.limit_row import Limit
from crewplan.model.verdict import HourVerdict
from crewplan.publishing.screen_units import number, quantity
from dashboard.tables.hour_words import hour_word
from dashboard.text.chances import chance_words, listed
from dashboard.text.limit_words import limit_words, obeyed
from dashboard.text.plain_words import plain_words
from dashboard.text.tomorrow_words import decides_words, void_words
from dashboard.text.week_words import price_sentences, week_summary


def test_no_chance_is_rounded_up_to_look_better_than_it_is() -> None:
    assert [chance_words(p) for p in (0.999, 0.895, 0.57, 1.0, 0.0)] == [
        "99 in 100", "89 in 100", "57 in 100", "100 in 100", "0 in 100",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("value", "unit", "us", "metric"),
    [
        (11.62304, "m/s", "26 mph", "11.6 m/s"),  # 26 x 0.44704, by definition of the mile
        (25.4, "mm", "1 in", "25.4 mm"),
        (4.0, "degC", "39 °F", "4 °C"),  # 39.2 by hand
        (23.0, "kg", "51 lb", "23 kg"),  # TRADE: 23 kg (51 lb)
        (1.609344, "km", "1 mi", "1.6 km"),
        (47.88026, "Pa", "1 psf", "48 Pa"),
    ],
)
def test_a_us_branch_reads_us_units_and_a_metric_one_metric(
    value: float, unit: str, us: str, metric: str
) -> None:
    assert (quantity(value, unit, "us"), quantity(value, unit, "metric")) == (us, metric)


def test_a_speed_just_over_the_limit_never_reads_as_the_limit() -> None:
    assert (number(26.2 * 0.44704, "m/s", "us"), number(26 * 0.44704, "m/s", "us")) == (
        "26.2",
        "26",
    )


def test_an_hour_without_a_value_says_unknown_and_no_number() -> None:
    hour = HourVerdict(ASKED_AT, "unknown", "gust", None, 11.6, "m/s", 0.0)
    assert decides_words(hour, "us") == "gust unknown"


def test_a_good_hour_outside_every_window_is_not_called_go() -> None:
    lift = day_verdicts("S1", "J1")[2]
    words = [hour_word(lift, hour) for hour in lift.hours]
    assert (lift.hours[6].verdict, words[6], words[0]) == ("go", "too short", "go")


def test_a_verdict_says_until_when_it_stands() -> None:
    lift = day_verdicts("S1", "J1")[2]
    assert void_words(lift).startswith("Void after Mon 4 May, 06:00; ask again before then.")


def test_the_week_is_summed_up_in_one_sentence() -> None:
    # by hand: 60 placed, every fifth pencilled, six left out, one of them promised
    assert week_summary(full_view().plan) == (
        "60 of 66 stages are placed from Mon 4 May to Fri 15 May: 48 firm, 12 pencilled."
        " 6 are not placed, 1 of them promised or published."
    )


def test_bound_and_gap_are_told_in_words() -> None:
    # one placement of 4,200 + 4,800 cents; bound 22 cents lower; rule of thumb a quarter dearer
    words = price_sentences(one_job_view().plan, "USD")
    assert words[0] == "This plan is priced at 90 USD; lower is better."
    assert "at most 0.24 % could still be saved" in words[1]
    assert "would cost 112 USD: 22 USD more" in words[2]


def test_a_plan_without_any_placement_is_told_too() -> None:
    words = price_sentences(view().plan, "USD")
    assert words[1] == "No plan costs less: this one is proven the cheapest."


def test_limits_are_told_in_the_readers_units_with_their_source() -> None:
    row = Limit("lift", "gust", 26 * 0.44704, "mph", "3 s", 10.0, "stop", "roofing trade")
    assert limit_words(row, "us") == (
        "Lifting modules: gust at most 26 mph (3 s, 32.8 ft up). Source: roofing trade"
    )


def test_a_note_on_a_looser_limit_is_shown_beside_the_limits() -> None:
    note = "lift gust is looser than the package's: own choice"
    assert obeyed((), (note, note), "us") == [note]


def test_no_term_of_probability_no_underscore_and_no_iso_day_reaches_a_person() -> None:
    detail = "lift: P(go) at most 0.67 by 2026-05-05, permission_to_operate open"
    assert plain_words(detail) == (
        "lift: chance of weather at most 0.67 by Tue 5 May, permission to operate open"
    )


def test_lists_read_as_a_person_would_say_them() -> None:
    assert [listed(["a"]), listed(["a", "b", "c"]), listed([])] == ["a", "a, b and c", ""]


def test_void_after_is_words_when_there_is_no_forecast() -> None:
    lift = replace(day_verdicts("S1", "J1", "unknown")[2], void_after=None)
    assert void_words(lift) == "There is no forecast to judge by."
