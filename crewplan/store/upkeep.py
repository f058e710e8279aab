"""What is kept beside the rows so that five years of them need not be read: told of every change.

Each row that begins or ends passes through here, whoever writes it, so that sums of hours are those
of the rows that stand, and jobs of which something changed are looked at again before the
transaction ends (`finished.py`).
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from sqlalchemy import Connection, text

from crewplan.model.hours_so_far import micro_of
from crewplan.store.cells import Cells, columns_of

RULES = ("modules", "racking", "authorities", "steps", "rates", "factors")
"""Tables that decide, beside a job's own rows, when its stages are done."""
_OF_JOBS = frozenset({"jobs", "planes", "stages", "progress"})
_TOUCHED = "crewplan_touched"

_ADD_HOURS = text(
    "INSERT INTO hours_sums (kind, name, cause, micro_h) "
    "VALUES (:kind, :name, :cause, :micro_h) ON CONFLICT (kind, name, cause) "
    "DO UPDATE SET micro_h = hours_sums.micro_h + excluded.micro_h"
)


class Moved(NamedTuple):
    """A row that begins or ends."""

    table: str
    stage: str
    job: str
    cells: Cells


@dataclass(slots=True)
class Touched:
    """What changed in a transaction so far."""

    jobs: set[str] = field(default_factory=set)
    stages: set[str] = field(default_factory=set)
    rules: bool = False


def touched(connection: Connection) -> Touched | None:
    """What changed in this transaction and is not looked at yet; asked for once."""
    found: Touched | None = connection.info.pop(_TOUCHED, None)
    return found


def _hours(connection: Connection, rows: Iterable[Moved], sign: int) -> None:
    columns = columns_of("hours_worked")
    person, hours, cause = (columns.index(name) for name in ("person", "hours", "cause"))
    sums: Counter[tuple[str, str, str]] = Counter()
    for row in rows:
        micro_h = sign * micro_of(float(row.cells[hours]))
        sums["stage", row.stage, row.cells[cause]] += micro_h
        sums["person", row.cells[person], row.cells[cause]] += micro_h
    values = [
        {"kind": kind, "name": name, "cause": why, "micro_h": micro_h}
        for (kind, name, why), micro_h in sorted(sums.items())
    ]
    if values:
        connection.execute(_ADD_HOURS, values)


def _moved(connection: Connection, rows: list[Moved], sign: int) -> None:
    _hours(connection, (row for row in rows if row.table == "hours_worked"), sign)
    about = [row for row in rows if row.table in _OF_JOBS or row.table in RULES]
    if not about:
        return
    so_far: Touched = connection.info.setdefault(_TOUCHED, Touched())
    so_far.jobs |= {row.job for row in about if row.job}
    so_far.stages |= {row.stage for row in about if row.stage}
    so_far.rules |= any(row.table in RULES for row in about)


def begun(connection: Connection, rows: list[Moved]) -> None:
    """Rows that stand from now on."""
    _moved(connection, rows, 1)


def ended(connection: Connection, rows: list[Moved]) -> None:
    """Rows that stand no longer."""
    _moved(connection, rows, -1)
