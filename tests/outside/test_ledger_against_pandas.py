"""Pareto and waterfall sums against pandas on the same rows, and a loaded wage from published pay.

Published: median pay of solar installers (47-2231), May 2025, 25.55 USD an hour, 10 % under 20.00
and 10 % over 38.45 (BLS, Occupational Employment and Wage Statistics); pay in all over wages in
construction 1.433 in June 2022 and 1.4385 in the second quarter of 2024 (BLS, Employer Costs for
Employee Compensation). Both from copies.
"""

import random
from decimal import Decimal
from typing import get_args

import pandas as pd
import pytest
from builders import job
from ledger_cases import PEOPLE, book_of, day, done, worked

from crewplan.ledger import findings, hours_by, job_losses, job_margins
from crewplan.ledger.over_time import lost_over_time
from crewplan.model.ledger import Span
from crewplan.model.people_rows import Person
from crewplan.model.work_rows import Cause
from crewplan.running.owner_view import owner_view

CENT = 0.005
LOADED = 25.55 * 1.4385


def rows(seed: int = 7):
    draw = random.Random(seed)
    return tuple(
        worked(
            draw.choice(["Ann", "Bo", "Cy"]),
            draw.randrange(1, 800) / 100,
            at=draw.choice(["S1", "S2", "S3", "S4"]),
            on=draw.randrange(40),
            cause=draw.choice(["", "", *get_args(Cause)]),
        )
        for _ in range(400)
    )


def frame(entries) -> pd.DataFrame:
    cost = {person.person: person.cost_per_h for person in PEOPLE}
    table = pd.DataFrame(
        [(r.day, r.stage, r.person, r.hours, r.cause) for r in entries],
        columns=["day", "stage", "person", "hours", "cause"],
    )
    table["cost"] = table.hours * table.person.map(cost)
    table["job"] = table.stage.map({"S1": "J1", "S2": "J1", "S3": "J2", "S4": "J2"})
    return table


def test_causes_by_what_they_cost_and_their_running_share_are_what_pandas_makes_of_them():
    entries = rows()
    lost = frame(entries).query("cause != ''")
    expected = lost.groupby("cause").cost.sum().sort_values(ascending=False)
    lines = hours_by(book_of(hours_worked=entries), "cause", Span())
    told = {line.name: float(line.lost_cost) for line in lines if line.lost}
    ranked = sorted(told, key=lambda cause: -told[cause])
    assert ranked == list(expected.index)
    running = pd.Series(told)[ranked].cumsum() / sum(told.values())
    assert running.to_numpy() == pytest.approx(
        (expected.cumsum() / expected.sum()).to_numpy(), abs=1e-9
    )


def test_jobs_by_what_they_lost_and_its_dearest_cause_are_what_pandas_finds():
    entries = rows()
    lost = frame(entries).query("cause != ''")
    by_job = lost.groupby("job").cost.sum().sort_values(ascending=False)
    driver = lost.groupby(["job", "cause"]).cost.sum().unstack().idxmax(axis=1)
    losses = job_losses(hours_by(book_of(hours_worked=entries), "job", Span()))
    assert [one.job for one in losses] == list(by_job.index)
    for one in losses:
        assert float(one.cost) == pytest.approx(by_job[one.job], abs=CENT)
        assert one.driver.cause == driver[one.job]


def test_the_waterfall_of_each_job_and_of_all_is_what_pandas_adds_up():
    entries = rows()
    table = frame(entries)
    book = book_of(hours_worked=entries)
    good = table[table.cause == ""].groupby("job").cost.sum()
    lost = table[table.cause != ""].groupby("job").cost.sum()
    price = pd.Series({"J1": 10_000.0, "J2": 8_000.0})
    margins = job_margins(book, day(40))
    for name, margin in margins.items():
        now = margin.now
        assert now.labour / 100 == pytest.approx(good[name], abs=CENT)
        assert now.lost / 100 == pytest.approx(lost[name], abs=CENT)
        assert now.margin / 100 == pytest.approx(
            price[name] - good[name] - lost[name], abs=2 * CENT
        )
    together = owner_view(book, day(40), Span()).now
    assert together.margin == sum(margin.now.margin for margin in margins.values())


def test_hours_lost_over_time_are_what_pandas_groups_by_week():
    entries = rows()
    lost = frame(entries).query("cause != ''")
    week = pd.to_datetime(lost.day).dt.strftime("%G-W%V")
    expected = lost.groupby([week, "cause"]).hours.sum()
    step, found = lost_over_time(book_of(hours_worked=entries), Span())
    assert step == "week"
    told = {(one.name, cause): float(h) for one in found for cause, h in one.hours.items()}
    assert told.keys() == set(expected.index)
    for key, hours in told.items():
        assert hours == pytest.approx(expected[key], abs=1e-9)


def test_an_hour_at_the_published_median_costs_36_75_with_all_that_comes_on_top():
    """25.55 x 1.4385 = 36.75; with the ratio of 2022, 36.61."""
    assert pytest.approx(36.75, abs=CENT) == LOADED
    assert pytest.approx(36.61, abs=CENT) == 25.55 * 1.433
    people = (Person("Ann", "Alder", "lead", round(LOADED, 2)),)
    entries = (worked("Ann", 8), worked("Ann", 2, on=1, cause="weather"))
    book = book_of(people=people, hours_worked=entries, progress=(done("protect", 1.0),))
    margin = job_margins(book, day(5))["J1"]
    assert (margin.now.labour, margin.now.lost) == (294_00, 73_50)
    assert margin.planned.labour == 60 * 36_75  # 60 table hours at a pace of 1
    (found,) = findings(
        book_of(people=people, hours_worked=entries[1:], jobs=(job("J1"), job("J2"))), day(5)
    )
    assert found.cost == Decimal("73.50")
