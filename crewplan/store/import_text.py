"""What an import would change, in plain words."""

from collections.abc import Iterator

from crewplan.intake.file_limits import NAME_CHARACTERS, SENTENCE_CHARACTERS
from crewplan.model.characters import one_line
from crewplan.model.weather_table import WeatherTable
from crewplan.store.cells import columns_of
from crewplan.store.importing import Draft
from crewplan.store.merging import Merged, TableMerge
from crewplan.store.rows import StoredRow
from crewplan.store.whole import Whole

MOST_TOLD = 20
"""Rows of one table that are told one by one; the rest is counted."""


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


def _row_name(row: Merged | StoredRow, table: TableMerge) -> str:
    from crewplan.model.tables import BY_NAME

    named = dict(zip(columns_of(table.table), row.cells, strict=True))
    key = BY_NAME[table.table].key
    words = [named[name] for name in key] if key else [text for text in row.cells if text]
    return one_line(" ".join(words), SENTENCE_CHARACTERS // 3)


def _cells(row: Merged, table: TableMerge) -> str:
    assert row.former is not None  # it is a changed one
    cells = zip(columns_of(table.table), row.former.cells, row.cells, strict=True)
    return ", ".join(
        f"{name} {_shown(was)} -> {_shown(now)}" for name, was, now in cells if was != now
    )


def _shown(cell: str) -> str:
    return one_line(cell, NAME_CHARACTERS) or "empty"


def _of_table(table: TableMerge) -> Iterator[str]:
    counts = (
        (len(table.added), "added"),
        (len(table.changed), "changed"),
        (len(table.gone), "gone"),
    )
    told = ", ".join(f"{_count(number, 'row')} {what}" for number, what in counts if number)
    if told:
        yield f"{table.table}: {told}"
    elif table.is_change:
        yield f"{table.table}: in another order"
    lines = [f"changed {_row_name(row, table)}: {_cells(row, table)}" for row in table.changed]
    lines += [f"gone {_row_name(row, table)}" for row in table.gone]
    lines += [f"new {_row_name(row, table)}" for row in table.added]
    yield from (f"  {one_line(line, SENTENCE_CHARACTERS - 2)}" for line in lines[:MOST_TOLD])
    if len(lines) > MOST_TOLD:
        yield f"  and {len(lines) - MOST_TOLD} more"
    if table.kept:
        yield f"  {_count(len(table.kept), 'entry').replace('entrys', 'entries')} kept"


def _of_whole(name: str, whole: Whole | None) -> str:
    if whole is None:
        return f"{name}: gone"
    if isinstance(whole.table, WeatherTable):
        return f"{name}: replaced, {_count(len(whole.table), 'row')}"
    return f"{name}: other settings"


def change_lines(draft: Draft) -> list[str]:
    """A line a table, and a line a row that is changed or gone."""
    if draft.former is None:
        rows = {name: len(table.rows) for name, table in draft.tables.items()}
        rows |= {
            name: len(whole.table)
            for name, whole in draft.wholes.items()
            if whole is not None and isinstance(whole.table, WeatherTable)
        }
        return ["The first import: " + ", ".join(f"{n} {name}" for name, n in rows.items()) + "."]
    lines = [line for table in draft.tables.values() for line in _of_table(table)]
    return lines + [_of_whole(name, whole) for name, whole in sorted(draft.wholes.items())]


def stuck_lines(draft: Draft) -> list[str]:
    """A sentence for each stage that would vanish with something on it."""
    return [
        f"stage {_shown(stage)} is gone from the tables and has {' and '.join(tables)} in the "
        f"database; put it back, or give it up with --drop {_shown(stage)}"
        for stage, tables in draft.stuck.items()
    ]
