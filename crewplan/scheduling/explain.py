"""Why stages are left out of a plan, or not where they were published."""

import numpy as np

from crewplan.model.placement import Reason, StageToPlace
from crewplan.model.plan import Unplaced
from crewplan.scheduling.clashes import Clashes, clashes
from crewplan.scheduling.columns import kept_at
from crewplan.scheduling.problem import Problem
from crewplan.scheduling.selection import Picked


def money(cents: int) -> str:
    """Whole cents as units of currency, exact."""
    return f"{'-' if cents < 0 else ''}{abs(cents) // 100}.{abs(cents) % 100:02d}"


def _dearer(seen: Clashes, free: list[int]) -> Reason:
    """Each of `free` fits, and costs more than leaving the stage out."""
    held = seen.whole.held
    best = min(free, key=seen.cost)
    placement = held.placements[best]
    horizon = held.choices.horizon
    days = [held.placements[column].start // 2 for column in free]
    if seen.cost(best) < 0:
        # it saves by itself, and the fill after the search did not take it
        detail = "placing it makes the crews' hours more uneven, which costs more than it saves"
        return Reason("price", detail, horizon.days[min(days)], horizon.days[max(days)])
    detail = (
        f"placing it costs {money(seen.cost(best))} more than leaving it for later, at the "
        f"cheapest: {placement.crew} from {horizon.day_of(placement.start)} "
        f"{horizon.half_of(placement.start)}"
    )
    return Reason("price", detail, horizon.days[min(days)], horizon.days[max(days)])


def _cannot_stay(seen: Clashes, stage: StageToPlace) -> tuple[Reason, ...]:
    """What keeps a stage that is not in the plan from where it was published; else nothing."""
    held = seen.whole.held
    there = held.where_kept(stage).tolist()
    if stage.keep is None or not there:
        return ()
    day = held.choices.horizon.day_of(stage.keep.start)
    told = "; ".join(reason.detail for reason in seen.reasons(there))
    return (Reason("pin", f"it cannot stay beside what else was published: {told}", day, day),)


def gave_way(whole: Problem, picked: Picked) -> dict[str, tuple[Reason, ...]]:
    """By stage: why it is placed elsewhere than where it could stay by itself."""
    held = whole.held
    found: dict[str, tuple[Reason, ...]] = {}
    for column in np.flatnonzero(picked[: len(held.placements)]).tolist():
        placement = held.placements[column]
        stage = held.stages[placement.stage]
        if stage.keep is not None and not kept_at(stage, placement):
            without = picked.copy()
            without[column] = False
            found[stage.stage] = _cannot_stay(clashes(whole, without), stage)
    return found


def _reasons(seen: Clashes, stage: StageToPlace) -> tuple[Reason, ...]:
    held = seen.whole.held
    # what keeps a shared drive out keeps out the visit by itself, or is told by the visit it shares
    columns = [
        int(column)
        for column in held.of_stage[stage.stage]
        if not held.placements[column].with_visit
    ]
    reasons = [*stage.reasons, *_cannot_stay(seen, stage), *seen.reasons(columns)]
    free = [c for c, broken in seen.broken(columns).items() if not broken and not seen.not_lent(c)]
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
