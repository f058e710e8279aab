"""A stage where a person wants it: the week that would be, ready to be published."""

from dataclasses import dataclass, replace
from datetime import datetime

from crewplan.model.branch import Branch
from crewplan.model.calendar import zone
from crewplan.model.expected import Expectation
from crewplan.model.lent import LentChange
from crewplan.model.plan_row import PlanRow
from crewplan.model.whatif import Comparison, Move, Supposition, Wanted
from crewplan.publishing.plan_rows import plan_rows
from crewplan.running.clock import Clock
from crewplan.running.expecting import expectations
from crewplan.running.published_lent import lent_since_published
from crewplan.running.since_published import since_published
from crewplan.running.supposing import what_if
from crewplan.running.watching import NOBODY, Watch
from crewplan.scheduling import EngineChoice


@dataclass(frozen=True, slots=True, eq=False)
class MovedWeek:
    """A week with a stage as wanted, beside the week without that wish."""

    version: int
    """Of the database that both were planned from."""
    asked_at: datetime
    """Local, with offset."""
    comparison: Comparison
    """Against the week without the wish; refused where no week has it."""
    since: tuple[Move, ...] = ()
    """Against the published plan: what somebody has to hear of."""
    lent: tuple[LentChange, ...] = ()
    """People who are with another crew than published."""
    rows: tuple[PlanRow, ...] = ()
    """To be published, the stage pinned where it stands; empty where it is refused."""
    expected: tuple[Expectation, ...] = ()
    """Of each placement."""


def moved_week(
    branch: Branch,
    clock: Clock,
    version: int,
    wanted: Wanted,
    *,
    engine: EngineChoice = "auto",
    seconds: float = 10,
    watch: Watch = NOBODY,
) -> MovedWeek:
    """Plan the week twice, for publishing; the checker passes both.

    Raises:
        PlanRejected: where it does not pass one of them.
    """
    found = what_if(
        branch,
        clock,
        Supposition(wanted=wanted),
        engine=engine,
        seconds=seconds,
        publishing=True,
        watch=watch,
    )
    asked_at = clock.now.astimezone(zone(branch.settings))
    if found.other is None:
        return MovedWeek(version, asked_at, found.comparison)
    plan = found.other.plan
    rows = tuple(
        replace(row, pinned=True) if row.stage == wanted.stage else row
        for row in plan_rows(plan, branch.plan)
    )
    return MovedWeek(
        version,
        asked_at,
        found.comparison,
        since_published(branch, plan),
        lent_since_published(branch, plan),
        rows,
        expectations(plan, branch.settings, found.other.hours),
    )
