"""A branch from wherever it is: a folder of tables, a folder with a database, a server."""

from collections.abc import Collection
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from crewplan.intake.folder import OwnTables, branch_of, checked_again, read_folder
from crewplan.ledger.missed_parts import MISSED, since
from crewplan.model.branch import Branch
from crewplan.model.reading import Reading
from crewplan.model.work_rows import HoursWorked
from crewplan.store.place import has_database, place_of


def read_branch(source: str | Path, now: datetime | None = None) -> Branch:
    """The newest state of a branch.

    Where a folder has a database, the database counts and its CSV tables are what a next import
    would bring; without one, the tables count.

    Raises:
        InputFaults: the tables of a folder without a database are at fault.
        StoreFault: the database cannot be opened.
    """
    if not has_database(source):
        return read_folder(Path(source), now)
    from crewplan.store.connecting import open_store
    from crewplan.store.state import own_tables_at

    with open_store(place_of(source)).read() as connection:
        own = own_tables_at(connection)
    return branch_of(checked_again(own, now, thoroughly=False))


def read_open_branch(
    source: str | Path,
    now: datetime | None = None,
    *,
    jobs: Collection[str] = (),
    stages: Collection[str] = (),
) -> Branch:
    """The newest state without finished jobs and without hours: all that a plan needs.

    Plans and verdicts from it are those from `read_branch`. A folder without a database is read
    whole.

    Args:
        source: folder or address.
        now: the clock set by hand; None: the machine's.
        jobs: read these also where they are finished.
        stages: read the jobs of these also where they are finished.

    Raises:
        InputFaults, StoreFault: as `read_branch`.
    """
    if not has_database(source):
        return read_folder(Path(source), now)
    from crewplan.store.connecting import open_store
    from crewplan.store.finished import settle
    from crewplan.store.open_work import RECORDS, NotSettled, open_work
    from crewplan.store.upkeep import Touched

    store = open_store(place_of(source))
    asked: dict[str, Any] = {"warn": now is not None, "jobs": jobs, "stages": stages}
    at = now or datetime.now(UTC)
    try:
        with store.read() as connection:
            found = open_work(connection, at, **asked)
    except NotSettled:  # the first time after an older form, or with another program's own rates
        with store.write() as connection:
            settle(connection, Touched(rules=True))
            found = open_work(connection, at, **asked)
    # what lies after now in these is told already, of rows too that were not read
    apart = (*RECORDS, "requirements")
    others = {name: rows for name, rows in found.own.rows.items() if name not in apart}
    told = checked_again(replace(found.own, rows=others), now, thoroughly=False).warnings
    return replace(branch_of(found.own), warnings=told, finished=found.finished)


def newest_version(source: str | Path) -> int:
    """The number of the last version; 0 without a database.

    Raises:
        StoreFault: the database cannot be opened.
    """
    if not has_database(source):
        return 0
    from crewplan.store.connecting import open_store
    from crewplan.store.following import newest_number

    with open_store(place_of(source)).read() as connection:
        return newest_number(connection)


def read_version(source: str | Path, number: int | None) -> OwnTables:
    """The own tables of a version; of a folder without a database, those of its files.

    Raises:
        InputFaults, StoreFault: as `read_branch`.
        NotDone: there is no such version.
    """
    from crewplan.intake.folder import read_own_tables
    from crewplan.store.connecting import open_store
    from crewplan.store.faults import NotDone
    from crewplan.store.state import own_tables_at

    if not has_database(source):
        if number is not None:
            raise NotDone(f"{source} has no database, and so no version {number}")
        return read_own_tables(Path(source))
    with open_store(place_of(source)).read() as connection:
        return own_tables_at(connection, number)


def tables_that_differ(source: str | Path) -> tuple[str, ...]:
    """Sentences about CSV tables that were changed since they were last imported."""
    if not has_database(source):
        return ()
    from crewplan.store.differing import differing

    return differing(place_of(source))


def readings_of_day(source: str | Path, day: date) -> tuple[Reading, ...]:
    """Wind measured by hand on a day, and not taken back; none without a database.

    Raises:
        StoreFault: the database cannot be opened.
    """
    if not has_database(source):
        return ()
    from crewplan.store.connecting import open_store
    from crewplan.store.recent import readings_on

    with open_store(place_of(source)).read() as connection:
        return tuple(kept.reading for kept in readings_on(connection, day))


def hours_missed(source: str | Path, day: date) -> tuple[HoursWorked, ...] | None:
    """Hours up to a day in which something was missing, of finished jobs too.

    None without a database: there they are in the branch itself.

    Raises:
        StoreFault: the database cannot be opened.
    """
    if not has_database(source):
        return None
    from crewplan.store.connecting import open_store
    from crewplan.store.recent import hours_lost_for

    with open_store(place_of(source)).read() as connection:
        return hours_lost_for(connection, MISSED, since(day), day)
