"""What people enter: states of requirements, pins, hours, progress. Each adds; none overwrites."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, func, select

from crewplan.intake import Fault, InputFaults, grammar
from crewplan.intake.faults import quoted
from crewplan.intake.fields import fields_of
from crewplan.intake.needed import is_needed
from crewplan.intake.package_rows import PACKAGE_TABLES, package_rows
from crewplan.intake.typed_rows import checked
from crewplan.model.tables import BY_NAME
from crewplan.store.cells import Cells, columns_of, row_of, value_text
from crewplan.store.connecting import Store
from crewplan.store.faults import Conflict, Difference, NotDone
from crewplan.store.rows import (
    NewRow,
    StoredRow,
    add_rows,
    at_version,
    end_rows,
    json_text,
    key_of,
    stored,
    word_of,
)
from crewplan.store.schema import TABLE_ROWS
from crewplan.store.versions import add_version, version_at

MAY_CHANGE: dict[str, frozenset[str]] = {
    "requirements": frozenset({"state", "asked_on", "granted_on", "expected_on", "expires_on"}),
    "plan": frozenset({"pinned"}),
    "lead_times": frozenset({"asked_on", "granted_on", "refused_on"}),
    "progress": frozenset({"share_done"}),
    "hours_worked": frozenset(
        {"day", "stage", "step", "person", "hours", "cause", "note", "about"}
    ),
}
"""Tables that people enter into, and the columns of a row that a correction may change."""
MAY_ADD = frozenset({"requirements", "lead_times", "progress", "hours_worked"})


def _typed(table: str, values: Mapping[str, str], former: Cells | None = None) -> Cells:
    """Texts as people write them, as cells; what is not among them is as it was.

    Raises:
        InputFaults: with every value that is none of its column.
    """
    spec, cells = BY_NAME[table], []
    unknown = sorted(values.keys() - set(columns_of(table)))
    faults = [Fault(table, None, name, values[name], "", "no such column") for name in unknown]
    for at, field in enumerate(fields_of(spec.row)):
        if former is not None and field.name not in values:
            cells.append(former[at])
            continue
        text = values.get(field.name, "").strip()
        try:
            if "\0" in text:
                raise grammar.Unreadable("it holds a character that is no text")
            if text:
                cells.append(value_text(field, checked(spec.row, field, text)))
            elif is_needed(spec, field) or not field.has_default:
                raise grammar.Unreadable("it is empty")
            else:
                cells.append("")
        except grammar.Unreadable as bad:
            faults.append(Fault(table, None, field.name, text, field.expected(), str(bad)))
    if faults:
        raise InputFaults(tuple(faults))
    return tuple(cells)


def typed_row(table: str, values: Mapping[str, str]) -> Any:
    """A row of the model's type out of texts as people write them.

    Raises:
        InputFaults: with every value that is none of its column.
    """
    return row_of(table, _typed(table, values))


def expected_of(table: str, column: str) -> str:
    """What a cell of a column holds, ready to stand after 'is not'."""
    return next(one for one in fields_of(BY_NAME[table].row) if one.name == column).expected()


def fault_of(table: str, column: str, text: str) -> str:
    """What is wrong with the text of one cell, for the page that it was typed into; or nothing."""
    spec = BY_NAME[table]
    field = next(one for one in fields_of(spec.row) if one.name == column)
    text = text.strip()
    if not text:
        wanted = is_needed(spec, field) or not field.has_default
        return f"It is empty; expected {field.expected()}." if wanted else ""
    if "\0" in text:
        return "It holds a character that is no text."
    try:
        checked(spec.row, field, text)
    except grammar.Unreadable:
        return f"{quoted(text)} is not {field.expected()}."
    return ""


def _there(connection: Connection, table: str, column: str, word: str) -> bool:
    """Whether a word is in a column that is the table's whole key, as all are that rows name."""
    if table in PACKAGE_TABLES and any(getattr(row, column) == word for row in package_rows(table)):
        return True
    return _standing(connection, table, row_key=json_text([word])) is not None


def _hold_references(connection: Connection, table: str, cells: Cells) -> None:
    faults = []
    for reference in BY_NAME[table].references:
        word = word_of(table, cells, reference.column)
        if word and not _there(connection, reference.table, reference.target, word):
            wish = f"a {reference.target} of the table {reference.table}"
            faults.append(Fault(table, None, reference.column, word, wish))
    if faults:
        raise InputFaults(tuple(faults))


def _standing(connection: Connection, table: str, **where: Any) -> StoredRow | None:
    wanted = select(TABLE_ROWS).where(
        TABLE_ROWS.c.table_name == table,
        at_version(TABLE_ROWS, None),
        *(TABLE_ROWS.c[column] == value for column, value in where.items()),
    )
    row = connection.execute(wanted).first()
    return None if row is None else stored(row)


def _next_position(connection: Connection, table: str) -> int:
    wanted = select(func.max(TABLE_ROWS.c.position)).where(
        TABLE_ROWS.c.table_name == table, at_version(TABLE_ROWS, None)
    )
    last = connection.execute(wanted).scalar()
    return 0 if last is None else int(last) + 1


def enter(store: Store, table: str, values: Mapping[str, str], by: str, at: datetime) -> int:
    """Add a row; the version that it made. `values` are texts as a table's cells hold them.

    Raises:
        InputFaults: a value is none of its column, or names what is not there.
        NotDone: the row's key is there already: correct it instead.
    """
    with store.write() as connection:
        return enter_rows(connection, table, [values], by, at)


