"""What a plan changes in the published one."""

from dataclasses import replace
from datetime import date

from crewplan.model.branch import Branch
from crewplan.model.calendar import working_days
from crewplan.model.plan import Plan
from crewplan.model.plan_row import PlanRow
from crewplan.model.whatif import Move, Slot
from crewplan.scheduling.comparing import moves_between, slots


def _end(branch: Branch, row: PlanRow) -> date:
    """The last day of a published row, by the branch's working days."""
    cells = row.half_days + (row.start_half == "pm")
    return working_days(branch.settings, row.start_on, (cells + 1) // 2)[-1]


def since_published(branch: Branch, plan: Plan) -> tuple[Move, ...]:
    """Stages of these days that stand elsewhere than published, or that are new.

    Rows that were over before the first day, and stages that are done, are left out; of a stage
    in parts, the first row that is not over counts, to the end of its last. A stage that goes on
    keeps its first day and is no move.
    """
    first, last = plan.horizon.days[0], plan.horizon.days[-1]
    now = slots(plan)
    before: dict[str, Slot] = {}
    for row in sorted(branch.plan, key=lambda row: (row.stage, row.part)):
        if row.stage in plan.done or row.start_on > last:
            continue
        end = _end(branch, row)
        if end < first:
            continue
        was = before.get(row.stage)
        before[row.stage] = (
            Slot(row.crew, row.start_on, row.start_half, end)
            if was is None
            else replace(was, end_on=end, back_on=was.back_on or row.start_on)
        )
    for stage, was in before.items():
        is_now = now.get(stage)
        if is_now is None or was.back_on != is_now.back_on or was.crew != is_now.crew:
            continue
        # the same start: its end differs only by days that the branch's calendar leaves out
        same_start = (was.start_on, was.start_half) == (is_now.start_on, is_now.start_half)
        if was.start_on < first or same_start:
            before[stage] = is_now
    job_of = {stage.stage: stage.job for stage in branch.stages}
    return moves_between(before, now, job_of)
