"""All crew sheets of a day as one PDF, out of the board's look."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from threading import Lock

from dash import Dash
from flask import Response, request

from crewplan.model.branch import Branch
from crewplan.model.hours import StageHours
from crewplan.model.plan import Plan
from crewplan.model.reading import Reading
from crewplan.model.takeoff import JobTakeOff
from crewplan.model.verdict import DayVerdict
from crewplan.model.work_rows import HoursWorked
from crewplan.publishing.crew_sheet import SheetFacts, crew_sheet
from crewplan.publishing.crew_sheet.as_pdf import PAPER_OF, sheets_pdf
from crewplan.publishing.day_words import day_words
from crewplan.running.board_view import BoardView
from crewplan.running.clock import Clock
from crewplan.running.sheeting import sheet_facts, stages_of_day
from crewplan.store.connecting import Store
from crewplan.store.faults import StoreFault
from crewplan.store.keeping_verdicts import verdict_record
from crewplan.store.reading import hours_missed
from crewplan.store.recent import readings_on
from crewplan.store.records import add_records
from dashboard.asking import asking
from dashboard.entries.desk import clock_of, today_of
from dashboard.guard.refusals import refusal
from dashboard.guard.routes import guarded

ADDRESS = "/sheets.pdf"
_ONE_AT_A_TIME = Lock()
"""Forty crews' sheets take seconds of the processor; pages are not to wait for several of them."""


@dataclass(frozen=True, slots=True)
class _Shown:
    """A look as the sheets' facts want it."""

    branch: Branch
    clock: Clock
    takeoffs: Mapping[str, JobTakeOff]
    hours: Mapping[str, StageHours]
    plan: Plan


def _facts(
    view: BoardView,
    day: date,
    now: datetime,
    readings: tuple[Reading, ...],
    lost: tuple[HoursWorked, ...] | None,
) -> list[SheetFacts]:
    clock = Clock(clock_of(view, now), view.clock)
    shown = _Shown(view.branch, clock, view.takeoffs, view.hours, view.plan)
    return [
        sheet_facts(shown, stage, readings, lost) for stage in stages_of_day(shown, day)
    ]  # fmt: skip


def add_day_sheets(
    app: Dash, seen: Callable[[], BoardView], source: str | None, store: Store | None
) -> None:
    """Answer `/sheets.pdf?day=2026-05-04`; without a day, the look's own.

    Args:
        app: the board.
        seen: the look as whoever asks may know it: a lead gets their own crews' sheets.
        source: the folder or address of the board.
        store: its database, if it has one.
    """

    def sheets() -> Response:
        view, now = seen(), datetime.now(UTC)
        try:
            day = date.fromisoformat(request.args.get("day") or str(view.gate_day))
        except ValueError:
            return refusal(404, "Nothing here", ["Say the day by ?day=, such as 2026-05-04."])
        try:
            readings, lost = _entered(view, now, source, store)
        except StoreFault:
            words = "What was measured on site could not be read, so no sheet is made."
            return refusal(503, "The database does not answer", [words])
        with _ONE_AT_A_TIME:
            facts = _facts(view, day, now, readings, lost)
            if not facts:
                words = f"By this plan nobody is sent anywhere on {day_words(day)}."
                return refusal(404, "No sheets", [words])
            told = sheets_pdf(list(map(crew_sheet, facts)), PAPER_OF[facts[0].units])
        _keep(facts, store, now)
        headers = {"Content-Disposition": f'inline; filename="sheets-{day}.pdf"'}
        return Response(told, mimetype="application/pdf", headers=headers)

    guarded(app, ADDRESS, "see tomorrow")(sheets)


def _entered(
    view: BoardView, now: datetime, source: str | None, store: Store | None
) -> tuple[tuple[Reading, ...], tuple[HoursWorked, ...] | None]:
    """Wind measured today, and hours in which something was missing."""
    if store is None or source is None:
        return (), None
    today = today_of(view, now)
    with store.read() as connection:
        readings = tuple(kept.reading for kept in readings_on(connection, today))
    return readings, hours_missed(source, today)


def _keep(facts: list[SheetFacts], store: Store | None, now: datetime) -> None:
    """What the gate told on them; a database that is busy keeps nobody waiting for a sheet."""
    if store is None:
        return
    told: list[tuple[DayVerdict, str]] = [
        (verdict, one.planned.placement.crew if one.planned is not None else "")
        for one in facts
        for verdict in one.verdicts
    ]
    records = [verdict_record(verdict, "sheet", crew) for verdict, crew in told]
    try:
        with store.write() as connection:
            add_records(connection, records, asking().name, now)
    except StoreFault:
        return
