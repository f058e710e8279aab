"""Days on which a stage may start: the customer's, the job's, the inspector's, the clock's."""

from datetime import UTC, date, datetime

import numpy as np
from numpy.typing import NDArray

from crewplan.model.calendar import half_day_bounds, next_working_day, working_days
from crewplan.model.horizon import Horizon
from crewplan.model.job_rows import DaySpan, Job
from crewplan.model.settings import Settings
from crewplan.placing.removals import Removal, days


def customer_allows(spans: tuple[DaySpan, ...], day: date) -> bool:
    """Whether the customer lets a crew come on the day; no spans: any day."""
    return not spans or any(first <= day <= last for first, last in spans)


def _span_words(span: DaySpan) -> str:
    first, last = span
    return first.isoformat() if first == last else f"{first.isoformat()}..{last.isoformat()}"


def _starts(horizon: Horizon, bad: list[bool]) -> NDArray[np.bool_]:
    return np.repeat(np.array(bad, dtype=np.bool_), len(horizon.cells) // max(len(bad), 1))


def outside_customer_days(job: Job, horizon: Horizon) -> list[Removal]:
    """Starts before the job's earliest day, or on days that the customer does not allow."""
    early = [day < job.earliest_on for day in horizon.days]
    shut = [not customer_allows(job.customer_days, day) for day in horizon.days]
    spans = "; ".join(_span_words(span) for span in job.customer_days)
    return [
        Removal(
            "customer", f"earliest day is {job.earliest_on.isoformat()}", _starts(horizon, early)
        ),
        Removal("customer", f"the customer allows {spans}", _starts(horizon, shut)),
    ]


def before_notice(
    settings: Settings, horizon: Horizon, today: date, authority: str, notice_days: int
) -> list[Removal]:
    """Inspections sooner than the authority's notice, in working days after today."""
    if notice_days == 0:
        return []
    first = working_days(settings, next_working_day(settings, today), notice_days)[-1]
    text = f"{authority} asks for {days(notice_days)} of notice"
    return [Removal("inspections", text, _starts(horizon, [day < first for day in horizon.days]))]


def half_days_begun(settings: Settings, horizon: Horizon, now: datetime) -> NDArray[np.bool_]:
    """By half-day of the horizon: whether its working time has begun already."""
    begins = (begin for day in horizon.days for begin, _ in half_day_bounds(settings, day))
    return np.array([begin.astimezone(UTC) < now for begin in begins], dtype=np.bool_)
