"""The published plan as a file of its folder."""

import csv
import io
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from crewplan.intake.grammar import marked
from crewplan.intake.replacing import replace_table
from crewplan.model.plan_row import PlanRow

PLAN_COLUMNS = (
    "stage",
    "part",
    "crew",
    "start_on",
    "start_half",
    "half_days",
    "pinned",
    "lent",
)


def plan_csv(rows: Sequence[PlanRow]) -> str:
    """The `plan` table as CSV text that reads back; no spreadsheet runs a name in it."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(PLAN_COLUMNS)
    for row in rows:
        values = {name: getattr(row, name) for name in PLAN_COLUMNS}
        values |= {name: marked(values[name]) for name in ("stage", "crew")}
        values["lent"] = marked(";".join(row.lent))
        values["pinned"] = "yes" if row.pinned else "no"
        writer.writerow(values[name] for name in PLAN_COLUMNS)
    return text.getvalue()


def write_plan(path: Path, rows: Sequence[PlanRow], now: datetime) -> Path:
    """Write `plan.csv`; see `replace_table`."""
    return replace_table(path, "plan", plan_csv(rows), now)
