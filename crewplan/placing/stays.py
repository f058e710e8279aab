"""Where a published stage stays by its pin or frozen day, or why it cannot."""

from collections.abc import Sequence
from dataclasses import replace

from crewplan.model.job_rows import Stage
from crewplan.model.placement import Keep, Placement, Reason
from crewplan.placing.branch_rows import BranchRows
from crewplan.placing.crew_choices import CrewChoices
from crewplan.placing.keep import keep
from crewplan.placing.lent_as_published import LentThen
from crewplan.placing.removals import Removal, breakers


def stays_where(
    rows: BranchRows,
    stage: Stage,
    crews: Sequence[CrewChoices],
    removals: list[Removal],
    lent: Sequence[Placement],
    then: LentThen,
) -> tuple[Keep | None, Reason | None]:
    """What the published plan holds, or the reason for which it cannot stay there."""
    horizon = rows.site.known.horizon
    row = rows.published.get(stage.stage)
    if row is None:
        return None, None
    own = next((choices for choices in crews if choices.crew.name == row.crew), None)
    cells = () if own is None else own.line.cells
    wanted = keep(row, stage.stage in rows.reaching, cells, horizon, rows.later.get(stage.stage))
    where = f"published with crew {row.crew} on {row.start_on.isoformat()} {row.start_half}"
    if own is None or wanted is None:
        lost = row.pinned and horizon.days[0] <= row.start_on <= horizon.days[-1]
        text = f"{where}, a day off"
        return None, Reason("pin", text, row.start_on, row.start_on) if lost else None
    there = [p for p in own.placements if p.start == wanted.start]
    if wanted.again is not None and not any(wanted.again in p.part_starts[1:] for p in there):
        day = horizon.day_of(wanted.again)
        text = f"its second part was published for {day.isoformat()}: it does not fit there now"
        return (replace(wanted, again=None) if there else None), Reason("pin", text, day, day)
    held = then.held(row, wanted, [*own.placements, *(p for p in lent if p.crew == row.crew)])
    if held is not None:
        return held
    broken = breakers([*removals, *own.removals], row.crew, wanted.start)
    day = horizon.day_of(wanted.start)
    text = f"{where}: {broken or 'the customer does not allow the day'}"
    return None, Reason("pin", text, day, day)
