"""A branch from day to day through past weather: told, planned, sent, worked."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta

import numpy as np
from numpy.typing import NDArray

from crewplan.labour import stage_hours_all
from crewplan.model.branch import Branch
from crewplan.model.calendar import is_working_day, next_working_day, zone
from crewplan.model.hours import StageHours
from crewplan.model.plan_row import PlanRow
from crewplan.model.weather_table import WeatherTable
from crewplan.model.work_rows import Progress
from crewplan.replay.crew_day import Entry, StepLeft, Team, Visit, crew_day
from crewplan.replay.forecaster import Errors, ensemble
from crewplan.replay.kept import in_order, newest
from crewplan.replay.morning import Morning, Orders
from crewplan.replay.observed import Observed, open_to
from crewplan.replay.policies import Policy
from crewplan.replay.stream import Sold, branch_with
from crewplan.takeoff import take_off_all

TOLD_AT = time(18)
"""Local, the day before: the forecast comes and crews are told."""
AHEAD_H = 16 * 24
"""Hours of a forecast: ten working days, and the evening before them."""


@dataclass(frozen=True, slots=True, eq=False)
class Replayed:
    """What happened under one policy."""

    policy: str
    log: tuple[Entry, ...]
    sold: tuple[Sold, ...]
    finished: Mapping[str, date]
    """By stage: the day on which its last step was done."""
    begun: Mapping[str, date]
    """By stage: the first day on which somebody worked on it."""
    published: Mapping[date, Mapping[str, date]]
    """By working day, as told the evening before: stage -> first day by the plan then published."""
    last: date
    """Last day that was replayed."""
    kept_evenings: int = 0
    """Evenings on which a forecast that somebody had kept was told, and none was made."""


def _true_steps(hours: StageHours, seed: int, number: int) -> list[StepLeft]:
    """What the steps will really take: log-normal about the estimate, by each step's spread."""
    rng = np.random.default_rng([seed, 5, number])
    found = []
    for step in hours.steps:
        sigma = float(np.sqrt(np.log1p(step.spread**2)))
        whole_h = step.p50_h * float(np.exp(sigma * rng.standard_normal()))
        found.append(StepLeft(step.step, step.exposure, step.after, whole_h, whole_h))
    return found


