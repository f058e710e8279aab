"""All tables of a version as files that any spreadsheet opens."""

import os
from pathlib import Path

from crewplan.intake.folder import OwnTables
from crewplan.publishing.csv_text import marked_csv_text
from crewplan.store.cells import cells_for_people, cells_of, columns_of
from crewplan.store.faults import NotDone
from crewplan.store.settings_text import settings_toml
from crewplan.store.weather_csv import weather_csv
from crewplan.store.whole import SETTINGS


def files_of(own: OwnTables) -> dict[str, str]:
    """Text by file name: a table each, and the settings."""
    files = {SETTINGS: settings_toml(own.settings)}
    for name, rows in own.rows.items():
        cells = (cells_for_people(name, cells_of(name, row)) for row in rows)
        files[f"{name}.csv"] = marked_csv_text(columns_of(name), cells)
    for name, table in own.weather.items():
        files[f"{name}.csv"] = weather_csv(table, own.settings)
    return dict(sorted(files.items()))


def write_files(files: dict[str, str], out: Path) -> None:
    """Write into a new or empty folder.

    Raises:
        NotDone: where there is something in it already.
        OSError: where the disk refuses.
    """
    if out.exists() and (not out.is_dir() or any(out.iterdir())):
        raise NotDone(f"{out} is there and not empty; give a new folder")
    out.mkdir(parents=True, exist_ok=True)
    for name, text in files.items():
        with (out / name).open("x", encoding="utf-8", newline="") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
