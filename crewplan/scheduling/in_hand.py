"""What of a plan is in hand already, and what it still waits for."""

from collections.abc import Mapping, Sequence

from crewplan.model.placement import Choices, Placement, Reason, kit_of
from crewplan.model.plan import Planned
from crewplan.scheduling.whole import PER_UNIT, need, supply


def _short_items(kit: Mapping[str, float], left: dict[str, int]) -> tuple[str, ...]:
    """Items that what is left on hand does not cover; the kit is taken off in any case."""
    short: list[str] = []
    for item, amount in kit.items():
        left[item] = left.get(item, 0) - need(amount, PER_UNIT)
        if amount > 0 and left[item] < 0:
            short.append(item)
    return tuple(short)


def planned(
    choices: Choices,
    placements: Sequence[Placement],
    gave_way: Mapping[str, tuple[Reason, ...]],
) -> tuple[Planned, ...]:
    """The placements by start, crew and stage, each firm where all it needs is in hand.

    Stock on hand goes to those that start first. `gave_way` has, by stage, why it lost its
    published place to others.
    """
    stages = {stage.stage: stage for stage in choices.stages}
    left = {item: supply(amount, PER_UNIT) for item, amount in choices.on_hand.items()}
    told: list[Planned] = []
    for placement in sorted(placements, key=lambda p: (p.start, p.crew, p.stage)):
        stage = stages[placement.stage]
        waits = () if placement.granted else stage.awaited or ("a requirement",)
        if choices.material_judged:
            short = _short_items(kit_of(stage, placement), left)
            waits += tuple(f"kit: {item} not on hand yet" for item in short)
        left_its_place = tuple(reason for reason in stage.reasons if reason.kind == "pin")
        left_its_place += gave_way.get(stage.stage, ())
        soon = choices.horizon.day_of(placement.start) in choices.horizon.frozen
        calls = stage.calls if soon else ()
        told.append(Planned(placement, stage.job, not waits, waits, left_its_place, calls))
    return tuple(told)
