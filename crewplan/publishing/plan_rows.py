"""A plan as rows of the `plan` table."""

from collections.abc import Sequence
from dataclasses import replace

from crewplan.model.parts import planned_parts
from crewplan.model.plan import Plan
from crewplan.model.plan_row import PlanRow


def plan_rows(plan: Plan, former: Sequence[PlanRow] = ()) -> tuple[PlanRow, ...]:
    """The rows to publish, by start, crew and stage.

    A pin stays with the crew and start that it was for. Former rows that began before this plan's
    first day, or begin after its last, stay too where this plan says nothing new of their stage:
    somebody is on that roof today, or a customer knows the day.
    """
    first, last = plan.horizon.days[0], plan.horizon.days[-1]

    def pinned(row: PlanRow) -> bool:
        return any(
            old.pinned
            and (old.stage, old.crew) == (row.stage, row.crew)
            and (
                (old.start_on < first and row.part == 1)
                or (old.start_on, old.start_half) == (row.start_on, row.start_half)
            )
            for old in former
        )

    planned = [
        PlanRow(
            stage=placement.stage,
            crew=placement.crew,
            start_on=plan.horizon.day_of(placement.start),
            start_half=plan.horizon.half_of(placement.start),
            part=part.number,
            half_days=len(placement.cells),
            lent=placement.joined,
        )
        for part in planned_parts(plan.planned)
        for placement in (part.planned.placement,)
    ]
    settled = {row.stage for row in planned} | set(plan.done)
    beside = [
        row for row in former if not first <= row.start_on <= last and row.stage not in settled
    ]
    return tuple(
        sorted(
            [*beside, *(replace(row, pinned=pinned(row)) for row in planned)],
            key=lambda row: (row.start_on, row.start_half, row.crew, row.stage, row.part),
        )
    )
