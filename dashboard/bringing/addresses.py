"""The addresses of the page: files come in, a look is shown, and it is accepted."""

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any
from urllib.parse import urlencode

from dash import Dash
from flask import Response, redirect, request
from markupsafe import Markup
from werkzeug.datastructures import FileStorage
from werkzeug.exceptions import RequestEntityTooLarge
from werkzeug.wrappers import Response as AnyResponse

from crewplan.intake import InputFaults
from crewplan.intake.brought import BroughtFile
from crewplan.intake.file_limits import SENT_BYTES, SENT_FILES, large
from crewplan.model.tables import BY_NAME
from crewplan.store.connecting import Store
from crewplan.store.faults import NotDone, StoreFault
from dashboard.asking import asking
from dashboard.bringing.desk import BringDesk, OthersAreRead, look, newest_import_of, take_in
from dashboard.bringing.shown import ACCEPT, ADDRESS, LOOK, changes, shown
from dashboard.bringing.waiting import Lot, TooMuchWaits
from dashboard.guard.refusals import sentence
from dashboard.guard.routes import guarded

_GONE = (
    "What you sent no longer waits here: it was taken in, or left for half an hour, or the board"
    " was started again. Send it again."
)
_MOVED = "Somebody has written in the meantime. This is what your files would change now."
_NOT_TICKED = "Nothing was written: a stage that would go is not ticked."

Framed = Callable[[Markup], str]
"""A page's document around what it shows."""
Clock = Callable[[datetime], str]
"""An instant as people at the branch say it."""


def add_addresses(app: Dash, desk: BringDesk, framed: Framed, said: Clock) -> None:
    """Declare them, for those who may import tables."""

    def page(template: str, status: int = 200, **facts: Any) -> Response:
        return _answer(framed(shown(template, **facts)), status)

    def with_store(answer: Callable[[Store], AnyResponse]) -> AnyResponse:
        try:
            store = desk.store()
            return page("no_database") if store is None else answer(store)
        except StoreFault as fault:
            return page("choose", 503, notice=f"{fault}.")

    def look_again(store: Store, lot: Lot, ticked: list[str], notice: str) -> Response:
        try:
            draft = look(store, lot)
        except InputFaults as told:
            return page("faults", 422, **_faults(told))
        status = 409 if notice else 200
        return _answer(framed(changes(lot, draft, ticked, said(lot.until), notice)), status)

    def _choose(store: Store) -> AnyResponse:
        version = request.args.get("version", "")
        if version and version == newest_import_of(store, asking().name):
            return page("done", version=version)
        return page("choose", notice=_GONE if "gone" in request.args else "")

    def _send(store: Store) -> AnyResponse:
        files = [one for one in request.files.getlist("tables") if one.filename]
        if len(files) > SENT_FILES:
            return page("choose", 413, notice=f"{len(files)} files; at most {SENT_FILES} at once.")
        size, now = request.content_length or SENT_BYTES, datetime.now(UTC)
        try:
            lot = desk.read(store, list(map(_brought, files)), asking().name, size, now)
        except InputFaults as told:
            return page("faults", 422, **_faults(told))
        except (OthersAreRead, TooMuchWaits) as full:
            return page("choose", 503, notice=str(full))
        return redirect(f"{LOOK}?{urlencode({'lot': lot.mark})}", 303)

    def _look(store: Store) -> AnyResponse:
        lot = desk.waiting.of(request.args.get("lot", ""), asking().name, datetime.now(UTC))
        if lot is None:
            return redirect(f"{ADDRESS}?gone=", 303)
        return look_again(store, lot, [], "")

    def _accept(store: Store) -> AnyResponse:
        who, now = asking().name, datetime.now(UTC)
        lot = desk.waiting.of(request.form.get("lot", ""), who, now)
        if lot is None:
            return redirect(f"{ADDRESS}?gone=", 303)
        ticked = request.form.getlist("drop")
        try:
            version = take_in(store, lot, request.form.get("seen", ""), ticked, who, now)
        except NotDone:
            return look_again(store, lot, ticked, _NOT_TICKED)
        except InputFaults as told:
            return page("faults", 422, **_faults(told))
        if version is None:
            return look_again(store, lot, ticked, _MOVED)
        desk.waiting.drop(lot)
        return redirect(f"{ADDRESS}?{urlencode({'version': version})}", 303)

    @guarded(app, ADDRESS, "import tables", ("GET", "POST"), SENT_BYTES)
    def _bring() -> AnyResponse:
        return with_store(_send if request.method == "POST" else _choose)

    guarded(app, LOOK, "import tables")(lambda: with_store(_look))

    @guarded(app, ACCEPT, "import tables", ("GET", "POST"))
    def _accepted() -> AnyResponse:
        # a browser that comes back to this address accepts nothing
        return with_store(_accept if request.method == "POST" else _choose)

    @app.server.errorhandler(RequestEntityTooLarge)
    def _too_large(_error: RequestEntityTooLarge) -> AnyResponse:
        if request.path != ADDRESS:
            return sentence(413, "More was sent than this address takes.")
        words = f"More than {large(SENT_BYTES)} at once; crewplan import takes larger tables."
        return sentence(413, words)


def _answer(document: str, status: int) -> Response:
    return Response(document, status=status, mimetype="text/html")


def _brought(file: FileStorage) -> BroughtFile:
    return BroughtFile(file.filename or "", file.stream)


def _faults(told: InputFaults) -> dict[str, Any]:
    return {
        "faults": [one.sentence() for one in told.faults],
        "warnings": told.warnings,
        "of_database": any(one.file in BY_NAME for one in told.faults),
    }
