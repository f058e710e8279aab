"""A look at a branch for the board, from its tables or its database, once or again and again."""

from datetime import UTC, datetime

from crewplan.running.clock import read_clock
from crewplan.running.look_process import LookProcess
from crewplan.running.looks import LiveLooks, Looks, Made, OneLook
from crewplan.running.viewing import board_view
from crewplan.scheduling import EngineChoice
from crewplan.store.place import has_database, place_of
from crewplan.store.reading import read_open_branch


def look(source: str, by_hand: datetime | None, engine: EngineChoice, seconds: float) -> Made:
    """Read a branch, plan it and ask the gate; in a database, as of its newest version."""
    version = _newest(source)  # before the reading: what comes in between makes one look more
    branch = read_open_branch(source, by_hand)
    clock = read_clock(branch.settings, by_hand)
    return Made(version, board_view(branch, clock, engine=engine, seconds=seconds))


def _newest(source: str) -> int:
    if not has_database(source):
        return 0
    from crewplan.store.connecting import open_store
    from crewplan.store.following import Follower

    return Follower(open_store(place_of(source))).newest()


def looks_from(
    first: Made, source: str, by_hand: datetime | None, engine: EngineChoice, seconds: float
) -> Looks:
    """What a board shows that began with this look: a database is followed, a folder is not."""
    if not has_database(source):
        return OneLook(first.view)
    from crewplan.store.connecting import open_store
    from crewplan.store.following import Follower

    live = LiveLooks(
        first,
        Follower(open_store(place_of(source))),
        lambda: LookProcess(look, source, by_hand, engine, seconds),
        lambda: by_hand or datetime.now(UTC),
    )
    live.follow()
    return live
