"""What the owner's page shows, as CSV and as a workbook: the very same cells."""

from collections.abc import Callable

from dash import Dash
from flask import Response, request

from crewplan.publishing.sheets import sheet_csv, sheets_xlsx
from crewplan.running.board_view import BoardView
from crewplan.store.connecting import Store
from dashboard.guard.refusals import refusal
from dashboard.guard.routes import guarded
from dashboard.owner_desk import owner_look
from dashboard.tables.owner_tables import EXPORTS
from dashboard.text.owner_words import BEING_READ

ADDRESS = "/hours/export"
_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def add_exports(app: Dash, seen: Callable[[], BoardView], store: Store | None) -> None:
    """Answer `/hours/export/<name>.csv` and `.../all.xlsx`, for the same days as the page.

    Args:
        app: the board.
        seen: the look as whoever asks may know it.
        store: the board's database, if it has one.
    """

    def exported(name: str, kind: str) -> Response:
        found = owner_look(seen(), request.query_string.decode("utf-8", "replace"), store)
        if found is None:
            return refusal(503, "Not yet", [BEING_READ])
        look = found.shown
        if kind == "csv" and name in EXPORTS:
            return _file(sheet_csv(EXPORTS[name](look)), "text/csv", f"{name}.csv")
        if (name, kind) == ("all", "xlsx"):
            book = sheets_xlsx([make(look) for make in EXPORTS.values()])
            return _file(book, _XLSX, "hours.xlsx")
        return refusal(404, "Nothing here", ["There is no such export."])

    guarded(app, f"{ADDRESS}/<name>.<kind>", "see the hours")(exported)


def _file(contents: str | bytes, mimetype: str, name: str) -> Response:
    disposition = f'attachment; filename="{name}"'
    return Response(contents, mimetype=mimetype, headers={"Content-Disposition": disposition})
