"""Writing the published plan, so that a broken write never costs the former one."""

import contextlib
import csv
import io
import os
import shutil
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from uuid import uuid4

from crewplan.intake.faults import Fault, InputFaults
from crewplan.intake.grammar import marked
from crewplan.intake.raw_table import UnreadableTable
from crewplan.intake.sources import workbooks_in
from crewplan.intake.workbook import sheet_names
from crewplan.model.plan_row import PlanRow

PLAN_COLUMNS = ("stage", "part", "crew", "start_on", "start_half", "half_days", "pinned")


def plan_csv(rows: Sequence[PlanRow]) -> str:
    """The `plan` table as CSV text that reads back; no spreadsheet runs a name in it."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(PLAN_COLUMNS)
    for row in rows:
        values = {name: getattr(row, name) for name in PLAN_COLUMNS}
        values |= {name: marked(values[name]) for name in ("stage", "crew")}
        values["pinned"] = "yes" if row.pinned else "no"
        writer.writerow(values[name] for name in PLAN_COLUMNS)
    return text.getvalue()


def _refuse_sheet(folder: Path, path: Path) -> None:
    books = [path] if path != folder else workbooks_in(folder)
    for book in books:
        try:
            titles = sheet_names(book)
        except UnreadableTable as bad:
            fault = Fault(book.name, None, "", "", bad.expected, bad.problem)
            raise InputFaults((fault,)) from None
        for title in titles:
            if title.strip().lower() == "plan":
                file = f"{book.name}, sheet {title}"
                wish = "plan.csv in its place, since a workbook is never written"
                raise InputFaults((Fault(file, None, "", "", wish, "the plan is a sheet"),))


def _former_names(folder: Path, now: datetime) -> Iterator[Path]:
    stamp = f"{now.astimezone(UTC):%Y%m%dT%H%M%SZ}"
    yield folder / f"plan.{stamp}.csv"
    for number in count(2):
        yield folder / f"plan.{stamp}-{number}.csv"


def _write_synced(path: Path, text: str) -> None:
    with path.open("x", encoding="utf-8", newline="") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())


def _keep(plan: Path, names: Iterator[Path]) -> Path | None:
    """The former plan under a second name that nobody has taken; None where there is none.

    The first name stays until the new plan takes it. Whoever publishes at the same moment gets
    the next name.
    """
    for kept in names:
        try:
            os.link(plan, kept)
        except FileExistsError:
            continue
        except FileNotFoundError:
            return None
        except OSError:  # a disk without links
            if kept.exists():
                continue
            shutil.copy2(plan, kept)
        return kept
    return None


def write_plan(path: Path, rows: Sequence[PlanRow], now: datetime) -> Path:
    """Write `plan.csv` whole or not at all; the former is kept as `plan.<UTC time>.csv`.

    Returns the file written.

    Raises:
        InputFaults: where the folder keeps its plan as a sheet of a workbook.
        OSError: where the disk refuses; the former plan is as it was then.
    """
    folder = path if path.is_dir() else path.parent
    _refuse_sheet(folder, path)
    plan, fresh = folder / "plan.csv", folder / f".plan.{uuid4().hex}.csv"
    kept: Path | None = None
    try:
        _write_synced(fresh, plan_csv(rows))
        kept = _keep(plan, _former_names(folder, now))
        os.replace(fresh, plan)
    except BaseException:
        for leftover in (fresh, *((kept,) if kept is not None else ())):
            with contextlib.suppress(OSError):
                leftover.unlink()
        raise
    return plan
