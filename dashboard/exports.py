"""What pages show, as CSV and as a workbook: the very same cells, for other programs."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from urllib.parse import urlencode

from dash import Dash, html
from flask import Response, request

from crewplan.model.account import Act
from crewplan.publishing.reader import written_for
from crewplan.publishing.sheets import Sheet, sheet_csv, sheets_xlsx
from crewplan.running.board_view import BoardView
from crewplan.store.connecting import Store
from dashboard.guard.refusals import refusal
from dashboard.guard.routes import guarded
from dashboard.owner_desk import owner_look
from dashboard.pages.parts import Child, lines
from dashboard.tables.awaited import NothingToTell, awaited_sheet, calls_sheet
from dashboard.tables.owner_tables import EXPORTS
from dashboard.tables.plan_tables import (
    held_day,
    left_out_sheet,
    load_sheet,
    verdicts_sheet,
    week_sheet,
)
from dashboard.text.owner_words import BEING_READ
from dashboard.text.waiting_words import failed_words

ADDRESS = "/hours/export"
_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
_WHOLE = {"data-whole": ""}


@dataclass(frozen=True, slots=True)
class PageExports:
    """What one page hands out."""

    act: Act
    """What it takes, as the page itself."""
    sheets: Mapping[str, Callable[[BoardView], Sheet]]
    """By the name in the address."""


PAGE_EXPORTS: Mapping[str, PageExports] = {
    "week": PageExports("see the week", {"placed": week_sheet, "left-out": left_out_sheet}),
    "tomorrow": PageExports("see tomorrow", {"verdicts": verdicts_sheet, "load": load_sheet}),
    "waiting": PageExports(
        "see what is awaited", {"calls": calls_sheet, "waiting": awaited_sheet}
    ),
}  # fmt: skip
"""By page; the hours have their own, which are of the same days as their page."""


def export_links(page: str, **asked: str) -> html.Section:
    """Ways to a page's tables."""
    query = f"?{urlencode(asked)}" if asked else ""
    links: list[Child | list[Child]] = [
        html.A(
            f"{name.replace('-', ' ')} (CSV)", href=f"/{page}/export/{name}.csv{query}", **_WHOLE
        )
        for name in PAGE_EXPORTS[page].sheets
    ]
    links.append(html.A("all of it (a workbook)", href=f"/{page}/export/all.xlsx{query}", **_WHOLE))
    return html.Section([lines(links, "write-down")], className="no-print")


def add_exports(app: Dash, seen: Callable[[], BoardView], store: Store | None) -> None:
    """Answer `/PAGE/export/<name>.csv` and `.../all.xlsx` of each page.

    Args:
        app: the board.
        seen: the look as whoever asks may know it.
        store: the board's database, if it has one.
    """
    for page, exports in PAGE_EXPORTS.items():
        guarded(app, f"/{page}/export/<name>.<kind>", exports.act)(
            _of_page(page, exports, seen, store)
        )

    def exported(name: str, kind: str) -> Response:
        found = owner_look(seen(), request.query_string.decode("utf-8", "replace"), store)
        if found is None:
            return refusal(503, "Not yet", [BEING_READ])
        look = found.shown
        return _answer("hours", {n: lambda make=make: make(look) for n, make in EXPORTS.items()},
                       name, kind)  # fmt: skip

    guarded(app, f"{ADDRESS}/<name>.<kind>", "see the hours")(exported)


def _of_page(
    page: str, exports: PageExports, seen: Callable[[], BoardView], store: Store | None
) -> Callable[[str, str], Response]:
    def exported(name: str, kind: str) -> Response:
        view = seen()
        if page == "tomorrow":
            view = held_day(view, store, datetime.now(UTC))
        sheets = {n: lambda make=make: make(view) for n, make in exports.sheets.items()}
        try:
            return _answer(page, sheets, name, kind)
        except NothingToTell:
            return refusal(503, "Not worked out", failed_words(view.asked_at))

    return exported


def _answer(page: str, sheets: Mapping[str, Callable[[], Sheet]], name: str, kind: str) -> Response:
    with written_for(""):  # other programs read it: days and numbers as they stand in tables
        if kind == "csv" and name in sheets:
            return _file(sheet_csv(sheets[name]()), "text/csv", f"{name}.csv")
        if (name, kind) == ("all", "xlsx"):
            book = sheets_xlsx([make() for make in sheets.values()])
            return _file(book, _XLSX, f"{page}.xlsx")
    return refusal(404, "Nothing here", ["There is no such export."])


def _file(contents: str | bytes, mimetype: str, name: str) -> Response:
    disposition = f'attachment; filename="{name}"'
    return Response(contents, mimetype=mimetype, headers={"Content-Disposition": disposition})
