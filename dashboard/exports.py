"""What the owner's page shows, as CSV and as a workbook: the very same cells."""

from collections.abc import Callable

from dash import Dash
from flask import Response, request

from crewplan.publishing.sheets import sheet_csv, sheets_xlsx
from crewplan.running.board_view import BoardView
from dashboard.guard.refusals import refusal
from dashboard.guard.routes import guarded
from dashboard.owner_desk import owner_look
from dashboard.tables.owner_tables import EXPORTS

ADDRESS = "/hours/export"
_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def add_exports(app: Dash, seen: Callable[[], BoardView]) -> None:
    """Answer `/hours/export/<name>.csv` and `.../all.xlsx`, for the same days as the page.

    Args:
        app: the board.
        seen: the look as whoever asks may know it.
    """

    def exported(name: str, kind: str) -> Response:
        look = owner_look(seen(), request.query_string.decode("utf-8", "replace"))
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
