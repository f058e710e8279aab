"""What was missing on the day lately: what to count first when the truck is loaded again."""

from collections.abc import Iterable
from datetime import date, timedelta

from crewplan.ledger.findings import WEEKS
from crewplan.ledger.subjects import Lost, Subjects
from crewplan.model.branch import Branch
from crewplan.model.finding import MissedPart
from crewplan.model.work_rows import Cause, HoursWorked

MISSED: tuple[Cause, ...] = ("missing_tool_or_part", "return_trip")
"""The drive back for a part is what the missing part cost, too."""


def since(day: date) -> date:
    """The first day that still counts on a day."""
    return day - timedelta(weeks=WEEKS) + timedelta(days=1)


def missed_parts(branch: Branch, rows: Iterable[HoursWorked], day: date) -> tuple[MissedPart, ...]:
    """Parts that were missing in the weeks up to a day, the most often missing first.

    Args:
        branch: whose words are known.
        rows: hours worked; those lost for other causes and of other days are left out.
        day: the last that counts.
    """
    first = since(day)
    lately = [row for row in rows if row.cause in MISSED and first <= row.day <= day]
    subjects = Subjects(branch, {row.about for row in lately if row.about})
    cases: dict[str, set[tuple[date, str]]] = {}
    for row in lately:
        part = subjects.of("part", Lost(row.cause, row.about, row.note, ""))
        if part:  # where nobody said what it was, nothing can be counted first
            cases.setdefault(part, set()).add((row.day, row.stage))
    found = [MissedPart(part, len(seen), max(on for on, _ in seen)) for part, seen in cases.items()]
    return tuple(sorted(found, key=lambda one: (-one.cases, -one.last_on.toordinal(), one.part)))
