"""A crew's calendar by its address, for those who are signed in, and for programs by a link."""

from collections.abc import Callable
from pathlib import Path
from threading import Lock

from dash import Dash
from flask import Response, request

from crewplan.intake.former_plans import plan_lives_of_folder
from crewplan.publishing.crew_calendar import calendar_ics
from crewplan.publishing.reader import written_for
from crewplan.running.board_view import BoardView
from crewplan.running.calendars import crew_events, standing
from crewplan.store.connecting import Store
from crewplan.store.plan_lives import plan_lives
from crewplan.store.reading import newest_version, read_open_branch
from dashboard.asking import asking
from dashboard.guard.refusals import refusal
from dashboard.guard.routes import guarded

ADDRESS = "/calendar.ics"


class Calendars:
    """Makes a crew's calendar, anew after each version of the database; calendars ask every hour.

    Args:
        source: the folder or address of the board; None: rows of no folder.
        store: its database, if it has one.
    """

    def __init__(self, source: str | None, store: Store | None) -> None:
        """Make none yet."""
        self._source, self._store = source, store
        self._made: dict[str, tuple[int, bytes]] = {}
        self._turn = Lock()

    def of(self, view: BoardView, crew: str) -> bytes:
        """The file of one crew of a look."""
        with written_for(""):
            if self._store is not None and self._source is not None:
                return self._of_database(self._source, self._store, crew)
            branch = view.branch
            lives = (
                standing(branch.plan, view.asked_at)
                if self._source is None
                else plan_lives_of_folder(Path(self._source), branch.plan)
            )
            return calendar_ics(branch.settings.name, crew, crew_events(branch, crew, lives))

    def _of_database(self, source: str, store: Store, crew: str) -> bytes:
        version = newest_version(source)
        with self._turn:
            known = self._made.get(crew)
            if known is None or known[0] != version:
                with store.read() as connection:
                    lives = [life for life in plan_lives(connection) if life.row.crew == crew]
                branch = read_open_branch(source, stages={life.row.stage for life in lives})
                events = crew_events(branch, crew, lives)
                known = (version, calendar_ics(branch.settings.name, crew, events))
                self._made[crew] = known
        return known[1]

    def answer(self, view: BoardView, crew: str) -> Response:
        """The file as an answer."""
        told = self.of(view, crew)
        headers = {"Content-Disposition": 'inline; filename="crew.ics"'}
        return Response(told, content_type="text/calendar; charset=utf-8", headers=headers)


def add_calendar(app: Dash, calendars: Calendars, seen: Callable[[], BoardView]) -> None:
    """Answer `/calendar.ics?crew=C`; `seen` is the look as whoever asks may know it."""

    def calendar() -> Response:
        view, crew = seen(), request.args.get("crew", "")
        mine = asking().may("see tomorrow", crew)
        if not mine or crew not in {row.crew for row in view.branch.crews}:
            words = "Say which crew of yours by ?crew= and its name."
            return refusal(404, "Nothing here", [words])
        return calendars.answer(view, crew)

    guarded(app, ADDRESS, "see tomorrow")(calendar)
