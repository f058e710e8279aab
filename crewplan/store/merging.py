"""A file's rows against those that stand: the file's changes come in, entries made since stay.

Three sides are compared: what the last import had, what stands now (with entries since), and what
the file has. Where the file is as it was, an entry stays; where the file was changed, the file
counts. So nobody's entry is undone by a file that merely is old.
"""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from crewplan.model.tables import BY_NAME
from crewplan.store.cells import Cells
from crewplan.store.rows import NewRow, StoredRow, key_of


@dataclass(frozen=True, slots=True)
class Merged:
    """One row that is to stand, and the row that stood in its place."""

    cells: Cells
    former: StoredRow | None
    entered: bool = False
    file_cells: Cells | None = None


@dataclass(frozen=True, slots=True)
class TableMerge:
    """What a table becomes."""

    table: str
    rows: tuple[Merged, ...]
    gone: tuple[StoredRow, ...]
    kept: tuple[StoredRow, ...]
    """Entries that stay though the file does not have them."""

    @property
    def added(self) -> tuple[Merged, ...]:
        """Rows that are new."""
        return tuple(row for row in self.rows if row.former is None)

    @property
    def changed(self) -> tuple[Merged, ...]:
        """Rows of which a cell is new."""
        return tuple(row for row in self.rows if row.former and row.former.cells != row.cells)

    @property
    def is_change(self) -> bool:
        """Whether anything is written at all."""
        return bool(self.gone) or any(True for _ in self.new_rows())

    def new_rows(self) -> Iterator[NewRow]:
        """Rows to write; those that stand as they are, where they are, are left alone."""
        for position, row in enumerate(self.rows):
            former = row.former
            if former is not None and _stands(former, row, position):
                continue
            same = former is not None and former.cells == row.cells
            yield NewRow(
                self.table,
                position,
                row.cells,
                row.entered,
                row.file_cells,
                former.id if former is not None else None,
                former.changed_in if former is not None and same else None,
            )

    def ended(self) -> list[int]:
        """Rows that end: gone, or replaced by one of `new_rows`."""
        moved = [row.replaces for row in self.new_rows() if row.replaces is not None]
        return [row.id for row in self.gone] + moved


def _stands(former: StoredRow, row: Merged, position: int) -> bool:
    return (
        former.cells == row.cells
        and former.position == position
        and former.entered == row.entered
        and former.file_cells == row.file_cells
    )


def _as_it_stands(row: StoredRow) -> Merged:
    return Merged(row.cells, row, row.entered, row.file_cells)


def standing(table: str, rows: Sequence[StoredRow]) -> TableMerge:
    """A table that the import leaves alone."""
    return TableMerge(table, tuple(map(_as_it_stands, rows)), (), ())


def _of_file(cells: Cells, former: StoredRow | None) -> Merged:
    """The file's row, or the entry in its place where the file still has what it had."""
    if former is not None and former.entered and former.file_cells == cells:
        return _as_it_stands(former)
    return Merged(cells, former)


def _by_key(
    table: str, stood: Sequence[StoredRow], incoming: Sequence[Cells]
) -> list[StoredRow | None]:
    """The row that stood in each incoming row's place."""
    known = {key_of(table, row.cells): row for row in stood}
    return [known.get(key_of(table, cells)) for cells in incoming]


def _by_cells(stood: Sequence[StoredRow], incoming: Sequence[Cells]) -> list[StoredRow | None]:
    """As `_by_key` for tables without one: equal rows each count.

    All rows that stand as they are in the file are found first, then entries by what the file has
    in their place: the other way round, one entry could be found twice.
    """
    wanted, used = Counter(incoming), set[int]()
    found: dict[Cells, list[StoredRow]] = defaultdict(list)
    sides: tuple[Callable[[StoredRow], Cells | None], ...] = (
        lambda row: row.cells,
        lambda row: row.file_cells,
    )
    for of_row in sides:
        for row in stood:
            cells = of_row(row)
            if row.id not in used and cells is not None and len(found[cells]) < wanted[cells]:
                found[cells].append(row)
                used.add(row.id)
    in_order = {
        cells: iter(sorted(rows, key=lambda row: row.position)) for cells, rows in found.items()
    }
    return [next(in_order.get(cells, iter(())), None) for cells in incoming]


def merge(table: str, stood: Sequence[StoredRow], incoming: Sequence[Cells]) -> TableMerge:
    """The table with a file's rows in the file's order; entries that it lacks follow."""
    keyed = bool(BY_NAME[table].key)
    formers = _by_key(table, stood, incoming) if keyed else _by_cells(stood, incoming)
    rows = [_of_file(cells, former) for cells, former in zip(incoming, formers, strict=True)]
    used = {former.id for former in formers if former is not None}
    left = [row for row in stood if row.id not in used]
    kept = [row for row in left if row.entered and row.file_cells is None]
    gone = [row for row in left if not (row.entered and row.file_cells is None)]
    rows += map(_as_it_stands, kept)
    return TableMerge(table, tuple(rows), tuple(gone), tuple(kept))
