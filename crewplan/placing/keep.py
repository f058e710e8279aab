"""Which published rows hold their crew and start, and where that is in the horizon."""

from collections.abc import Callable, Iterable
from datetime import date, timedelta

from crewplan.model.horizon import Horizon
from crewplan.model.placement import Keep
from crewplan.model.plan_row import PlanRow


def published_cells(row: PlanRow, can_work: Callable[[date], bool], until: date) -> list[date]:
    """Days of the row's half-days: the crew's working half-days from its start, up to `until`.

    Args:
        row: of the published plan.
        can_work: whether the crew can spend a day on the job.
        until: no later days are looked at.
    """
    days: list[date] = []
    day, skip = row.start_on, row.start_half == "pm"
    while len(days) < row.half_days and day <= until:
        if can_work(day):
            days += [day] if skip else [day, day]
            skip = False
        day += timedelta(days=1)
    return days[: row.half_days]


def current_rows(
    rows: Iterable[PlanRow], reaches: Callable[[PlanRow], bool], first_day: date
) -> dict[str, PlanRow]:
    """By stage, the part of the published plan that is next: the first that lies in the horizon or
    reaches into it, else the last one."""
    found: dict[str, PlanRow] = {}
    for row in sorted(rows, key=lambda row: (row.stage, row.part)):
        held = found.get(row.stage)
        if held is None or not (held.start_on >= first_day or reaches(held)):
            found[row.stage] = row
    return found


def row_after(rows: Iterable[PlanRow], row: PlanRow) -> PlanRow | None:
    """The row of the stage's next part, if it has one that starts later."""
    later = (
        other
        for other in rows
        if other.stage == row.stage and other.part > row.part and other.start_on >= row.start_on
    )
    return min(later, key=lambda other: other.part, default=None)


def keep(
    row: PlanRow,
    reaches: bool,
    usable_cells: tuple[int, ...],
    horizon: Horizon,
    later: PlanRow | None = None,
) -> Keep | None:
    """Where the row's crew and start stay, or None where the stage is free to move.

    Args:
        row: of the published plan.
        reaches: the row began before the horizon and its half-days reach into it.
        usable_cells: half-days of the horizon that the row's crew can spend on the job.
        horizon: what is planned, and its frozen days.
        later: the row of the part after it; it stays too where it is pinned or its day is frozen,
            and a pin of it holds the first one as well.
    """
    again, pinned = None, row.pinned
    if later is not None and later.crew == row.crew:
        stays = later.pinned or later.start_on in horizon.frozen
        again = horizon.cell(later.start_on, later.start_half) if stays else None
        pinned = row.pinned or (later.pinned and again is not None)
    if row.start_on < horizon.days[0]:
        if reaches and usable_cells:
            return Keep(row.crew, usable_cells[0], pinned, again)
        return None
    if pinned or row.start_on in horizon.frozen:
        cell = horizon.cell(row.start_on, row.start_half)
        if cell is not None:
            return Keep(row.crew, cell, pinned, again)
    return None
