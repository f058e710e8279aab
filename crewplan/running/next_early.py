"""What each crew may go on to on a day when it is done early, by the plan."""

from collections.abc import Mapping
from datetime import date

from crewplan.model.branch import Branch
from crewplan.model.calendar import next_working_day
from crewplan.model.hours import StageHours
from crewplan.model.next_early import NextEarly
from crewplan.placing.keep import row_after
from crewplan.running.published import published_days, published_on
from crewplan.scheduling.done_early import next_when_early, on_the_way


def next_early(branch: Branch, hours: Mapping[str, StageHours], day: date) -> dict[str, NextEarly]:
    """By crew that is out on the day and leaves nothing open: the first thing it may go on to.

    Weather is not looked at here: whoever tells it knows what the gate says of the day.

    Args:
        branch: its tables, with the plan that is told.
        hours: by stage.
        day: a working day.
    """
    known = on_the_way(branch, hours)
    there: dict[str, list[str]] = {}
    stays: set[str] = set()
    for crew in (row.crew for row in branch.crews):
        there[crew] = []
        for row in published_on(branch, crew, day):
            if row.stage in known.not_done:
                there[crew].append(row.stage)
                job = known.jobs[known.stages[row.stage].job]
                goes_on = published_days(branch, row, job)[-1] > day
                if goes_on or row_after(branch.plan, row) is not None:
                    stays.add(crew)
    visited = {crew: stages for crew, stages in there.items() if crew not in stays}
    next_day = next_working_day(branch.settings, day)
    still = [row for row in branch.plan if row.stage in known.not_done]
    told = next_when_early(known, still, day, next_day, visited, lambda _: True)
    found = {}
    for crew, stages in told.items():
        if not stages:
            continue
        stage = known.stages[stages[0]]
        on_roof = stage.kind in ("roof", "return") or hours[stage.stage].exposed
        job = known.jobs[stage.job]
        found[crew] = NextEarly(crew, there[crew][-1], stage, job, next_day, on_roof)
    return found


def after_visit(told: Mapping[str, NextEarly], crew: str, stage: str) -> NextEarly | None:
    """What follows a crew's visit; None where another visit of the day does, or nothing."""
    early = told.get(crew)
    return early if early is not None and early.after == stage else None
