"""What the record suggests to change, with the money and the cases behind it."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from crewplan.model.work_rows import Cause

SubjectKind = Literal["authority", "supplier", "limit", "part", "crew", "branch", "kind of stage"]
"""What a finding is about."""


@dataclass(frozen=True, slots=True)
class Answers:
    """How an authority answered so far."""

    requests: int
    half_days: int | None
    """Half of its requests took at most so many calendar days; None: the record ends before."""
    most_days: int | None
    """Eight of ten took at most so many; None: the record ends before."""


@dataclass(frozen=True, slots=True)
class DrivesBack:
    """What driving back for one thing took. Road and standing add up to the finding's hours."""

    drives: int
    people: int
    """Those on them, each drive by itself."""
    km: float
    """By road, there and back, one vehicle a drive; its own cost is not known."""
    road_h: Decimal
    """Person-hours."""
    road_cost: Decimal
    standing_h: Decimal
    """Person-hours by which the work was held up: those noted beyond the drive, and of others."""
    standing_cost: Decimal


@dataclass(frozen=True, slots=True)
class Finding:
    """Hours that went the same way several times."""

    cause: Cause | Literal["slow"]
    """Why hours were lost; 'slow': productive hours above the planned ones."""
    subject_kind: SubjectKind
    subject: str
    """Empty: nobody noted what it was."""
    hours: Decimal
    cost: Decimal
    """Loaded, in the branch's currency."""
    cases: int
    """Visits (a stage on a day), or finished stages where the cause is 'slow'."""
    crews: tuple[str, ...]
    first: date
    last: date
    enough: bool
    """Whether there are cases enough to conclude anything."""
    answers: Answers | None = None
    drives: DrivesBack | None = None
    """Where people drove back for it."""


@dataclass(frozen=True, slots=True)
class MissedPart:
    """Something that was not there when it was needed."""

    part: str
    cases: int
    """Days on a stage."""
    last_on: date
