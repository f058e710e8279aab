"""What each crew may go on to on a day when it is done early, by rows of a plan."""

from collections.abc import Mapping, Sequence
from datetime import date

from crewplan.model.branch import Branch
from crewplan.model.calendar import next_working_day
from crewplan.model.hours import StageHours
from crewplan.model.next_early import NextEarly
from crewplan.model.plan_row import PlanRow
from crewplan.placing.keep import row_after
from crewplan.running.published import published_days
from crewplan.scheduling.done_early import next_when_early, on_the_way


def next_early(
    branch: Branch, hours: Mapping[str, StageHours], rows: Sequence[PlanRow], day: date
) -> dict[str, NextEarly]:
    """By crew that is out on the day and leaves nothing open: the first thing it may go on to.

    Weather is not looked at here: whoever tells it knows what the gate says of the day.

    Args:
        branch: its tables.
        hours: by stage.
        rows: of the plan that is told: the published one, or a board's.
        day: a working day.
    """
    known = on_the_way(branch, hours)
    there: dict[str, list[str]] = {crew.crew: [] for crew in branch.crews}
    stays: set[str] = set()
    for row in sorted(rows, key=lambda row: (row.start_on, row.start_half != "am")):
        if row.start_on > day or row.stage not in known.not_done:
            continue
        days = published_days(branch, row, known.jobs[known.stages[row.stage].job])
        if day not in days:
            continue
        there[row.crew].append(row.stage)
        if days[-1] > day or row_after(rows, row) is not None:
            stays.add(row.crew)
    visited = {crew: stages for crew, stages in there.items() if crew not in stays}
    next_day = next_working_day(branch.settings, day)
    still = [row for row in rows if row.stage in known.not_done]
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
