"""A branch's own crews through its own past weather, under the policies asked for."""

import time
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from datetime import time as time_of_day

import numpy as np

from crewplan.model.branch import Branch
from crewplan.model.calendar import is_working_day, zone
from crewplan.model.horizon import Horizon
from crewplan.model.job_rows import LiftMethod
from crewplan.model.replay_score import Replays, Score
from crewplan.model.weather_table import WeatherTable
from crewplan.model.whatif import Supposition
from crewplan.replay import (
    POLICIES,
    Errors,
    Observed,
    Stream,
    emptied,
    jobs_of,
    observed_at,
    own_jobs,
    replay,
    score,
    timed,
)
from crewplan.replay.stream import Sold
from crewplan.running.supposing import supposed_branch
from crewplan.weather.grid import HOUR_S, nearest, past_grids

JOBS_A_WEEK_AND_CREW = 1.5
"""Where nobody says how much is sold; assumed."""
REACH_KM = 40.0


class NothingToReplay(ValueError):
    """The folder has no past weather or no jobs for it; one sentence."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What to replay."""

    policies: tuple[str, ...]
    first: date | None = None
    """None: the first day of the last unbroken run of past weather."""
    last: date | None = None
    year: int | None = None
    """All of it that was observed, in place of first and last."""
    seeds: int = 1
    jobs_a_week: float | None = None
    """None: so many a crew."""
    own: bool = False
    """The branch's own jobs in place of drawn ones."""
    times: float = 1.0
    """The forecasts' errors times this."""


@dataclass(frozen=True, slots=True)
class SupposedPast:
    """What might have been otherwise; nothing in it: the branch as it is."""

    plan: Supposition = field(default_factory=Supposition)
    """Another crew, or stricter limits."""
    lift_method: LiftMethod | None = None
    """All modules go up by this."""
    shift_start: time_of_day | None = None
    """Local."""

    def words(self) -> str:
        """In one clause; empty: nothing is supposed."""
        said = []
        if self.plan.another_like is not None:
            said.append(f"one more crew like {self.plan.another_like}")
        said += [f"limit {limit.source}" for limit in self.plan.limits]
        if self.lift_method is not None:
            said.append(f"all modules up by {self.lift_method.replace('_', ' ')}")
        if self.shift_start is not None:
            said.append(f"shifts from {self.shift_start:%H:%M} on")
        return ", ".join(said)

    def branch(self, base: Branch, day: date) -> Branch:
        """The branch under it."""
        other = supposed_branch(base, self.plan, Horizon((day,), frozenset()))
        if self.shift_start is None:
            return other
        return replace(other, settings=replace(other.settings, shift_start=self.shift_start))

    def sold(self, jobs: Sequence[Sold]) -> tuple[Sold, ...]:
        """The same jobs under it."""
        if self.lift_method is None:
            return tuple(jobs)
        method = self.lift_method
        return tuple(replace(one, job=replace(one.job, lift_method=method)) for one in jobs)


def _observed(branch: Branch) -> Observed:
    grids = [grid for grid in past_grids(branch) if len(grid.start_s)]
    if not grids:
        raise NothingToReplay("there is no past weather: the table weather_past has no rows")
    here = branch.settings.latitude, branch.settings.longitude
    index, _ = nearest(grids, *here)
    return observed_at(branch.weather_past, grids[int(index[0])].place)


def _day(branch: Branch, at_s: int) -> date:
    return datetime.fromtimestamp(at_s, UTC).astimezone(zone(branch.settings)).date()


def _last_run(branch: Branch, observed: Observed) -> tuple[date, date]:
    """First and last whole day of the last stretch in which wind was observed every day."""
    seen = observed.first_s + HOUR_S * np.flatnonzero(~np.isnan(observed.fields["wind"]))
    days = sorted({_day(branch, int(at)) for at in seen})
    first = days[-1]
    for day in reversed(days):
        if (first - day).days > 1:
            break
        first = day
    return first + timedelta(days=1), days[-1]


def replays(
    branch: Branch,
    asked: Asked,
    supposed: SupposedPast | None = None,
    forecasts: Sequence[WeatherTable] = (),
) -> Replays:
    """Replay each policy with each seed, and the same under what is supposed.

    Args:
        branch: its weather_past, people, crews, limits and rates; its jobs where asked for.
        asked: what.
        supposed: what might have been otherwise, with the same jobs, forecasts and hours of work.
        forecasts: that were kept; on evenings without one a forecast is made.

    Raises:
        NothingToReplay: no past weather, no days, or no job.
    """
    observed = _observed(branch)
    first, last = _span(branch, observed, asked)
    base = emptied(branch)
    rate = asked.jobs_a_week or JOBS_A_WEEK_AND_CREW * len(branch.crews)
    stream = Stream(jobs_a_week=rate, reach_km=min(REACH_KM, branch.settings.weather_reach_km))
    streams = [
        own_jobs(base, first, last) if asked.own else jobs_of(base, stream, first, last, seed)
        for seed in range(1, asked.seeds + 1)
    ]
    if not all(streams):
        raise NothingToReplay(f"no job could begin from {first} to {last}")

    errors = replace(Errors(), times=asked.times)
    evening_s: dict[str, list[float]] = {name: [] for name in asked.policies}

    def of_one(of: Branch, name: str, jobs: tuple[Sold, ...], seed: int) -> Score:
        policy, seconds = timed(POLICIES[name], time.perf_counter)
        done = replay(
            of, jobs, observed, policy, first, last, errors=errors, seed=seed, forecasts=forecasts
        )
        evening_s[name] += seconds
        return score(of, done)

    def scores(of: Branch, sold: Sequence[tuple[Sold, ...]]) -> dict[str, tuple[Score, ...]]:
        return {
            name: tuple(of_one(of, name, jobs, seed) for seed, jobs in enumerate(sold, start=1))
            for name in asked.policies
        }

    found = Replays(
        first,
        last,
        observed.place.place,
        tuple(map(len, streams)),
        {name: POLICIES[name].words for name in asked.policies},
        scores(base, streams),
        evenings=sum(
            is_working_day(base.settings, first + timedelta(days=ahead))
            for ahead in range((last - first).days + 1)
        ),
        evening_s={name: tuple(seconds) for name, seconds in evening_s.items()},
    )
    if supposed is None or not supposed.words():
        return found
    other = supposed.branch(base, first)
    a_day = {row.equipment: row.cost_per_day for row in branch.equipment}
    return replace(
        found,
        supposing=supposed.words(),
        supposed=scores(other, [supposed.sold(jobs) for jobs in streams]),
        equipment_cost_per_day=a_day.get(supposed.lift_method or "", 0.0),
    )


def _span(branch: Branch, observed: Observed, asked: Asked) -> tuple[date, date]:
    run_first, run_last = _last_run(branch, observed)
    first, last = asked.first or run_first, asked.last or run_last
    seen = _day(branch, observed.first_s), _day(branch, observed.first_s + HOUR_S * observed.hours)
    if asked.year is not None:
        first = max(date(asked.year, 1, 1), seen[0] + timedelta(days=1))
        last = min(date(asked.year, 12, 31), seen[1])
    if not seen[0] < first <= last <= seen[1]:
        told = asked.year or f"{first} to {last}"
        raise NothingToReplay(
            f"{told}: weather was observed from the day after {seen[0]} to {seen[1]}"
        )
    return first, last
