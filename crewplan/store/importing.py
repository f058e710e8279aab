"""A folder's tables into the database as a version: looked at first, then accepted."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from sqlalchemy import Connection

from crewplan.intake.folder import OwnTables, checked_again
from crewplan.store.cells import Cells, row_of
from crewplan.store.digests import digest_of, file_cells, file_wholes, table_digests
from crewplan.store.faults import ImportMoved
from crewplan.store.merging import Merged, TableMerge, merge, standing
from crewplan.store.rows import StoredRow, add_rows, end_rows, key_of, rows_at, word_of
from crewplan.store.versions import Version, add_plan, add_version, newest
from crewplan.store.whole import Whole, replace_whole, whole_digests

OF_A_STAGE = ("hours_worked", "progress", "plan")
"""Tables whose rows keep a stage from vanishing."""


@dataclass(frozen=True, slots=True)
class Draft:
    """What an import would do."""

    former: Version | None
    """The newest version when it was looked at."""
    tables: Mapping[str, TableMerge]
    wholes: Mapping[str, Whole | None]
    """Tables kept whole that change; None: gone."""
    present: frozenset[str]
    digests: Mapping[str, str]
    warnings: tuple[str, ...]
    stuck: Mapping[str, tuple[str, ...]]
    """Stages that would go though something stands on them, and in which tables."""

    @property
    def is_change(self) -> bool:
        """Whether accepting it would make a version."""
        changed = any(table.is_change for table in self.tables.values())
        before = self.former.present if self.former is not None else None
        return changed or bool(self.wholes) or self.present != before


def without_clock(own: OwnTables) -> OwnTables:
    """A clock set by hand stays with the demo's own tables: a database is for work."""
    if own.settings.demo is None:
        return own
    told = "branch.toml, demo: the clock set by hand is not taken into the database."
    return replace(own, settings=replace(own.settings, demo=None), warnings=(*own.warnings, told))


def _known(connection: Connection) -> Mapping[str, str]:
    last = newest(connection, "import")
    found: Mapping[str, str] = last.details["files"] if last is not None else {}
    return found


def _without_stages(table: TableMerge, dropped: frozenset[str]) -> TableMerge:
    """A table without the rows of stages that are given up."""

    def stays(row: Merged) -> bool:
        return word_of(table.table, row.cells, "stage") not in dropped

    lost = tuple(row.former for row in table.rows if not stays(row) and row.former is not None)
    rows = tuple(filter(stays, table.rows))
    kept = tuple(row for row in table.kept if row not in lost)
    return replace(table, rows=rows, gone=(*table.gone, *lost), kept=kept)


def _stages_gone(stages: TableMerge) -> frozenset[str]:
    stay = {key_of("stages", row.cells) for row in stages.rows}
    return frozenset(
        word_of("stages", row.cells, "stage") for row in stages.gone if row.key not in stay
    )


def _stuck(
    gone: frozenset[str], stood: Mapping[str, list[StoredRow]], dropped: frozenset[str]
) -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for stage in sorted(gone - dropped):
        on_it = tuple(
            table
            for table in OF_A_STAGE
            if any(word_of(table, row.cells, "stage") == stage for row in stood.get(table, ()))
        )
        if on_it:
            found[stage] = on_it
    return found


def look_at(
    connection: Connection,
    own: OwnTables,
    drop: Iterable[str] = (),
    brought: frozenset[str] | None = None,
) -> Draft:
    """What the folder's tables would change.

    `brought`: the tables (settings: `branch.toml`) that came; all others stay as they stand,
    entries included. None: the folder is the whole branch, so that what it lacks is gone.

    Raises:
        InputFaults: where the file's rows and the entries that stay do not go together.
    """
    own, dropped = without_clock(own), frozenset(drop)
    stood, former = rows_at(connection), newest(connection)
    cells, wholes = file_cells(own), file_wholes(own)
    digests, known = table_digests(cells, wholes), _known(connection)
    if brought is not None:
        digests = {**known, **{name: digests[name] for name in brought}}
    tables: dict[str, TableMerge] = {}
    for name in dict.fromkeys((*cells, *stood)):
        rows = stood.get(name, [])
        # a plan is taken from a file only where the file's was changed: else what was
        # published since would be undone by the folder's old plan.csv
        leave = name == "plan" and former is not None and digests.get(name) == known.get(name)
        leave |= brought is not None and name not in brought
        tables[name] = standing(name, rows) if leave else merge(name, rows, cells.get(name, ()))
    gone = _stages_gone(tables["stages"])
    stuck = _stuck(gone, stood, dropped)
    for name in OF_A_STAGE:
        if name in tables and dropped:
            tables[name] = _without_stages(tables[name], gone & dropped)
    standing_wholes = whole_digests(connection)
    changed: dict[str, Whole | None] = {
        name: one
        for name, one in wholes.items()
        if standing_wholes.get(name) != one.digest
        and (brought is None or name in brought)
        # as with the plan: a forecast fetched since is not undone by the folder's old weather.csv
        and not (name == "weather" and former is not None and digests[name] == known.get(name))
    }
    if brought is None:
        changed |= dict.fromkeys(standing_wholes.keys() - wholes.keys())
    filled = {name for name, table in tables.items() if table.rows}
    present = own.present | filled
    if brought is not None and former is not None:
        present |= former.present
    draft = Draft(former, tables, changed, present, digests, own.warnings, stuck)
    if not stuck:
        _hold_together(own, cells, draft)
    return draft


def _hold_together(own: OwnTables, cells: Mapping[str, tuple[Cells, ...]], draft: Draft) -> None:
    """Check again what is to stand; what stays as the files have it was checked with them."""
    stand = {name: tuple(row.cells for row in table.rows) for name, table in draft.tables.items()}
    as_sent = {name for name, of in stand.items() if of == cells.get(name, ())}
    if len(as_sent) == len(stand):
        return
    rows = {
        name: own.rows.get(name, ()) if name in as_sent else tuple(row_of(name, of) for of in some)
        for name, some in stand.items()
    }
    checked_again(replace(own, rows=rows), thoroughly=True)


def accept(connection: Connection, draft: Draft, by: str, at: datetime) -> int:
    """Write what was looked at; the version's number. The caller holds the writer's turn.

    Raises:
        ImportMoved: where somebody has written since.
    """
    here, looked = newest(connection), draft.former
    if (here.number if here else 0) != (looked.number if looked else 0):
        raise ImportMoved
    version = add_version(
        connection,
        "import",
        by,
        at,
        draft.present,
        digest=digest_of(draft.digests),
        details={"warnings": draft.warnings, "files": draft.digests},
    )
    for table in draft.tables.values():
        end_rows(connection, table.ended(), version)
        add_rows(connection, tuple(table.new_rows()), version)
    for name, whole in draft.wholes.items():
        replace_whole(connection, name, whole, version)
    if "plan" in draft.tables and draft.tables["plan"].is_change:
        add_plan(connection, version)
    return version
