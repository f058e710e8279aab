"""Whether a folder's files still are what was last imported from them."""

from crewplan.intake import InputFaults, read_own_tables
from crewplan.store.connecting import open_store
from crewplan.store.digests import file_cells, file_wholes, table_digests
from crewplan.store.importing import without_clock
from crewplan.store.place import Place
from crewplan.store.versions import newest
from crewplan.store.whole import SETTINGS


def differing(place: Place) -> tuple[str, ...]:
    """One sentence, or none."""
    if place.file is None or not (place.file.parent / SETTINGS).is_file():
        return ()
    with open_store(place).read() as connection:
        last = newest(connection, "import")
    if last is None:
        return ()
    known = last.details["files"]
    since = f"import {last.number}; the database counts until crewplan import brings them in"
    try:
        own = without_clock(read_own_tables(place.file.parent))
    except InputFaults as faults:
        first = faults.faults[0].sentence()
        return (f"the folder's files have faults since {since}: {first}",)
    found = table_digests(file_cells(own), file_wholes(own))
    names = sorted(n for n in {*found, *known} if found.get(n) != known.get(n))
    return (f"{', '.join(names)} differ from {since}.",) if names else ()
