"""Writing a table into a folder, so that a broken write never costs the former one."""

import contextlib
import os
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from uuid import uuid4

from crewplan.intake.faults import Fault, InputFaults
from crewplan.intake.raw_table import UnreadableTable
from crewplan.intake.sources import workbooks_in
from crewplan.intake.workbook import sheet_names


def _refuse_sheet(folder: Path, path: Path, name: str) -> None:
    books = [path] if path != folder else workbooks_in(folder)
    for book in books:
        try:
            titles = sheet_names(book)
        except UnreadableTable as bad:
            fault = Fault(book.name, None, "", "", bad.expected, bad.problem)
            raise InputFaults((fault,)) from None
        for title in titles:
            if title.strip().lower() == name:
                file = f"{book.name}, sheet {title}"
                wish = f"{name}.csv in its place, since a workbook is never written"
                raise InputFaults((Fault(file, None, "", "", wish, f"the {name} is a sheet"),))


def _former_names(folder: Path, name: str, now: datetime) -> Iterator[Path]:
    stamp = f"{now.astimezone(UTC):%Y%m%dT%H%M%SZ}"
    yield folder / f"{name}.{stamp}.csv"
    for number in count(2):
        yield folder / f"{name}.{stamp}-{number}.csv"


def _write_synced(path: Path, text: str) -> None:
    with path.open("x", encoding="utf-8", newline="") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())


def _keep(table: Path, names: Iterator[Path]) -> Path | None:
    """The former table under a second name that nobody has taken; None where there is none.

    The first name stays until the new table takes it. Whoever writes at the same moment gets the
    next name.
    """
    for kept in names:
        try:
            os.link(table, kept)
        except FileExistsError:
            continue
        except FileNotFoundError:
            return None
        except OSError:  # a disk without links
            if kept.exists():
                continue
            shutil.copy2(table, kept)
        return kept
    return None


def replace_table(path: Path, name: str, text: str, now: datetime) -> Path:
    """Write `NAME.csv` whole or not at all; the former is kept as `NAME.<UTC time>.csv`.

    Args:
        path: the folder, or its workbook.
        name: of the table.
        text: all of it, as CSV.
        now: the time in the former's name.

    Returns the file written.

    Raises:
        InputFaults: where the folder keeps the table as a sheet of a workbook.
        OSError: where the disk refuses; the former table is as it was then.
    """
    folder = path if path.is_dir() else path.parent
    _refuse_sheet(folder, path, name)
    table, fresh = folder / f"{name}.csv", folder / f".{name}.{uuid4().hex}.csv"
    kept: Path | None = None
    try:
        _write_synced(fresh, text)
        kept = _keep(table, _former_names(folder, name, now))
        os.replace(fresh, table)
    except BaseException:
        for leftover in (fresh, *((kept,) if kept is not None else ())):
            with contextlib.suppress(OSError):
                leftover.unlink()
        raise
    return table
