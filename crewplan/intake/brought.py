"""Files that a person sends: read as a folder is, beside what stands already.

A file's name is only compared with the tables' names. It is kept under a name of ours in a private
folder, which is gone when this is done.
"""

import re
import shutil
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import BinaryIO

from crewplan.intake.faults import Report, quoted
from crewplan.intake.file_limits import NAME_CHARACTERS
from crewplan.intake.folder import OwnTables, read_own_tables
from crewplan.intake.settings_file import FILE
from crewplan.model.characters import one_line
from crewplan.model.tables import TABLES

WORKBOOK = "workbook.xlsx"
"""The name under which a workbook is kept and told, whatever its own."""
_NAMES = frozenset({FILE, *(f"{table.name}.csv" for table in TABLES)})
_WISH = "a table as CSV under its own name (such as jobs.csv), one workbook (.xlsx), or branch.toml"


@dataclass(frozen=True, slots=True, eq=False)
class BroughtFile:
    """A file as it was sent."""

    name: str
    """Whatever the sender says."""
    contents: BinaryIO


def kept_name(name: str) -> str:
    """The name under which a file is kept; empty: crewplan knows none like it."""
    last = re.split(r"[/\\]", name)[-1].strip().lower()
    if last in _NAMES:
        return last
    return WORKBOOK if last.endswith(".xlsx") else ""


def _keep(files: Sequence[BroughtFile], folder: Path, report: Report) -> None:
    kept: set[str] = set()
    if not files:
        report.fault("no file", None, "", "", _WISH, "nothing was sent")
    for file in files:
        name = kept_name(file.name)
        shown = one_line(file.name, NAME_CHARACTERS) or "a file without a name"
        if not name:
            report.fault(shown, None, "", "", _WISH, "no table has this name")
        elif name in kept:
            problem = f"{quoted(name)} was sent twice"
            report.fault(shown, None, "", "", "each file once, and one workbook", problem)
        else:
            kept.add(name)
            with (folder / name).open("xb") as out:
                shutil.copyfileobj(file.contents, out)
    report.raise_if_faulty()


def read_brought(
    files: Sequence[BroughtFile], beside: OwnTables | None, now: datetime | None = None
) -> OwnTables:
    """The tables that came, held to those that stand; `brought` names them.

    What was not sent is taken to be as in `beside`; None: nothing stands yet, so that all must
    come.

    Raises:
        InputFaults: with every fault of every file.
        OSError: where the disk refuses.
    """
    with TemporaryDirectory(prefix="crewplan-brought-") as private:
        folder = Path(private)
        _keep(files, folder, Report())
        own = read_own_tables(folder, now, beside)
    rows = {name: rows for name, rows in own.rows.items() if name in own.brought}
    weather = {name: table for name, table in own.weather.items() if name in own.brought}
    return replace(own, rows=rows, weather=weather)
