"""A crew's days as an iCalendar file (RFC 5545), for calendars that people have already.

It carries no money, no telephone and no verdict: a calendar asks when it likes, and a go must not
stand there after it is void.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from crewplan.model.branch import Branch
from crewplan.model.job_rows import Job, Stage
from crewplan.model.plan_row import PlanRow
from crewplan.publishing.kind_words import KIND_WORDS

_ASK = "Whether modules can be lifted is told the evening before, and not here."
_PRODUCT = "-//crewplan//crew calendar//EN"


@dataclass(frozen=True, slots=True)
class EventWords:
    """What one event says."""

    summary: str
    location: str
    description: str
    latitude: float | None = None
    longitude: float | None = None


@dataclass(frozen=True, slots=True)
class CalendarEvent:
    """One working day of a published stage."""

    uid: str
    sequence: int
    changed_at: datetime
    """UTC: when it got to be as it is."""
    start: datetime
    """UTC."""
    end: datetime
    """UTC."""
    cancelled: bool
    words: EventWords


def event_words(
    branch: Branch, row: PlanRow, stage: Stage | None, job: Job | None, number: int, days: int
) -> EventWords:
    """Of the n-th of so many days; of a stage that the tables no longer have, its name alone."""
    kind = KIND_WORDS[stage.kind] if stage is not None else "Stage"
    customer = (job.customer or job.job) if job is not None else ""
    summary = f"{kind} {row.stage}" + (f": {customer}" if customer else "")
    if days > 1:
        summary += f" ({number} of {days})"
    # whoever is on site and how one gets in (a gate's code) stay on the sheet: a calendar that is
    # read by a link lies with whatever service its owner uses
    told = [f"Crew {row.crew}, {branch.settings.name}.", _ASK]
    return EventWords(
        summary,
        job.address if job is not None else "",
        "\n".join(told),
        job.latitude if job is not None else None,
        job.longitude if job is not None else None,
    )


def calendar_ics(branch: str, crew: str, events: Iterable[CalendarEvent]) -> bytes:
    """The file. The same events give the same bytes, so that reading it again changes nothing."""
    from icalendar import Calendar, Event, vDuration  # heavy, and only needed here

    calendar = Calendar()
    calendar.add("prodid", _PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    name = f"{crew}, {branch}"
    calendar.add("name", name)
    calendar.add("x-wr-calname", name)
    calendar.add(
        "refresh-interval", vDuration(timedelta(hours=1)), parameters={"value": "DURATION"}
    )
    calendar.add("x-published-ttl", "PT1H")
    for one in events:
        event = Event()
        event.add("uid", one.uid)
        event.add("sequence", one.sequence)
        event.add("dtstamp", one.changed_at.astimezone(UTC))
        event.add("last-modified", one.changed_at.astimezone(UTC))
        event.add("dtstart", one.start)
        event.add("dtend", one.end)
        event.add("status", "CANCELLED" if one.cancelled else "CONFIRMED")
        event.add("summary", one.words.summary)
        if one.words.location:
            event.add("location", one.words.location)
        event.add("description", one.words.description)
        if one.words.latitude is not None and one.words.longitude is not None:
            event.add("geo", (one.words.latitude, one.words.longitude))
        event.add("transp", "TRANSPARENT" if one.cancelled else "OPAQUE")
        calendar.add_component(event)
    return bytes(calendar.to_ical())
