"""What the owner looks at: margins, losses over time, jobs that ran off their plan."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from crewplan.model.closed import Closing
from crewplan.model.expected import ExpectedAndHappened
from crewplan.model.finding import Finding
from crewplan.model.ledger import HoursRecord, Waterfall


@dataclass(frozen=True, slots=True)
class PeriodLoss:
    """Lost hours of a week or a month, by cause."""

    name: str
    hours: Mapping[str, Decimal]
    cost: Mapping[str, Decimal]
    """Loaded, in the branch's currency."""
    worked_h: Decimal
    """Productive and lost."""


@dataclass(frozen=True, slots=True)
class JobPace:
    """Hours worked on a job against those that the work done was planned with."""

    job: str
    earned_h: float
    worked_h: float
    outlier: Literal["", "over", "under"]
    """Whether it stands far out among the branch's own jobs."""

    @property
    def times(self) -> float:
        """Hours worked for each planned hour."""
        return self.worked_h / self.earned_h


@dataclass(frozen=True, slots=True, eq=False)
class OwnerView:
    """All of the owner's page, of one span of days."""

    record: HoursRecord
    """By job."""
    planned: Waterfall
    """All jobs with hours in the span together."""
    now: Waterfall
    at_completion: Waterfall
    step: Literal["week", "month"]
    lost: tuple[PeriodLoss, ...]
    paces: tuple[JobPace, ...]
    """Jobs with hours and earned hours, those that ran furthest over first."""
    paces_told: bool
    """Whether there are jobs enough to tell outliers."""
    changes: tuple[Finding, ...]
    """As the record is now, also of a closed month."""
    expected: ExpectedAndHappened | None = None
    """Of all plans and days; None: no plan's expectations are kept."""
    closing: Closing | None = None
    """Of a closed month, whose figures are as they were then; None: they are as they are now."""
