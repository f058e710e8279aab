"""Keeps wind measured by hand, where a branch has a database.

Loads nothing of the database where a branch has none.
"""

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime
from pathlib import Path

from crewplan.model.reading import Reading
from crewplan.store.place import has_database, place_of


def keep_reading(
    source: str | Path, places: Sequence[Reading], contents: Mapping[str, object], day: date
) -> bool:
    """Keep it; False where there is no database, so that it counts for this answer only.

    Args:
        source: the folder or address.
        places: what was measured, once for each place where it counts.
        contents: the same as the record keeps it.
        day: local.

    Raises:
        StoreFault: the database cannot be written.
    """
    if not has_database(source):
        return False
    from crewplan.store.connecting import open_store
    from crewplan.store.records import NewRecord, add_records

    records = [
        NewRecord("reading", contents, day.isoformat(), one.stage, one.job, one.crew)
        for one in places
    ]
    with open_store(place_of(source)).write() as connection:
        # the record's own time is the machine's, also where the clock is set by hand
        add_records(connection, records, places[0].by, datetime.now(UTC))
    return True
