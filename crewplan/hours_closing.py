"""Closes a month of the ledger: its figures are kept as they are."""

from datetime import UTC, datetime

from crewplan.command_parts import UsageFault, complain, person, read, say, warn
from crewplan.model.calendar import local_day
from crewplan.model.closed import days_of
from crewplan.running.hours_record import all_groupings
from crewplan.store.place import has_database, place_of


def close_month_of(folder: str, month: str, by: str | None, now: str | None) -> None:
    """Close a month of the database of a folder, and say so.

    Raises:
        UsageFault: it is no month, or not over; or there is no database.
        NotDone: it is closed already, or somebody entered something meanwhile.
    """
    try:
        span = days_of(month)
    except ValueError:
        raise UsageFault(f"{month!r} is not a month; expected one such as 2026-04") from None
    if not has_database(folder):
        raise UsageFault(
            f"{folder} has no database, and only there a month is closed; crewplan import makes one"
        )
    from crewplan.store.closed_months import close_month
    from crewplan.store.connecting import open_store
    from crewplan.store.versions import version_at

    store = open_store(place_of(folder))
    with store.read() as connection:
        version = version_at(connection, None).number
    branch, clock = read(folder, now)
    warn(branch.warnings)
    assert span.last is not None
    if span.last >= local_day(branch.settings, clock.now):
        raise UsageFault(f"{month} is not over yet, so it cannot be closed")
    records = all_groupings(branch, clock, span)
    with store.write() as connection:
        # the record's own time is the machine's, also where the clock is set by hand
        close_month(connection, month, records, person(by), datetime.now(UTC), version)
    say(
        f"{month} is closed: {records[0].in_all.worked_h:,.2f} h; --from {span.first} --to"
        f" {span.last} gives its figures as they are now."
    )
    if clock.mark:
        complain(clock.mark)
