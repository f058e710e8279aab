"""A month that was closed: its figures stay as they were."""

from dataclasses import dataclass
from datetime import date, timedelta

from crewplan.model.ledger import Span


@dataclass(frozen=True, slots=True)
class Correction:
    """An entry of a closed month that was made, changed or taken away since."""

    version: int
    by: str
    at: str
    """UTC, ISO 8601."""
    table: str
    was: str
    """The row in words; empty: it is new."""
    now: str
    """Empty: it is gone."""


@dataclass(frozen=True, slots=True)
class Closing:
    """Who closed a month and when, and what has been entered for it since."""

    month: str
    """2026-04."""
    by: str
    at: str
    """UTC, ISO 8601."""
    version: int
    """Of the branch's tables."""
    corrections: tuple[Correction, ...] = ()


def month_of(day: date) -> str:
    """The month that a day is in."""
    return f"{day:%Y-%m}"


def days_of(month: str) -> Span:
    """First and last day.

    Raises:
        ValueError: it is no month written as 2026-04.
    """
    if len(month) != len("2026-04"):
        raise ValueError(month)
    first = date.fromisoformat(f"{month}-01")
    after = (first + timedelta(days=31)).replace(day=1)
    return Span(first, after - timedelta(days=1))


def whole_month(span: Span) -> str | None:
    """The month that a span is exactly; None: it is none."""
    if span.first is None or span.last is None:
        return None
    month = month_of(span.first)
    return month if days_of(month) == span else None
