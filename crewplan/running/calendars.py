"""A crew's calendar: what is published for it, and what was published and fell out again."""

import json
from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime
from uuid import NAMESPACE_URL, uuid5

from crewplan.model.branch import Branch
from crewplan.model.calendar import half_day_bounds
from crewplan.model.plan_life import PlanLife
from crewplan.model.plan_row import PlanRow
from crewplan.publishing.crew_calendar import CalendarEvent, event_words
from crewplan.running.published import published_days, published_halves


def standing(rows: Iterable[PlanRow], at: datetime) -> tuple[PlanLife, ...]:
    """Lives of rows of which nothing is known but that they stand."""
    return tuple(PlanLife(row, 0, at) for row in rows)


def crew_events(branch: Branch, crew: str, lives: Sequence[PlanLife]) -> tuple[CalendarEvent, ...]:
    """An event for each working day of each published stage, by its beginning.

    The n-th day of a stage with a crew is one event for good, however often it moves. What fell out
    of the plan before it began is cancelled; what fell out afterwards took place, and is not told.

    Args:
        branch: its tables as they stand; times follow its settings.
        crew: one of its crews, or a former one.
        lives: of the published plan.
    """
    found: dict[str, CalendarEvent] = {}
    mine = [life for life in lives if life.row.crew == crew]
    # the oldest first, what stands last: the newest word on an event counts
    for life in sorted(mine, key=lambda life: (life.until is None, life.until or 0, life.since)):
        for event in _events(branch, life):
            found[event.uid] = event
    told = [event for event in found.values() if not event.cancelled or _called_off(event)]
    return tuple(sorted(told, key=lambda event: (event.start, event.uid)))


def _called_off(event: CalendarEvent) -> bool:
    return event.start > event.changed_at


def _events(branch: Branch, life: PlanLife) -> list[CalendarEvent]:
    row = life.row
    stage = next((one for one in branch.stages if one.stage == row.stage), None)
    job = next((one for one in branch.jobs if stage is not None and one.job == stage.job), None)
    days = published_days(branch, row, job)
    events = []
    for number, day in enumerate(days, start=1):
        start, end = _bounds(branch, day, published_halves(branch, row, job, day))
        words = event_words(branch, row, stage, job, number, len(days))
        events.append(
            CalendarEvent(
                uid=_uid(branch.settings.name, row, number),
                sequence=life.since if life.until is None else life.until,
                changed_at=life.since_at if life.until_at is None else life.until_at,
                start=start.astimezone(UTC),
                end=end.astimezone(UTC),
                cancelled=life.until is not None,
                words=words,
            )
        )
    return events


def _bounds(branch: Branch, day: date, halves: Sequence[str]) -> tuple[datetime, datetime]:
    morning, afternoon = half_day_bounds(branch.settings, day)
    first = morning if "am" in halves else afternoon
    last = afternoon if "pm" in halves else morning
    return first[0], last[1]


def _uid(branch: str, row: PlanRow, number: int) -> str:
    key = json.dumps([branch, row.crew, row.stage, row.part, number])
    return str(uuid5(NAMESPACE_URL, f"crewplan:{key}"))
