"""Whether the published plan's pins contradict each other, without making a plan."""

from dataclasses import replace
from datetime import timedelta

from crewplan.labour import stage_hours_all
from crewplan.model.branch import Branch
from crewplan.model.calendar import is_working_day, local_day
from crewplan.placing import all_choices
from crewplan.running.clock import Clock
from crewplan.running.week import horizon_of
from crewplan.scheduling.clashing_pins import clashing_pins
from crewplan.takeoff import take_off_all

_MOST_DAYS = 60


def pins_that_clash(branch: Branch, clock: Clock) -> str:
    """One sentence; empty: all pins and frozen days can stay together."""
    today = local_day(branch.settings, clock.now)
    rows = [row for row in branch.plan if row.start_on >= today]
    if len(rows) < 2:
        return ""
    names = {row.stage for row in rows}
    jobs = {row.job for row in branch.stages if row.stage in names}
    small = replace(
        branch,
        jobs=tuple(row for row in branch.jobs if row.job in jobs),
        planes=tuple(row for row in branch.planes if row.job in jobs),
        stages=tuple(row for row in branch.stages if row.job in jobs),
    )
    last = max(row.start_on for row in rows)
    ahead = (today + timedelta(days=n) for n in range(1, (last - today).days + 1))
    days = sum(is_working_day(branch.settings, day) for day in ahead)
    horizon = horizon_of(small, clock, None, min(days + 5, _MOST_DAYS))
    takeoffs = take_off_all(small)
    hours = stage_hours_all(small, takeoffs, today)
    found = clashing_pins(all_choices(small, horizon, takeoffs, hours, clock.now))
    return "" if found is None else found.told
