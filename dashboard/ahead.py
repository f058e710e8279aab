"""Pages of a look made before anybody asks for them."""

import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from functools import partial

from crewplan.model.account import Actor
from crewplan.publishing.reader import written_for
from crewplan.running.board_view import BoardView
from dashboard.guard.own_eyes import seen_by
from dashboard.pages import hours, tomorrow, waiting, week


def make_ahead(view: BoardView) -> None:
    """The week, the hours, and each crew's day as its lead sees it.

    It rests after each for as long as that took, so that it takes half of the machine at most.
    """
    for make in _pages(view, datetime.now(UTC)):
        begun = time.monotonic()
        with written_for(view.branch.settings.locale):
            make()
        time.sleep(time.monotonic() - begun)


def _pages(view: BoardView, now: datetime) -> Iterator[Callable[[], object]]:
    yield partial(week.kept_week, view, now)
    yield partial(waiting.kept_waiting, view, now, True)
    yield partial(hours.hours_page, view, now, None)  # its rows; the record is read when asked for
    for crew in view.branch.crews:
        lead = Actor(crew.crew, "lead", frozenset({crew.crew}))
        yield lambda crew=crew.crew, lead=lead: tomorrow.tomorrow_page(
            seen_by(view, lead), crew, now
        )
