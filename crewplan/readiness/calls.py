"""Whom to call today, the dearest delay first."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from crewplan.model.job_rows import Stage
from crewplan.model.readiness import NeedChance, StageReadiness
from crewplan.readiness.ask_by import AskBy
from crewplan.readiness.deliveries import Delivery
from crewplan.readiness.needs import INSPECTION_PASSED, KIT
from crewplan.readiness.outlook import SHORT
from crewplan.readiness.shortages import Missing, Shortage

_ROUNDING = 1e-9
_IN_HAND = ("granted", "not_needed")
OVERDUE = "overdue"
"""State of a delivery that was expected before today and is not booked in."""


@dataclass(frozen=True, slots=True)
class Call:
    """One thing to ask for: of one job, or one item of the store for all jobs."""

    kind: str
    state: str
    job: str
    """Empty for an item of the store."""
    stages: tuple[str, ...]
    """Those that wait for it, the first wanted first."""
    wanted_on: date
    """The first day on which one of them wants it."""
    p: float
    """Chance that it is there by then without a call."""
    cost_a_day: float
    """What one more day of delay costs all stages that wait for it or come after those that do, in
    the branch's currency."""
    ask_by: AskBy | None = None
    """Latest day for what has not been asked for, was refused, or is to be ordered."""
    item: str = ""
    missing: float = 0.0
    """Stocked units, of an item of the store."""
    to_order: float = 0.0
    """Of `missing`: what neither stock nor anything on order ever covers."""
    covered_on: date | None = None
    """When what is on order covers the rest of `missing`; None: nothing of it is on order."""
    due_on: date | None = None
    """Of a delivery that is overdue: the first day on which it was expected."""


def followers(stages: Iterable[Stage]) -> dict[str, list[str]]:
    """By stage: those that come right after it."""
    found: dict[str, list[str]] = {}
    for stage in stages:
        for before in stage.after:
            found.setdefault(before, []).append(stage.stage)
    return found


def behind(after: Mapping[str, Sequence[str]], first: Iterable[str]) -> frozenset[str]:
    """The stages of `first` and all that come after one of them, by `followers`."""
    found: set[str] = set()
    left = list(first)
    while left:
        name = left.pop()
        if name not in found:
            found.add(name)
            left += after.get(name, ())
    return frozenset(found)


def _our_own_turn(
    need: NeedChance,
    waits: StageReadiness,
    inspection_open: bool,
    order: Mapping[str, tuple[str, ...]],
) -> bool:
    """Nobody can be called yet: what comes before it is not in hand, or our own work is not done.

    Only for what has not been asked for; what was asked can always be asked after.
    """
    if need.state != "open":
        return False
    if need.kind == INSPECTION_PASSED:
        return inspection_open
    first = order.get(need.kind, ())
    return any(other.kind in first and other.state not in _IN_HAND for other in waits.states)


def calls_of_stage(
    waits: StageReadiness,
    stage: Stage,
    wanted_on: date,
    at: int,
    least: float,
    inspection_open: bool,
    ask_by: Mapping[str, AskBy],
    order: Mapping[str, tuple[str, ...]],
) -> list[Call]:
    """Requirements of one stage that are less likely in hand by its day than `least`.

    Args:
        waits: its requirements.
        stage: its row.
        wanted_on: its day.
        at: where that day stands in the arrays of `waits`.
        least: 1 on a frozen day, else the branch's least chance of readiness.
        inspection_open: the job has an inspection stage that is not done.
        ask_by: by kind, for what is to be asked for.
        order: by kind what must be in hand before it can be asked for.
    """
    found = [
        Call(need.kind, need.state, stage.job, (stage.stage,), wanted_on, float(need.p[at]), 0.0,
             ask_by.get(need.kind))
        for need in waits.states
        if need.p[at] < least - _ROUNDING and not _our_own_turn(need, waits, inspection_open, order)
    ]  # fmt: skip
    found += [
        Call(kind, "open", stage.job, (stage.stage,), wanted_on, 0.0, 0.0) for kind in waits.calls
    ]
    return found


def call_for_item(short: Shortage, order_by: AskBy) -> Call:
    """Ask for what one stage lacks of one item."""
    return Call(KIT, SHORT, "", (short.stage,), short.wanted_on, 0.0, 0.0, order_by,
                short.item, short.missing, short.to_order, short.covered_on)  # fmt: skip


def overdue(deliveries: Iterable[Delivery], today: date) -> dict[str, date]:
    """By item that was expected before today and is not booked in: since when."""
    due: dict[str, date] = {}
    for delivery in deliveries:
        row = delivery.row
        if row.expected_on < today:
            due[row.item] = min(row.expected_on, due.get(row.item, row.expected_on))
    return due


def calls_for_overdue(
    missing: Iterable[Missing], due: Mapping[str, date], wanted_on: date, at: int
) -> list[Call]:
    """Ask where it is: what is overdue and a stage counts on.

    Args:
        missing: the stage's kit over days.
        due: by item, as `overdue` tells it.
        wanted_on: the stage's day.
        at: where that day stands in the arrays of `missing`.
    """
    return [
        Call(KIT, OVERDUE, "", (item.stage,), wanted_on, 0.0, 0.0, None, item.item,
             float(item.in_stock[at]), due_on=due[item.item])
        for item in missing
        if item.item in due and item.in_stock[at] > 0 and item.by_day[at] <= 0
    ]  # fmt: skip


def _one(same: Sequence[Call]) -> Call:
    """Calls about one thing as one call, by the stage that wants it first."""
    first = min(same, key=lambda call: call.wanted_on)
    ordered = sorted(same, key=lambda call: (call.wanted_on, call.stages))
    known = [call.covered_on for call in same if call.covered_on is not None]
    return replace(
        first,
        stages=tuple(name for call in ordered for name in call.stages),
        missing=sum(call.missing for call in same),
        to_order=sum(call.to_order for call in same),
        covered_on=max(known, default=None),
    )


def dearest_first(
    found: Iterable[Call], stages: Sequence[Stage], cost_a_day: Mapping[str, float]
) -> tuple[Call, ...]:
    """Each thing once, ordered by what a day of delay costs; the earlier wanted first where equal.

    Args:
        found: calls of single stages.
        stages: of the branch.
        cost_a_day: by stage that is not done: what ending one day later costs.
    """
    together: dict[tuple[str, str, str, bool], list[Call]] = {}
    for call in found:
        together.setdefault((call.job, call.kind, call.item, call.state == OVERDUE), []).append(
            call
        )
    after = followers(stages)
    told = []
    for same in together.values():
        call = _one(same)
        held = behind(after, call.stages)
        cost = sum(cost_a_day.get(name, 0.0) for name in sorted(held))
        told.append(replace(call, cost_a_day=cost))
    return tuple(
        sorted(told, key=lambda call: (-call.cost_a_day, call.wanted_on, call.job, call.kind,
                                       call.item))
    )  # fmt: skip
