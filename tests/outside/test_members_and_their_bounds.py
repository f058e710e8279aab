"""What a count of members can and cannot say, by the figures of the trade's facts."""

from datetime import date

import pytest
from builders import NOW
from scipy.stats import beta
from weather_cases import MONDAY_7, calm_rows, gate_branch

from crewplan.weather import day_verdicts


def test_none_bad_of_31_still_allows_about_9_percent():
    # TRADE.md: 95 % bound; exact binomial (Clopper-Pearson), one-sided: 1 - 0.05^(1/31) = 9.2 %
    assert beta.ppf(0.95, 1, 31) == pytest.approx(0.092, abs=0.001)


def test_hours_are_never_multiplied_where_the_same_members_are_good_throughout():
    # TRADE.md: 0.95 to the power of 8 is 0.66. Here one member of 20 is bad in every hour, so that
    # each hour has 0.95 and so has the window; nine hours multiplied would be 0.63
    rows = calm_rows(20)
    for row in rows:
        if row["member"] == "7":
            row["gust_mps"] = 20.0
    lift = day_verdicts(gate_branch(rows), date(2026, 5, 4), NOW)[2]
    assert {hour.p_go for hour in lift.hours} == {0.95}
    assert [window.p_go for window in lift.windows] == [0.95]


def test_members_that_are_bad_in_turn_lower_the_window_though_each_hour_looks_fine():
    rows = calm_rows(20)
    for row in rows:
        if (row["valid_at"] - MONDAY_7).total_seconds() / 3600 == int(row["member"]):
            row["gust_mps"] = 20.0
    lift = day_verdicts(gate_branch(rows), date(2026, 5, 4), NOW)[2]
    assert {hour.p_go for hour in lift.hours} == {0.95}
    # two hours with a bad member each leave 18 of 20, the least that the gate takes; three do not
    assert {window.p_go for window in lift.windows} == {0.9}
    assert {(window.end - window.start).seconds for window in lift.windows} == {7200}
