"""The owner's page of a branch: worked out from its book."""

from collections.abc import Iterable, Sequence
from datetime import date

from crewplan.ledger import Book, expected_and_happened, findings
from crewplan.ledger.outliers import LEAST_JOBS, job_paces
from crewplan.ledger.over_time import Step, lost_over_time, weeks_of
from crewplan.model.closed import Closing
from crewplan.model.expected import ExpectedAndHappened, KeptExpectation
from crewplan.model.ledger import HoursRecord, Span, Waterfall
from crewplan.model.owner import OwnerView, PeriodLoss
from crewplan.running.hours_record import as_of_span, record_on

_PARTS = ("price", "labour", "material", "equipment", "lost", "returns")


def owner_view(
    book: Book, today: date, span: Span, expected: ExpectedAndHappened | None = None
) -> OwnerView:
    """Jobs with hours in the span; their margins and standings as of its end."""
    record = record_on(book, today, "job", span, asks=False)
    step, lost = lost_over_time(book, span)
    return _view(book, today, record, step, lost, expected, None)


def closed_view(
    book: Book,
    today: date,
    jobs: HoursRecord,
    weeks: HoursRecord,
    closing: Closing,
    expected: ExpectedAndHappened | None = None,
) -> OwnerView:
    """A closed month as it was: its figures by job and by week. What to change is as of now."""
    return _view(book, today, jobs, "week", weeks_of(weeks.lines), expected, closing)


def planning_held_to(
    book: Book, today: date, kept: Sequence[KeptExpectation]
) -> ExpectedAndHappened | None:
    """What plans expected against what happened; None where nothing was kept."""
    return expected_and_happened(book, kept, today) if kept else None


def _view(
    book: Book,
    today: date,
    record: HoursRecord,
    step: Step,
    lost: tuple[PeriodLoss, ...],
    expected: ExpectedAndHappened | None,
    closing: Closing | None,
) -> OwnerView:
    margins = record.margins.values()
    paces = job_paces(record.standings)
    return OwnerView(
        record=record,
        planned=_together(one.planned for one in margins),
        now=_together(one.now for one in margins),
        at_completion=_together(one.at_completion for one in margins),
        step=step,
        lost=lost,
        paces=paces,
        paces_told=len(paces) >= LEAST_JOBS,
        changes=findings(book, as_of_span(book, today, record.span)),
        expected=expected,
        closing=closing,
    )


def _together(falls: Iterable[Waterfall]) -> Waterfall:
    rows = list(falls)
    return Waterfall(*(sum(getattr(row, part) for row in rows) for part in _PARTS))
