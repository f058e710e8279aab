"""What the owner's page and its exports show: worked out once for a look and a span of days."""

from dataclasses import dataclass
from datetime import date, timedelta
from urllib.parse import parse_qs

from crewplan.model.ledger import Span
from crewplan.model.owner import OwnerView
from crewplan.running.board_view import BoardView
from crewplan.running.owner_view import owner_view
from crewplan.store.connecting import Store
from dashboard.owner_books import opened

_A_YEAR = timedelta(days=364)
_MOST_SPANS = 12
"""Spans that are kept of a look; the oldest goes first."""


@dataclass(frozen=True, slots=True)
class OwnerLook:
    """What is shown, and whether newer entries are still being added up."""

    shown: OwnerView
    behind: bool


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
    """The days of a link; without any, the year up to the look's day.

    None: the record is still being read out of the database.
    """
    kept = opened(view, store)
    if kept is None:
        return None
    today = view.asked_at.date()
    span = span_of(search)
    if span == Span():
        span = Span(today - _A_YEAR, None)
    found = kept.by_span.get(span)
    if found is None:
        while len(kept.by_span) >= _MOST_SPANS:
            kept.by_span.pop(next(iter(kept.by_span)), None)
        found = kept.by_span[span] = owner_view(kept.book, today, span)
    return OwnerLook(found, kept.behind)
