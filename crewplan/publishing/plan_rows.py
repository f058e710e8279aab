"""A plan as rows of the `plan` table."""

from collections.abc import Sequence

from crewplan.model.plan import Plan
from crewplan.model.plan_row import PlanRow


def plan_rows(plan: Plan, former: Sequence[PlanRow] = ()) -> tuple[PlanRow, ...]:
    """The rows to publish, by start, crew and stage.

    Pins of the former rows stay. Former rows that began before this plan's first day stay too where
    this plan says nothing new of their stage: somebody is on that roof today.
    """
    pinned = {row.stage for row in former if row.pinned}
    planned = [
        PlanRow(
            stage=item.placement.stage,
            crew=item.placement.crew,
            start_on=plan.horizon.day_of(item.placement.start),
            start_half=plan.horizon.half_of(item.placement.start),
            half_days=len(item.placement.cells),
            pinned=item.placement.stage in pinned,
        )
        for item in plan.planned
    ]
    settled = {row.stage for row in planned} | set(plan.done)
    running = [
        row for row in former if row.start_on < plan.horizon.days[0] and row.stage not in settled
    ]
    return tuple(
        sorted(
            [*running, *planned],
            key=lambda row: (row.start_on, row.start_half, row.crew, row.stage, row.part),
        )
    )
