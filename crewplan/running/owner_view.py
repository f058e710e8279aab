"""The owner's page of a branch: worked out from its book."""

from collections.abc import Iterable
from datetime import date

from crewplan.ledger import Book, findings
from crewplan.ledger.outliers import LEAST_JOBS, job_paces
from crewplan.ledger.over_time import lost_over_time
from crewplan.model.ledger import Span, Waterfall
from crewplan.model.owner import OwnerView
from crewplan.running.hours_record import as_of_span, record_on

_PARTS = ("price", "labour", "material", "equipment", "lost", "returns")


def owner_view(book: Book, today: date, span: Span) -> OwnerView:
    """Jobs with hours in the span; their margins and standings as of its end."""
    record = record_on(book, today, "job", span)
    margins = record.margins.values()
    paces = job_paces(record.standings)
    step, lost = lost_over_time(book, span)
    return OwnerView(
        record=record,
        planned=_together(one.planned for one in margins),
        now=_together(one.now for one in margins),
        at_completion=_together(one.at_completion for one in margins),
        step=step,
        lost=lost,
        paces=paces,
        paces_told=len(paces) >= LEAST_JOBS,
        changes=findings(book, as_of_span(book.branch, today, span)),
    )


def _together(falls: Iterable[Waterfall]) -> Waterfall:
    rows = list(falls)
    return Waterfall(*(sum(getattr(row, part) for row in rows) for part in _PARTS))
