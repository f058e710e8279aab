"""Why stages are left out of a plan."""

from crewplan.model.placement import Reason, StageToPlace
from crewplan.model.plan import Unplaced
from crewplan.scheduling.clashes import Clashes


def money(cents: int) -> str:
    """Whole cents as units of currency, exact."""
    return f"{'-' if cents < 0 else ''}{abs(cents) // 100}.{abs(cents) % 100:02d}"


def _dearer(seen: Clashes, free: list[int]) -> Reason:
    """Each of `free` fits, and costs more than leaving the stage out."""
    held = seen.whole.held
    cost = seen.whole.selection.cost
    best = min(free, key=lambda column: int(cost[column]))
    placement = held.placements[best]
    horizon = held.choices.horizon
    days = [held.placements[column].start // 2 for column in free]
    detail = (
        f"placing it costs {money(int(cost[best]))} more than leaving it for later, at the "
        f"cheapest: {placement.crew} from {horizon.day_of(placement.start)} "
        f"{horizon.half_of(placement.start)}"
    )
    return Reason("price", detail, horizon.days[min(days)], horizon.days[max(days)])


def _reasons(seen: Clashes, stage: StageToPlace) -> tuple[Reason, ...]:
    held = seen.whole.held
    columns = [int(column) for column in held.of_stage[stage.stage]]
    broken = seen.reasons(columns)
    reasons = list(stage.reasons)
    if stage.keep is not None and columns:
        horizon = held.choices.horizon
        day = horizon.day_of(stage.keep.start)
        told = "; ".join(reason.detail for reason in broken)
        reasons.append(
            Reason("pin", f"it cannot stay beside what else was published: {told}", day, day)
        )
    reasons += broken
    free = [column for column in columns if not seen.rows(column)]
    if free:
        reasons.append(_dearer(seen, free))
    if not reasons:
        days = held.choices.horizon.days
        if held.choices.crews:
            reasons.append(Reason("horizon", "no start within these days", days[0], days[-1]))
        else:
            reasons.append(Reason("people", "there is no crew", days[0], days[-1]))
    return tuple(reasons)


def unplaced(seen: Clashes) -> tuple[Unplaced, ...]:
    """The stages that are left out, in the table's order, each with at least one reason."""
    held = seen.whole.held
    return tuple(
        Unplaced(
            stage.stage,
            stage.job,
            sum(stage.unplaced_cost.values()),
            _reasons(seen, stage),
            stage.promised or stage.published,
        )
        for stage in held.choices.stages
        if not seen.picked[held.of_stage[stage.stage]].any()
    )
