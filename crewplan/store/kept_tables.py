"""Own tables that were read once, and brought up to what was entered since.

Half a million rows take seconds to read, and an entry changes one of them. Rows that stayed are
the same objects afterwards, so that whoever worked something out of them can tell what is new.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import compress
from typing import Any

import numpy as np
from numpy.typing import NDArray
from sqlalchemy import Connection, select

from crewplan.intake import OwnTables
from crewplan.store.cells import row_of
from crewplan.store.entering import MAY_ADD, MAY_CHANGE
from crewplan.store.faults import NotDone
from crewplan.store.following import kinds_since
from crewplan.store.rows import at_version, cells_read
from crewplan.store.schema import TABLE_ROWS
from crewplan.store.state import own_tables_at
from crewplan.store.versions import Version, version_at

ENTERED = MAY_ADD | MAY_CHANGE.keys()
"""Tables that change without an import."""
_ROW = TABLE_ROWS.c

Places = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class KeptTables:
    """Tables at a version, and where their rows stand in the database."""

    version: Version
    own: OwnTables
    places: Mapping[str, Places]
    """Of `ENTERED`: the position of each row; they ascend."""


def read_and_kept(connection: Connection) -> KeptTables:
    """All tables as they stand.

    Raises:
        NotDone: nothing has been imported yet.
    """
    own = own_tables_at(connection)
    wanted = select(_ROW.table_name, _ROW.position).where(
        _ROW.table_name.in_(sorted(ENTERED)), at_version(TABLE_ROWS, None)
    )
    found: dict[str, list[int]] = {name: [] for name in ENTERED}
    for table, place in connection.execute(wanted.order_by(_ROW.table_name, _ROW.position)):
        found[table].append(place)
    places = {name: np.array(each, dtype=np.int64) for name, each in found.items()}
    return KeptTables(version_at(connection, None), own, places)


def brought_up(connection: Connection, kept: KeptTables) -> KeptTables | None:
    """The same tables with what was entered or published since; what is not new is not read.

    None: they must be read again. An import came, or another database is in the place of the one
    that they were read from (a backup that was put back).
    """
    try:
        if version_at(connection, kept.version.number) != kept.version:
            return None
    except NotDone:
        return None
    newest, since = version_at(connection, None), kept.version.number
    if newest == kept.version:
        return kept
    if not {"entry", "plan"}.issuperset(connection.execute(kinds_since(since)).scalars()):
        return None
    fresh, ended = _fresh(connection, since), _ended(connection, since)
    if not ENTERED.issuperset(fresh):
        return None
    rows, places = dict(kept.own.rows), dict(kept.places)
    for name in fresh.keys() | ended.keys():
        if not _ascend(places[name]):
            return None  # a row could not be told by its place
        rows[name], places[name] = _joined(
            rows.get(name, ()), places[name], ended.get(name, ()), fresh.get(name, ())
        )
    for name in newest.present - kept.own.present:
        rows.setdefault(name, ())
    return KeptTables(newest, replace(kept.own, rows=rows), places)


def _fresh(connection: Connection, since: int) -> dict[str, list[tuple[int, Any]]]:
    """Rows that came after a version and stand, with their places, by table."""
    wanted = select(_ROW.table_name, _ROW.position, _ROW.cells).where(
        _ROW.first_version > since, _ROW.last_version.is_(None)
    )
    found: dict[str, list[tuple[int, Any]]] = {}
    for table, place, text in connection.execute(wanted):
        found.setdefault(table, []).append((place, row_of(table, cells_read(table, text))))
    return found


def _ended(connection: Connection, since: int) -> dict[str, list[int]]:
    """Places of rows that stood at a version and no longer do, by table."""
    table = _ROW.table_name.in_(sorted(ENTERED))
    wanted = select(_ROW.table_name, _ROW.position).where(
        table, _ROW.last_version >= since, _ROW.first_version <= since
    )
    found: dict[str, list[int]] = {}
    for table, place in connection.execute(wanted):
        found.setdefault(table, []).append(place)
    return found


def _ascend(places: Places) -> bool:
    return bool((np.diff(places) > 0).all())


def _joined(
    rows: Sequence[Any],
    places: Places,
    ended: Sequence[int],
    fresh: Iterable[tuple[int, Any]],
) -> tuple[tuple[Any, ...], Places]:
    """Rows without those that ended and with those that came, in the order of their places."""
    stays = np.isin(places, ended, invert=True)
    came = sorted(fresh, key=lambda one: one[0])
    joined = (*compress(rows, stays), *(row for _, row in came))
    at = np.concatenate([places[stays], np.array([place for place, _ in came], dtype=np.int64)])
    if _ascend(at):
        return joined, at
    order = np.argsort(at, kind="stable")
    return tuple(map(joined.__getitem__, order.tolist())), at[order]
