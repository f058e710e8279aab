"""A folder's contents as one number, so that two folders can be told apart."""

from collections.abc import Mapping
from hashlib import sha256

from crewplan.intake.folder import OwnTables
from crewplan.store.cells import Cells, cells_of
from crewplan.store.rows import json_text
from crewplan.store.whole import SETTINGS, Whole, whole_of


def file_cells(own: OwnTables) -> dict[str, tuple[Cells, ...]]:
    """Cells of every table that is kept row by row."""
    return {
        name: tuple(cells_of(name, row) for row in rows) for name, rows in sorted(own.rows.items())
    }


def file_wholes(own: OwnTables) -> dict[str, Whole]:
    """Tables that are kept whole."""
    wholes = {name: whole_of(table) for name, table in own.weather.items()}
    return {SETTINGS: whole_of(own.settings), **wholes}


def table_digests(
    cells: Mapping[str, tuple[Cells, ...]], wholes: Mapping[str, Whole]
) -> dict[str, str]:
    """SHA-256, in hex, by table; `branch.toml` for the settings."""
    found = {name: sha256(json_text(rows).encode()).hexdigest() for name, rows in cells.items()}
    return dict(sorted({**found, **{name: one.digest for name, one in wholes.items()}}.items()))


def digest_of(digests: Mapping[str, str]) -> str:
    """One for all tables."""
    return sha256(json_text(digests).encode()).hexdigest()
