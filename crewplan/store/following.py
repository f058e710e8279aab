"""A database as a running board follows it: short queries, each on an index."""

from sqlalchemy import Connection, Select, func, select

from crewplan.model.hours_so_far import HoursSoFar
from crewplan.store.connecting import Store
from crewplan.store.hours_sums import kept_hours
from crewplan.store.schema import TABLE_ROWS, VERSIONS


def newest_number(connection: Connection) -> int:
    """The number of the last version; 0 before the first."""
    return int(connection.execute(select(func.max(VERSIONS.c.number))).scalar() or 0)


def kinds_since(version: int) -> Select[tuple[str]]:
    """Kinds of the versions after one, once a version."""
    return select(VERSIONS.c.kind).where(VERSIONS.c.number > version)


def tables_since(version: int) -> Select[tuple[str]]:
    """Tables with rows that came after a version, once a row.

    Without DISTINCT, for which SQLite would read all rows that there are.
    """
    return select(TABLE_ROWS.c.table_name).where(TABLE_ROWS.c.first_version > version)


class Follower:
    """What has changed in a database, for `running.looks`."""

    def __init__(self, store: Store) -> None:
        """Nothing is asked yet."""
        self._store = store
        self._worked: dict[tuple[str, ...], tuple[int, HoursSoFar]] = {}

    def newest(self) -> int:
        """The number of the last version."""
        with self._store.read() as connection:
            return newest_number(connection)

    def since(self, version: int) -> frozenset[str]:
        """Kinds of versions after one, and tables of which a row is new; an import says it all."""
        with self._store.read() as connection:
            words = {str(kind) for kind in connection.execute(kinds_since(version)).scalars()}
            if "import" not in words:
                words |= {str(t) for t in connection.execute(tables_since(version)).scalars()}
        return frozenset(words)

    def worked(self, stages: tuple[str, ...]) -> HoursSoFar:
        """Sums of hours of everybody and of some stages; the same object while no version came."""
        known = self._worked.get(stages)
        with self._store.read() as connection:
            newest = newest_number(connection)
            if known is not None and known[0] == newest:
                return known[1]
            sums = kept_hours(connection, stages)
        if known is not None and known[1] == sums:
            sums = known[1]
        self._worked = {stages: (newest, sums)}  # of the look that is shown, and no former one
        return sums
