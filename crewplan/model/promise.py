"""A job that is not sold yet, and by which day it could be promised."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from crewplan.model.job_rows import Job, Plane, Stage, StageKind


@dataclass(frozen=True, slots=True)
class NewJob:
    """What is asked about, as the tables would hold it."""

    job: Job
    planes: tuple[Plane, ...]
    stages: tuple[Stage, ...]
    """In the order of work, each after the one before."""
    in_hand: frozenset[str]
    """Kinds of requirement that nobody has to wait for."""
    asked_on: date
    """The day on which all that can be asked for at once is asked for."""


@dataclass(frozen=True, slots=True)
class LikelyDays:
    """Days by which something is so with so much chance; None: no day within those looked at."""

    half_on: date | None
    """50 %."""
    likely_on: date | None
    """80 %."""


@dataclass(frozen=True, slots=True)
class StageOfPromise:
    """One stage of the new job."""

    kind: StageKind
    labour_p50_h: float
    may_start: LikelyDays
    """All that it waits for is in hand, and the stage before it has ended."""
    done: LikelyDays


@dataclass(frozen=True, slots=True, eq=False)
class Promise:
    """By which day the new job is done, behind all that is promised already."""

    done: LikelyDays
    """Both None where `no_record` says so: what is not known is not promised."""
    done_p: tuple[float, float]
    """Shares of draws that are done by the two days: days are whole, so that they are a little more
    than 50 % and 80 %; 0 where there is no day."""
    stages: tuple[StageOfPromise, ...]
    """Empty where there is no record."""
    by_week: tuple[tuple[date, float], ...]
    """The chance that it is done by the end of each such day, ascending; ends with the first that
    reaches all that it ever reaches."""
    no_record: tuple[str, ...]
    """Kinds that it waits for and of which no past request is known."""
    behind_stages: int
    """Open stages that stand before it."""
    behind_h: float
    """Their person-hours, P50."""
    draws: int
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SkillWeek:
    """Hours of one week that ask for a skill, and hours of those who have it; all person-hours of
    the table's pace."""

    skill: str
    """A certificate, `lead`, or `all work`."""
    from_on: date
    """A Monday, or the first day looked at."""
    new_h: float
    """Work that becomes ready in the week, on average."""
    wanted_h: float
    """With what was left over before."""
    there_h: float
    """Of the crews that have the skill on the day, what the weather shuts taken off."""
    left_h: float
    """Not done by the end of the week, on average."""
    short_share: float
    """Share of draws in which more than a crew's day is left."""


@dataclass(frozen=True, slots=True, eq=False)
class SkillOutlook:
    """Some weeks ahead."""

    weeks: tuple[SkillWeek, ...]
    """By week, then by skill in the tables' order."""
    not_ready_h: Mapping[str, float]
    """By skill: hours of open stages that become ready in none of these weeks, on average."""
    draws: int
    notes: tuple[str, ...]
