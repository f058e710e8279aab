"""Of hours on the road, those beyond the drive that planning reckons with."""

from collections.abc import Callable
from dataclasses import replace

from crewplan.model.branch import Branch
from crewplan.model.work_rows import HoursWorked
from crewplan.placing.travel import drive_h

_A_MINUTE_H = 1 / 60
"""What people round away when they note a drive."""


def beyond_planned_drive(branch: Branch) -> Callable[[HoursWorked], HoursWorked | None]:
    """A function that takes the planned drive out and back off an entry of `travel`.

    It gives None where nothing is left, and every other entry as it is. An entry is one person's
    day on a stage; the crew is the person's own.
    """
    bases = {row.crew: row for row in branch.crews}
    base_of = {row.person: bases[row.crew] for row in branch.people}
    sites = {row.job: row for row in branch.jobs}
    site_of = {row.stage: sites[row.job] for row in branch.stages}

    def beyond(row: HoursWorked) -> HoursWorked | None:
        base = base_of.get(row.person)
        if row.cause != "travel" or base is None:
            return row
        site = site_of[row.stage]
        way = (base.base_latitude, base.base_longitude, site.latitude, site.longitude)
        hours = row.hours - 2 * drive_h(branch.settings, *way)
        return replace(row, hours=hours) if hours > _A_MINUTE_H else None

    return beyond
