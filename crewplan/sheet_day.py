"""All sheets of one day in one PDF, for whoever prints them the evening before."""

from datetime import date
from typing import Literal

from crewplan.command_parts import (
    UsageFault,
    complain,
    person,
    progress,
    read_open,
    warn,
)


def day_sheets(
    folder: str,
    day: date,
    paper: Literal["a4", "letter"] | None,
    engine: Literal["auto", "highs", "cp-sat"],
    seconds: float,
    now: str | None,
) -> bytes:
    """The PDF: the plan's first day is today or the day asked for, whichever comes first.

    Raises:
        UsageFault: the day is none that is planned, or nobody is sent anywhere on it.
    """
    from crewplan.model.calendar import is_working_day, local_day
    from crewplan.publishing.crew_sheet import crew_sheet
    from crewplan.publishing.crew_sheet.as_pdf import PAPER_OF, sheets_pdf
    from crewplan.publishing.day_words import day_words
    from crewplan.running.sheeting import sheet_facts, stages_of_day
    from crewplan.running.week import plan_week
    from crewplan.store.keeping_verdicts import keep_verdicts
    from crewplan.store.reading import hours_missed, readings_of_day

    branch, clock = read_open(folder, now)
    warn(branch.warnings)
    today = local_day(branch.settings, clock.now)
    if not is_working_day(branch.settings, day):
        raise UsageFault(f"{day_words(day)} is no working day of this branch")
    first = day if day <= today else None
    with progress("Looking for the best week ..."):
        week = plan_week(branch, clock, first=first, days=10, engine=engine, seconds=seconds)
    if day not in week.plan.horizon.days:
        days = week.plan.horizon.days
        span = f"{day_words(days[0])} to {day_words(days[-1])}"
        raise UsageFault(f"{day_words(day)} is not among the days planned, {span}")
    stages = stages_of_day(week, day)
    if not stages:
        raise UsageFault(f"nobody is sent anywhere on {day_words(day)}, so there is no sheet")
    lost, readings = hours_missed(folder, today), readings_of_day(folder, today)
    facts = [sheet_facts(week, stage, readings, lost) for stage in stages]
    for one in facts:
        crew = one.planned.placement.crew if one.planned is not None else ""
        warn(keep_verdicts(folder, one.verdicts, person(None), "sheet", crew))
    if clock.mark:
        complain(clock.mark)
    return sheets_pdf(list(map(crew_sheet, facts)), paper or PAPER_OF[facts[0].units])
