"""A branch's own crews through its own past weather, under the policies asked for."""

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta

import numpy as np

from crewplan.model.branch import Branch
from crewplan.model.calendar import zone
from crewplan.model.horizon import Horizon
from crewplan.model.replay_score import Replays, Score
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
)
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
    supposed: Supposition | None = None,
) -> Replays:
    """Replay each policy with each seed.

    Args:
        branch: its weather_past, people, crews, limits and rates; its jobs where asked for.
        asked: what.
        supposed: another crew, or a stricter limit.

    Raises:
        NothingToReplay: no past weather, no days, or no job.
    """
    observed = _observed(branch)
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
    base = emptied(branch)
    if supposed is not None:
        base = supposed_branch(base, supposed, Horizon((first,), frozenset()))
    rate = asked.jobs_a_week or JOBS_A_WEEK_AND_CREW * len(branch.crews)
    stream = Stream(jobs_a_week=rate, reach_km=min(REACH_KM, branch.settings.weather_reach_km))
    scores: dict[str, list[Score]] = {name: [] for name in asked.policies}
    jobs = []
    for seed in range(1, asked.seeds + 1):
        sold = (
            own_jobs(base, first, last) if asked.own else jobs_of(base, stream, first, last, seed)
        )
        if not sold:
            raise NothingToReplay(f"no job could begin from {first} to {last}")
        jobs.append(len(sold))
        for name in asked.policies:
            errors = replace(Errors(), times=asked.times)
            found = replay(
                base, sold, observed, POLICIES[name], first, last, errors=errors, seed=seed
            )
            scores[name].append(score(base, found))
    return Replays(
        first,
        last,
        observed.place.place,
        tuple(jobs),
        {name: POLICIES[name].words for name in asked.policies},
        {name: tuple(of) for name, of in scores.items()},
    )
