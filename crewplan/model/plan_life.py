"""A row of the published plan with the time for which it stood."""

from dataclasses import dataclass
from datetime import datetime

from crewplan.model.plan_row import PlanRow


@dataclass(frozen=True, slots=True)
class PlanLife:
    """One row, from its publication until it was replaced."""

    row: PlanRow
    since: int
    """A number that grows with each change of what the row's days rest on."""
    since_at: datetime
    """When that was."""
    until: int | None = None
    """The number of the plan that it is no longer in; None: it stands."""
    until_at: datetime | None = None