def enter_rows(
    connection: Connection,
    table: str,
    rows: Sequence[Mapping[str, str]],
    by: str,
    at: datetime,
) -> int:
    """Add rows together, as one version; the caller holds the writer's turn.

    Raises:
        InputFaults, NotDone: as `enter`, for any of the rows; nothing is written then.
    """
    if table not in MAY_ADD:
        raise NotDone(f"nothing is entered into {table}; it comes by an import")
    here = version_at(connection, None)
    fresh = []
    position = _next_position(connection, table)
    for number, values in enumerate(rows):
        cells = _typed(table, values)
        _hold_references(connection, table, cells)
        key = key_of(table, cells)
        if key and _standing(connection, table, row_key=key) is not None:
            raise NotDone(f"{table} has a row {key} already; correct that one")
        fresh.append(NewRow(table, position + number, cells, entered=True))
    version = add_version(connection, "entry", by, at, here.present | {table})
    add_rows(connection, fresh, version)
    return version


def _successor(connection: Connection, table: str, row_id: int) -> StoredRow | None:
    """The row that stands in the place of one that was read."""
    while True:
        row = connection.execute(select(TABLE_ROWS).where(TABLE_ROWS.c.id == row_id)).first()
        if row is None or row.table_name != table or row.last_version is None:
            return stored(row) if row is not None and row.table_name == table else None
        after = select(TABLE_ROWS.c.id).where(TABLE_ROWS.c.replaces == row_id)
        following = connection.execute(after).scalar()
        if following is None:
            return None
        row_id = following


def _seen(connection: Connection, now: StoredRow, version: int) -> Cells:
    """What the row was at the version that the editor read."""
    row = now
    while row.first_version > version:
        if row.replaces is None:  # it came since: the editor saw nothing
            return ("",) * len(row.cells)
        before = select(TABLE_ROWS).where(TABLE_ROWS.c.id == row.replaces)
        row = stored(connection.execute(before).one())
    return row.cells


def _conflict(connection: Connection, now: StoredRow, fresh: Cells, version: int) -> Conflict:
    seen = _seen(connection, now, version)
    columns = zip(columns_of(now.table), seen, now.cells, fresh, strict=True)
    told = tuple(
        Difference(name, was, there, wanted)
        for name, was, there, wanted in columns
        if there != was or wanted not in (was, there)
    )
    who = version_at(connection, now.changed_in)
    what = f"{now.table} {now.key or ', '.join(filter(None, now.cells))}"
    return Conflict(what, who.made_by, datetime.fromisoformat(who.made_at), told)


def edit(
    store: Store,
    table: str,
    which: tuple[str, ...] | int,
    values: Mapping[str, str],
    by: str,
    at: datetime,
    *,
    expected_version: int,
) -> int:
    """Correct cells of a row that was read at a version; the version that this made.

    `which` is the row's key, or the id of a row of a table without one. The former row stays in
    the history.

    Raises:
        Conflict: somebody changed the row since; it has the difference.
        NotDone: the row is gone, or such a column is not entered by hand.
        InputFaults: a value is none of its column.
    """
    with store.write() as connection:
        return edit_row(connection, table, which, values, by, at, expected_version=expected_version)


def edit_row(
    connection: Connection,
    table: str,
    which: tuple[str, ...] | int,
    values: Mapping[str, str],
    by: str,
    at: datetime,
    *,
    expected_version: int,
) -> int:
    """As `edit`, where the caller holds the writer's turn."""
    if refused := values.keys() - MAY_CHANGE.get(table, frozenset()):
        raise NotDone(f"{table}: {', '.join(sorted(refused))} comes by an import only")
    here = version_at(connection, None)
    row = row_of_key(connection, table, which)
    if row is None:
        raise NotDone(f"{table}: the row that was to be corrected is gone")
    fresh = _typed(table, values, row.cells)
    # first, also where both want the same: who counted up from what they read must look again
    if row.changed_in > expected_version:
        raise _conflict(connection, row, fresh, expected_version)
    if fresh == row.cells:
        return here.number
    _hold_references(connection, table, fresh)
    version = add_version(connection, "entry", by, at, here.present)
    end_rows(connection, [row.id], version)
    in_file = row.file_cells if row.entered else row.cells
    add_rows(connection, [NewRow(table, row.position, fresh, True, in_file, row.id)], version)
    return version


def put_row(
    connection: Connection,
    table: str,
    key: tuple[str, ...],
    values: Mapping[str, str],
    by: str,
    at: datetime,
    *,
    expected_version: int,
) -> int:
    """Correct the row of a key, or add it where there is none; the caller holds the turn.

    `key` are the cells of the table's key, in its order.

    Raises:
        Conflict: somebody changed or added it since the version that was read.
        InputFaults, NotDone: as `edit` and `enter`.
    """
    if row_of_key(connection, table, key) is not None:
        return edit_row(connection, table, key, values, by, at, expected_version=expected_version)
    named = dict(zip(BY_NAME[table].key, key, strict=True))
    return enter_rows(connection, table, [{**values, **named}], by, at)


def row_of_key(
    connection: Connection, table: str, which: tuple[str, ...] | int
) -> StoredRow | None:
    """The row that stands under a key, or in the place of one with an id."""
    if isinstance(which, int):
        return _successor(connection, table, which)
    return _standing(connection, table, row_key=json_text(list(which)))
