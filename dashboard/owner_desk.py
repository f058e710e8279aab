"""What the owner's page and its exports show: worked out once for a look and a span of days.

A month that was closed is shown as it was then.
"""

from dataclasses import dataclass
from datetime import date
from urllib.parse import parse_qs

from sqlalchemy import Connection

from crewplan.model.closed import whole_month
from crewplan.model.ledger import Span
from crewplan.model.owner import OwnerView
from crewplan.running.all_stays import all_of_it_stays
from crewplan.running.board_view import BoardView
from crewplan.running.owner_view import closed_view, owner_view
from crewplan.store.closed_months import closed_figures, closed_on
from crewplan.store.connecting import Store
from crewplan.store.faults import StoreFault
from dashboard.owner_books import Opened, last_year, opened

_MOST_SPANS = 12
"""Spans that are kept of a look; the oldest goes first."""


@dataclass(frozen=True, slots=True)
class OwnerLook:
    """What is shown, and whether newer entries are still being added up."""

    shown: OwnerView
    behind: bool
    months: tuple[str, ...]
    """Those that were closed."""
    version: int = 0
    """Of the database that the record is of; 0: of no database."""


def span_of(search: str) -> Span:
    """The days of a link such as '?from=2026-04-01&to=2026-04-30'; what is no day is left out, and
    so is a last day before the first."""
    asked = parse_qs((search or "").lstrip("?"))
    first, last = (_day(asked.get(name, [""])[0]) for name in ("from", "to"))
    if first is not None and last is not None and last < first:
        last = None
    return Span(first, last)


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def owner_look(view: BoardView, search: str, store: Store | None = None) -> OwnerLook | None:
    """The days of a link; without any, the year up to the look's day. A closed month is as it was.

    None: the record is still being read out of the database.
    """
    kept = opened(view, store)
    if kept is None:
        return None
    today = view.asked_at.date()
    span = span_of(search)
    if span == Span():
        span = last_year(today)
    if store is None:
        return OwnerLook(_as_it_is(kept, today, span), kept.behind, ())
    try:
        with store.read() as connection:
            months = tuple(closed_on(connection))
            month = whole_month(span)
            if month in months:
                shown = _as_it_was(kept, today, month, connection)
                return OwnerLook(shown, kept.behind, months, kept.version)
    except StoreFault:  # it is told again as soon as the database answers
        return None
    return OwnerLook(_as_it_is(kept, today, span), kept.behind, months, kept.version)


def _as_it_is(kept: Opened, today: date, span: Span) -> OwnerView:
    found = kept.by_span.get(span)
    if found is None:
        while len(kept.by_span) >= _MOST_SPANS:
            kept.by_span.pop(next(iter(kept.by_span)), None)
        with all_of_it_stays():
            found = kept.by_span[span] = owner_view(kept.book, today, span, kept.expected)
    return found


def _as_it_was(kept: Opened, today: date, month: str, connection: Connection) -> OwnerView:
    found = kept.by_month.get(month)
    if found is None:
        jobs, weeks = (closed_figures(connection, month, by) for by in ("job", "week"))
        assert jobs is not None
        assert weeks is not None
        record, closing = jobs
        found = closed_view(kept.book, today, record, weeks[0], closing, kept.expected)
        kept.by_month[month] = found
    return found
