"""Freireich et al., Blood 21, 1963: remission times (data read; table to 4 decimals)."""

from datetime import date, timedelta

import numpy as np
import pytest
from scipy import stats

from crewplan.model.waiting_rows import LeadTime
from crewplan.readiness.curves import kaplan_meier
from crewplan.readiness.history import History

OVER = [6, 6, 6, 7, 10, 13, 16, 22, 23]
STILL_WAITING = [6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35]
TABLE = {
    6: (0.8571, 0.0764),
    7: (0.8067, 0.0869),
    10: (0.7529, 0.0963),
    13: (0.6902, 0.1068),
    16: (0.6275, 0.1141),
    22: (0.5378, 0.1282),
    23: (0.4482, 0.1346),
}
"""Day: share still waiting, Greenwood's standard error."""


def curve():
    waits = OVER + STILL_WAITING
    return kaplan_meier(waits, [True] * len(OVER) + [False] * len(STILL_WAITING))


@pytest.mark.parametrize("day", TABLE)
def test_our_curve_is_the_published_one_to_four_decimals(day):
    assert round(float(curve().at(np.array([day]))[0]), 4) == TABLE[day][0]


@pytest.mark.parametrize("day", TABLE)
def test_the_standard_errors_are_greenwoods(day):
    survival = stats.ecdf(stats.CensoredData(uncensored=OVER, right=STILL_WAITING)).sf
    level = 0.5  # narrow enough that no bound is cut off at 1
    band = survival.confidence_interval(confidence_level=level)
    half = survival.evaluate(day) - band.low.evaluate(day)
    assert round(float(half / stats.norm.ppf(0.5 + level / 2)), 4) == TABLE[day][1]


def test_the_median_wait_is_23_days():
    days = np.arange(0, 40, dtype=float)
    assert days[curve().at(days) <= 0.5][0] == 23


def test_nothing_is_said_beyond_the_last_grant():
    assert curve().at(np.array([23.0, 35.0, 10_000.0])) == pytest.approx([0.4482] * 3, abs=5e-5)


def test_a_permit_with_such_a_record_has_the_tables_chances():
    asked, today = date(2026, 1, 1), date(2026, 3, 1)
    rows = [LeadTime("permit", asked, "Town", asked + timedelta(days=d)) for d in OVER]
    rows += [LeadTime("permit", today - timedelta(days=d), "Town") for d in STILL_WAITING]
    waits = History(rows, today).waits("permit", "Town")
    assert waits is not None
    chances = waits.chance_by(np.array([10.0, 16.0, 23.0, 400.0]), 10)
    # by hand: 1 - S(d) / S(10) from the table
    expected = [0, 1 - 0.6275 / 0.7529, 1 - 0.4482 / 0.7529, 1 - 0.4482 / 0.7529]
    assert chances == pytest.approx(expected, abs=2e-4)
