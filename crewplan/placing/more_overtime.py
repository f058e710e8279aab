"""What a stage that fits nowhere would fit with: more overtime than the settings allow.

Only asked where nobody can do it within the days planned. The fewest hours that would let any crew
do it are told, in steps of half an hour, with the crews and starts at which they would.
"""

from collections.abc import Iterator, Sequence
from math import floor

import numpy as np
from numpy.typing import NDArray

from crewplan.model.calendar import longest_overtime_h
from crewplan.model.placement import days_of
from crewplan.model.settings import Settings
from crewplan.placing.crew_days import CrewDays
from crewplan.placing.crew_needs import crew_lacks
from crewplan.placing.fit_line import half_days_in_one_go
from crewplan.placing.needs.in_hand import lapsing
from crewplan.placing.needs.people import DayFault, faults_on
from crewplan.placing.removals import Removal
from crewplan.placing.site import Sites
from crewplan.placing.stage_facts import StageFacts

STEP_H = 0.5
Able = tuple[CrewDays, list[DayFault], NDArray[np.bool_]]
"""A crew, its faults by day, and starts that neither stage nor crew takes away."""


def only_with_more_overtime(
    site: Sites, facts: StageFacts, crews: Sequence[CrewDays]
) -> list[Removal]:
    """By crew, the starts from which the stage would fit if people worked on for longer.

    Args:
        site: of the plan, with the overtime that is allowed.
        facts: a stage that none of `crews` can do as it is.
        crews: who is asked.
    """
    if not facts.open.any():
        return []
    able: list[Able] = []
    for crew in crews:
        faults, taken = crew_lacks(site, facts, crew)
        good = facts.open.copy()
        for removal in taken:
            good &= ~removal.starts
        if good.any():
            able.append((crew, faults, good))
    settings = site.known.branch.settings
    hours = list(_steps(settings))
    if not able or not hours:
        return []
    longest = site.with_longer_days(facts.job, hours[-1])
    if not _fitting(longest, facts, able):
        return []
    for most_h in hours:
        fitting = _fitting(longest.with_shorter_days(most_h), facts, able)
        if fitting:
            text = (
                f"crew {{crews}} could with {most_h:g} h of overtime a day; overtime_max_h allows "
                f"{settings.overtime_max_h:g}"
            )
            return [Removal("overtime", text, starts, crew) for crew, starts in fitting.items()]
    return []


def _steps(settings: Settings) -> Iterator[float]:
    """More than is allowed now, up to the most that could be."""
    longest = longest_overtime_h(settings)
    count = floor(settings.overtime_max_h / STEP_H) + 1
    while count * STEP_H < longest:
        yield count * STEP_H
        count += 1
    if longest > settings.overtime_max_h:
        yield longest


def _fitting(site: Sites, facts: StageFacts, able: Sequence[Able]) -> dict[str, NDArray[np.bool_]]:
    """By crew, good starts from which it could do the stage with the site's days."""
    walked: dict[int, list[tuple[int, ...]]] = {}
    found: dict[str, NDArray[np.bool_]] = {}
    for crew, faults, good in able:
        line = site.line(crew, facts.job, site.drive_h(crew, facts.job), overtime=True)
        if not line.cells:
            continue
        if id(line) not in walked:
            walked[id(line)] = half_days_in_one_go(site, facts, line)
        starts = np.zeros_like(good)
        for own in walked[id(line)]:
            start = np.zeros_like(good)
            start[own[0]] = True
            days = days_of(own)
            broken = faults_on(faults, crew, days, start)
            broken += lapsing(facts.ready, site.known.horizon, days, start)
            if good[own[0]] and not broken:
                starts |= start
        if starts.any():
            found[crew.name] = starts
    return found
