"""A look at a branch for the board, from its tables or its database, once or again and again."""

from datetime import UTC, datetime
from functools import partial
from typing import TYPE_CHECKING

from crewplan.model.branch import Branch
from crewplan.model.whatif import Wanted
from crewplan.running.clock import Clock, read_clock
from crewplan.running.look_process import LookProcess
from crewplan.running.looks import LiveLooks, Looks, Made, OneLook
from crewplan.running.moving import MovedWeek, moved_week
from crewplan.running.os_user import os_user
from crewplan.running.solving import Solving
from crewplan.running.viewing import board_view
from crewplan.running.watching import NOBODY, Watch
from crewplan.running.week import GAP
from crewplan.scheduling import EngineChoice
from crewplan.store.keeping_verdicts import keep_verdicts
from crewplan.store.place import has_database, place_of
from crewplan.store.reading import newest_version, read_open_branch

if TYPE_CHECKING:
    from crewplan.store.connecting import Store


def look_at(
    branch: Branch,
    clock: Clock,
    source: str,
    version: int,
    engine: EngineChoice,
    seconds: float,
    gap: float = GAP,
    watch: Watch = NOBODY,
) -> Made:
    """Plan a branch that was read, ask the gate, and keep what it says where there is a database.

    Args:
        branch: as it was read from `source`.
        clock: the time of the look.
        source: the folder or address.
        version: no newer than what was read.
        engine: which solver plans.
        seconds: its longest time.
        gap: how near to the best possible plan is near enough.
        watch: hears how the search goes, and may end it.
    """
    view = board_view(
        branch, clock, engine=engine, seconds=seconds, version=version, gap=gap, watch=watch
    )
    crew_of = {row.placement.stage: row.placement.crew for row in view.plan.planned}
    told = keep_verdicts(source, view.verdicts, os_user(), "board", crew_of)
    return Made(version, view, tuple(f"{sentence}." for sentence in told))


def look(
    source: str,
    by_hand: datetime | None,
    engine: EngineChoice,
    seconds: float,
    gap: float = GAP,
    watch: Watch = NOBODY,
) -> Made:
    """Read the newest state of a branch, and look at it."""
    version = newest_version(source)  # before the reading: what comes in between is looked at again
    branch = read_open_branch(source, by_hand)
    clock = read_clock(branch.settings, by_hand)
    return look_at(branch, clock, source, version, engine, seconds, gap, watch)


def look_moved(
    source: str,
    by_hand: datetime | None,
    engine: EngineChoice,
    seconds: float,
    wanted: Wanted,
    watch: Watch = NOBODY,
) -> MovedWeek:
    """Read the newest state of a branch, and plan it with a stage where somebody wants it."""
    version = newest_version(source)
    branch = read_open_branch(source, by_hand)
    clock = read_clock(branch.settings, by_hand)
    return moved_week(branch, clock, version, wanted, engine=engine, seconds=seconds, watch=watch)


def looks_from(
    first: Made,
    source: str,
    by_hand: datetime | None,
    engine: EngineChoice,
    seconds: float,
    store: "Store | None" = None,
) -> Looks:
    """What a board shows that began with this look: a database is followed, a folder is not.

    `store` is the database where the board has it open: pages are made ahead of what is read there.
    """
    if not has_database(source):
        return OneLook(first.view)
    from crewplan.store.connecting import open_store
    from crewplan.store.following import Follower
    from dashboard.ahead import HoursAhead, make_ahead  # a look's own process draws nothing

    store = store or open_store(place_of(source), keep_open=True)
    live = LiveLooks(
        first,
        Follower(store),
        lambda: LookProcess(look, source, by_hand, engine, seconds),
        lambda: by_hand or datetime.now(UTC),
        prepare=partial(make_ahead, store=store),
        entered=HoursAhead(store),
        moved=lambda wanted: Solving(look_moved, source, by_hand, engine, seconds, wanted),
        search=lambda longest_s: Solving(look, source, by_hand, engine, longest_s, 0.0),
    )
    live.follow()
    return live