class _Run:
    def __init__(
        self,
        base: Branch,
        sold: Sequence[Sold],
        observed: Observed,
        errors: Errors,
        seed: int,
        forecasts: Sequence[WeatherTable],
    ) -> None:
        self.base, self.sold, self.observed = base, tuple(sold), observed
        self.errors, self.seed = errors, seed
        self.forecasts, self.kept_evenings = forecasts, 0
        self.opened: NDArray[np.bool_] = open_to(observed, base.package_limits, base.limits)
        whole = branch_with(base, self.sold)
        self.takeoffs = take_off_all(whole)
        hours = stage_hours_all(whole, self.takeoffs, date.min)
        self.steps = {
            stage: _true_steps(of, seed, number) for number, (stage, of) in enumerate(hours.items())
        }
        jobs = {job.job: (job.latitude, job.longitude) for job in whole.jobs}
        self.spots = {stage.stage: jobs[stage.job] for stage in whole.stages}
        self.finished: dict[str, date] = {}
        self.begun: dict[str, date] = {}
        self.begun_by: dict[str, str] = {}
        self.worked_on: dict[str, date] = {}
        self.again = frozenset(step.step for step in base.steps if step.again)
        self.progress: dict[str, tuple[Progress, ...]] = {}
        self.plan: tuple[PlanRow, ...] = ()
        self.teams = [
            Team(
                crew.crew,
                (crew.base_latitude, crew.base_longitude),
                sum(person.crew == crew.crew for person in base.people),
                sum(person.pace for person in base.people if person.crew == crew.crew),
            )
            for crew in base.crews
        ]

    def morning(self, day: date) -> Morning:
        """What is known on the evening before."""
        now = datetime.combine(day - timedelta(days=1), TOLD_AT, zone(self.base.settings))
        known = [
            one
            for one in self.sold
            if one.known_on < day and any(s.stage not in self.finished for s in one.stages)
        ]
        stages = {stage.stage for one in known for stage in one.stages}
        branch = replace(
            branch_with(self.base, known),
            weather=self._forecast(int(now.timestamp())),
            progress=tuple(row for name in sorted(stages) for row in self.progress.get(name, ())),
            plan=tuple(row for row in self.plan if row.stage in stages),
            present=self.base.present | {"progress", "plan"},
        )
        takeoffs = {one.job.job: self.takeoffs[one.job.job] for one in known}
        begun_by = {s: c for s, c in self.begun_by.items() if s not in self.finished}
        hours = stage_hours_all(branch, takeoffs, day - timedelta(days=1))
        return Morning(day, now, branch, takeoffs, hours, begun_by, self.seed)

    def _forecast(self, now_s: int) -> WeatherTable:
        """The newest that was kept, else one that is made."""
        kept = newest(self.forecasts, now_s)
        if kept is not None:
            self.kept_evenings += 1
            return kept
        return ensemble(self.observed, self.errors, now_s, AHEAD_H, self.seed)

    def work(self, day: date, orders: Orders) -> list[Entry]:
        """Crews go out; what they did is written down."""
        log: list[Entry] = []
        for team in self.teams:
            for stage in orders.visits.get(team.crew, ()):
                self._set_up_again(day, stage, team.crew)
            visits = [
                Visit(stage, self.spots[stage], self.steps[stage], stage in orders.left_at_noon)
                for stage in orders.visits.get(team.crew, ())
            ]
            entries = crew_day(
                self.base.settings, day, team, visits, self.opened, self.observed.first_s
            )
            for stage in dict.fromkeys(e.stage for e in entries if e.what == "work"):
                self._note(day, stage, team.crew)
            log += entries
        return log

    def _set_up_again(self, day: date, stage: str, crew: str) -> None:
        """Steps that are done again by a crew that was not there the working day before."""
        was_there = self.worked_on.get(stage)
        if was_there is None or stage in self.finished:
            return
        if next_working_day(self.base.settings, was_there) >= day and self.begun_by[stage] == crew:
            return
        for step in self.steps[stage]:
            if step.step in self.again:
                step.left_h = step.whole_h

    def _note(self, day: date, stage: str, crew: str) -> None:
        self.begun.setdefault(stage, day)
        self.begun_by[stage] = crew
        self.worked_on[stage] = day
        steps = self.steps[stage]
        self.progress[stage] = tuple(
            Progress(day, stage, step.step, 1.0 if step.done else 1 - step.left_h / step.whole_h)
            for step in steps
        )
        if all(step.done for step in steps):
            self.finished[stage] = day


def replay(
    base: Branch,
    sold: Sequence[Sold],
    observed: Observed,
    policy: Policy,
    first: date,
    last: date,
    *,
    errors: Errors | None = None,
    seed: int = 1,
    forecasts: Sequence[WeatherTable] = (),
) -> Replayed:
    """Every working day from the first to the last.

    Args:
        base: crews, people, settings, limits and the package's rows; its jobs are not used.
        sold: jobs as they become ready, in order.
        observed: the weather that comes, from before the first day to after the last.
        policy: who decides.
        errors: of the forecasts; None: as assumed. A policy that knows the weather has none.
        seed: of forecasts and of what steps really take, the same for every policy.
        forecasts: that were kept. On an evening the newest that was known by then is told in place
            of one that is made, unless the policy knows the weather; evenings are counted.

    Raises:
        ValueError: where nothing was observed on a day.
    """
    told = errors or Errors()
    if policy.knows_the_weather:
        told, forecasts = replace(told, times=0.0), ()
    run = _Run(base, sold, observed, told, seed, in_order(forecasts))
    log: list[Entry] = []
    published: dict[date, Mapping[str, date]] = {}
    day = first
    while day <= last:
        if is_working_day(base.settings, day):
            orders = policy.decide(run.morning(day))
            run.plan = orders.plan
            published[day] = {row.stage: row.start_on for row in orders.plan if row.part == 1}
            log += run.work(day, orders)
        day += timedelta(days=1)
    return Replayed(
        policy.name,
        tuple(log),
        run.sold,
        run.finished,
        run.begun,
        published,
        last,
        run.kept_evenings,
    )
