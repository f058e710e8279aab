"""Generated weeks in which stages are left out, and a check of what is said to keep them out.

A week is some of the demo's jobs with a seeded mess made of their tables: requirements, stock, days
off, customers' days, certificates, wind and crews. The check solves again, with rules and without.
"""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache
from typing import Any

import numpy as np

from crewplan.intake import read_folder
from crewplan.labour import stage_hours_all
from crewplan.model.answer import KeptOut
from crewplan.model.branch import Branch
from crewplan.model.calendar import local_day, working_days
from crewplan.model.horizon import Horizon
from crewplan.model.people_rows import Absence
from crewplan.placing import all_choices
from crewplan.running.clock import Clock, read_clock
from crewplan.running.demo import demo_folder
from crewplan.running.week import Week
from crewplan.scheduling import Stop, schedule
from crewplan.scheduling.engines.highs import highs
from crewplan.scheduling.keeping import keep_together
from crewplan.scheduling.kept_out import kept_out
from crewplan.scheduling.waiving import Asked, problem_without, waived
from crewplan.scheduling.wanting import at_any_price
from crewplan.takeoff import take_off_all

DAYS = 6
STOP = Stop(seconds=None, gap=0.002, steps=500)
AGAIN = replace(STOP, seed=7)


@cache
def _demo() -> tuple[Branch, Clock]:
    branch = read_folder(demo_folder())
    return branch, read_clock(branch.settings)


def _some(rng: np.random.Generator, rows: Any, share: float) -> set[int]:
    return set(np.flatnonzero(rng.random(len(rows)) < share).tolist())


def messy_branch(seed: int) -> Branch:
    """The demo's tables, each year something else."""
    branch, _ = _demo()
    rng = np.random.default_rng([4, seed])
    some = _some(rng, branch.jobs, 0.45)
    jobs = tuple(row for i, row in enumerate(branch.jobs) if i in some)
    kept = {row.job for row in jobs}
    stages = {row.stage for row in branch.stages if row.job in kept}
    first = date(2026, 5, 4)
    crews = {row.crew for row in branch.crews[: int(rng.integers(2, 4))]}
    people = tuple(row for row in branch.people if row.crew in crews)
    names = {row.person for row in people}
    granted = _some(rng, branch.requirements, 0.6)
    lost = _some(rng, branch.certificates, 0.25)
    shut = _some(rng, jobs, 0.1)
    later = _some(rng, jobs, 0.08)
    wind = np.where(rng.random(len(branch.weather.member_index)) < 0.5, rng.uniform(1.0, 2.5), 1.0)
    days = [first + timedelta(days=one) for one in range(12)]
    return replace(
        branch,
        crews=tuple(row for row in branch.crews if row.crew in crews),
        people=people,
        certificates=tuple(
            row
            for i, row in enumerate(branch.certificates)
            if row.person in names and i not in lost
        ),
        absences=tuple(
            Absence(row.person, day, day + timedelta(days=2), "ill")
            for row in people
            for day in rng.choice(days, 1)
            if rng.random() < 0.2
        ),
        jobs=tuple(
            replace(
                row,
                customer_days=((days[8], days[9]),) if i in shut else row.customer_days,
                earliest_on=days[10] if i in later else row.earliest_on,
            )
            for i, row in enumerate(jobs)
        ),
        requirements=tuple(
            replace(row, state="granted", granted_on=first - timedelta(days=20), asked_on=None)
            if i in granted and row.state in ("open", "asked")
            else row
            for i, row in enumerate(branch.requirements)
            if row.job in kept
        ),
        stock=tuple(replace(row, on_hand=row.on_hand * rng.uniform(0, 2)) for row in branch.stock),
        equipment=tuple(row for row in branch.equipment if rng.random() < 0.9),
        stages=tuple(row for row in branch.stages if row.job in kept),
        planes=tuple(row for row in branch.planes if row.job in kept),
        progress=tuple(row for row in branch.progress if row.stage in stages),
        hours_worked=(),
        weather=replace(
            branch.weather,
            gust_mps=branch.weather.gust_mps * wind,
            wind_mps=branch.weather.wind_mps * wind,
        ),
        plan=(),
        present=branch.present - {"plan"},
    )


@cache
def generated_week(seed: int) -> Week:
    """Six working days, planned; the same on every machine, since steps end the search."""
    branch, (_, clock) = messy_branch(seed), _demo()
    today = local_day(branch.settings, clock.now)
    horizon = Horizon(working_days(branch.settings, today + timedelta(days=1), DAYS), frozenset())
    takeoffs = take_off_all(branch)
    hours = stage_hours_all(branch, takeoffs, today)
    choices = all_choices(branch, horizon, takeoffs, hours, clock.now)
    return Week(branch, clock, takeoffs, hours, choices, schedule(choices, stop=STOP))


def asked_of(week: Week) -> Asked:
    return Asked(week.branch, week.choices, week.takeoffs, week.hours, week.clock.now)


@cache
def why_out(week: Week, stage: str) -> KeptOut:
    kept = kept_out(asked_of(week), week.plan, stage, stop=STOP)
    assert kept is not None
    return kept


@dataclass(frozen=True, slots=True)
class Proof:
    """What solving again says; money in cents, None: no plan has the stage."""

    placed: bool
    """With the rules waived the best plan has it by itself."""
    forced: int | None
    """What forcing it costs by all rules."""
    forced_then: int | None
    """What forcing it costs with the rules waived."""

    @property
    def holds(self) -> bool:
        """Placed, or for a tenth at most."""
        if self.placed:
            return True
        return self.forced_then is not None and (
            self.forced is None or 10 * self.forced_then <= self.forced
        )


def _solved(week: Week, stage: str, rules: Any, *, force: bool) -> tuple[int, bool]:
    """Price of the best plan found, and whether it has the stage."""
    choices = waived(asked_of(week), stage, rules) if rules else week.choices
    if force:
        choices = at_any_price(choices, stage)
    kept = keep_together(choices, highs)
    whole = problem_without(kept.whole, stage, rules) if rules else kept.whole
    found = highs(whole.selection, kept.seated, AGAIN)
    has = any(
        take and p.stage == stage
        for p, take in zip(whole.held.placements, found.picked, strict=True)
    )
    return found.objective, has


@cache
def _as_it_is(week: Week) -> int:
    """Price of the plan by all rules, solved again."""
    return _solved(week, "", (), force=False)[0]


def prove(week: Week, stage: str, kept: KeptOut) -> Proof:
    """Solve four times, from an empty start: by all rules and with the named ones waived, as it
    comes and with the stage at any price. `price` is waived by paying for it."""
    rules = tuple(rule for rule in kept.rules if rule != "price")
    free = _as_it_is(week)
    dear, has = _solved(week, stage, (), force=True)
    forced = max(0, dear - free) if has else None
    if kept.rules == ("price",):
        return Proof(has, forced, None)
    free_then, placed = _solved(week, stage, rules, force=False)
    dear_then, has_then = _solved(week, stage, rules, force=True)
    return Proof(placed, forced, max(0, dear_then - free_then) if has_then else None)
