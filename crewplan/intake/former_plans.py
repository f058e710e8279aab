"""The published plan of a folder with those that it replaced, which the folder keeps beside it."""

import csv
import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

from crewplan.intake.grammar import unmarked
from crewplan.model.plan_life import PlanLife
from crewplan.model.plan_row import PlanRow

_FORMER = re.compile(r"plan\.(\d{8}T\d{6}Z)(?:-(\d+))?\.csv")
_BEFORE_ALL = datetime(1970, 1, 1, tzinfo=UTC)


def plan_lives_of_folder(folder: Path, now_rows: Sequence[PlanRow]) -> tuple[PlanLife, ...]:
    """Each row that was ever published there, with the plans between which it stood.

    A former plan that cannot be read any more tells nothing.

    Args:
        folder: of the branch.
        now_rows: the published plan as it stands, which intake has read.
    """
    kept = sorted(
        (stamp, int(number or 1), path)
        for path in folder.glob("plan.*.csv")
        if (found := _FORMER.fullmatch(path.name))
        for stamp, number in [found.groups()]
    )
    ends = [datetime.strptime(f"{stamp}+0000", "%Y%m%dT%H%M%SZ%z") for stamp, _, _ in kept]
    # a pin changes no day
    now = tuple(replace(row, pinned=False) for row in now_rows)
    plans = [*(_rows(path) for _, _, path in kept), now]
    begins = [_BEFORE_ALL, *ends]
    alive: dict[PlanRow, PlanLife] = {}
    over: list[PlanLife] = []
    for number, (rows, at) in enumerate(zip(plans, begins, strict=True)):
        standing = dict.fromkeys(rows)
        for row in [row for row in alive if row not in standing]:
            life = alive.pop(row)
            over.append(PlanLife(life.row, life.since, life.since_at, number, at))
        for row in standing:
            alive.setdefault(row, PlanLife(row, number, at))
    return (*over, *alive.values())


def _rows(path: Path) -> tuple[PlanRow, ...]:
    try:
        with path.open(encoding="utf-8", newline="") as file:
            return tuple(map(_row, csv.DictReader(file)))
    except (OSError, ValueError, KeyError, TypeError):
        return ()


def _row(cells: dict[str, str]) -> PlanRow:
    half = cells["start_half"]
    if half not in ("am", "pm"):
        raise ValueError(half)
    return PlanRow(
        stage=unmarked(cells["stage"]),
        crew=unmarked(cells["crew"]),
        start_on=date.fromisoformat(cells["start_on"]),
        start_half="am" if half == "am" else "pm",
        part=int(cells["part"]),
        half_days=int(cells["half_days"]),
    )
