"""Where entries of a board go: its database, if it has one."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from sqlalchemy import Connection

from crewplan.model.calendar import local_day
from crewplan.model.reading import Reading
from crewplan.model.verdict import DayVerdict, HourVerdict
from crewplan.running.board_view import BoardView
from crewplan.store.connecting import Store, open_store
from crewplan.store.faults import StoreFault
from crewplan.store.place import has_database, place_of
from crewplan.store.recent import readings_on
from crewplan.weather.limits import EffectiveLimits
from crewplan.weather.readings import held_to_readings
from dashboard.once import remembered

HOW_TO_GET_FORMS = (
    "Hours, readings, ticks, states and pins are written down here once the folder has a database:"
    " crewplan import FOLDER makes it."
)
_NOT_READ = "what was measured on site could not be read"


@dataclass(frozen=True, slots=True)
class Desk:
    """The board's newest look at the branch, and its database."""

    view_now: Callable[[], BoardView]
    store: Store | None
    """None: a folder of tables; nothing can be written down."""


def store_of(source: str | None) -> Store | None:
    """The database of a folder or an address, opened for a board; None: there is none."""
    if source is None or not has_database(source):
        return None
    return open_store(place_of(source), keep_open=True)


def clock_of(view: BoardView, now: datetime) -> datetime:
    """The clock that verdicts are held to: one that was set by hand stands still."""
    return now if view.clock == "now" else view.asked_at


def today_of(view: BoardView, now: datetime) -> date:
    """The branch's day by that clock."""
    return local_day(view.branch.settings, clock_of(view, now))


def limits_of(view: BoardView) -> EffectiveLimits:
    """Limits in force, as the gate has them."""
    return EffectiveLimits(dict(view.limits), ())


def held_view(store: Store | None, view: BoardView, crew: str, now: datetime) -> BoardView:
    """The look with the crew's verdicts held to what was measured; shut where that is not known."""
    if store is None:
        return view
    try:
        with store.read() as connection:
            readings = measured_for(connection, view, crew)
    except StoreFault:
        return replace(view, verdicts=tuple(map(_unknown, view.verdicts)))
    held = held_verdicts(view, readings, crew, now)
    if held == view.verdicts:
        return view
    # the same object while the verdicts are: what was made of it need not be made again
    return remembered(view, f"held {crew}", held, lambda: replace(view, verdicts=held))


def _placed(view: BoardView, crew: str) -> dict[str, str]:
    """Stages that the look has the crew at, with their jobs."""
    return {p.placement.stage: p.job for p in view.plan.planned if p.placement.crew == crew}


def measured_for(connection: Connection, view: BoardView, crew: str) -> list[Reading]:
    """What was measured on the look's day by the crew, and on its stages and jobs by anybody."""
    theirs = _placed(view, crew)
    found = readings_on(
        connection, view.gate_day, crew=crew, stages=theirs.keys(), jobs=set(theirs.values())
    )
    return [kept.reading for kept in found]


def held_verdicts(
    view: BoardView, readings: Sequence[Reading], crew: str, now: datetime
) -> tuple[DayVerdict, ...]:
    """The look's verdicts in its own order: a reading by the crew counts wherever it is placed, one
    on a stage or job counts there. `readings` are those that `measured_for` gives."""
    mine = {*_placed(view, crew), ""}
    at, limits = clock_of(view, now), limits_of(view)
    return tuple(
        held_to_readings(
            [one], readings, limits, at, view.branch.settings, crew if one.stage in mine else ""
        )[0]
        for one in view.verdicts
    )


def _unknown(verdict: DayVerdict) -> DayVerdict:
    hours: tuple[HourVerdict, ...] = tuple(
        replace(hour, verdict="unknown" if hour.verdict == "go" else hour.verdict)
        for hour in verdict.hours
    )
    word = "no-go" if verdict.verdict == "no-go" else "unknown"
    return replace(
        verdict, verdict=word, windows=(), hours=hours, why=f"unknown counts as no-go: {_NOT_READ}"
    )
