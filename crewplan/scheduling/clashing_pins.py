"""Published places that cannot all be kept: the fewest that contradict each other."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from crewplan.model.placement import Choices, Keep
from crewplan.model.plan import PinClash, Plan
from crewplan.placing.removals import words as listed
from crewplan.scheduling.clashes import clashes
from crewplan.scheduling.columns import kept_at
from crewplan.scheduling.engines import EngineChoice, NothingFound
from crewplan.scheduling.engines import engine as engine_named
from crewplan.scheduling.keeping import could_stay, needed_to_stay
from crewplan.scheduling.problem import Problem, problem
from crewplan.scheduling.rows import count_row
from crewplan.scheduling.selection import assemble
from crewplan.scheduling.stop import Stop

_PROOF = Stop(seconds=None, gap=0.0, steps=100_000)


def _only(choices: Choices, kept: Sequence[str]) -> Choices:
    """The kept stages where they are kept, and what must be placed for that, anywhere."""
    asked = needed_to_stay(choices, kept)
    stages = {stage.stage: stage for stage in choices.stages}
    return replace(
        choices,
        placements=tuple(
            p
            for p in choices.placements
            if p.stage in asked and (p.stage not in kept or kept_at(stages[p.stage], p))
        ),
    )


def can_stay(choices: Choices, kept: Sequence[str], engine: EngineChoice) -> bool:
    """Whether all of these stages can stand where they were published, under all rules."""
    whole = problem(_only(choices, kept), all_stay=False)
    must = tuple(count_row(whole.held.of_stage[stage], 1, 1) for stage in kept)
    selection = assemble(np.zeros_like(whole.selection.cost), (*whole.rows, *must))
    try:
        engine_named(engine)(selection, None, _PROOF)
    except NothingFound:
        return False
    return True


def _to_keep(choices: Choices) -> list[str]:
    """Stages that are to stay and could, each by itself as far as its own placement goes; those
    pinned by hand last, so that the filter leaves them in."""
    held = could_stay(choices)
    there = {stage.stage: stage.keep for stage in choices.stages if stage.stage in held}
    return sorted(there, key=lambda stage: (keep := there[stage]) is not None and keep.pinned)


def _reason(whole: Problem, kept: Sequence[str]) -> str:
    """Which rule the last of them would break beside the others."""
    *others, last = (int(whole.held.of_stage[stage][0]) for stage in kept)
    picked = whole.nothing()
    picked[others] = True
    told = clashes(whole, picked).reasons([last])
    return "; ".join(reason.detail for reason in told)


def _place(choices: Choices, stage: str, keep: Keep) -> str:
    day, half = choices.horizon.day_of(keep.start), choices.horizon.half_of(keep.start)
    how = "pinned" if keep.pinned else "published, day frozen"
    return f"{stage} ({keep.crew}, {day.isoformat()} {half}, {how})"


def _kept_by(choices: Choices, plan: Plan) -> set[str]:
    """Stages that the plan has where they were published."""
    stages = {stage.stage: stage for stage in choices.stages}
    placements = (planned.placement for planned in plan.planned)
    return {p.stage for p in placements if kept_at(stages[p.stage], p)}


def clashing_pins(
    choices: Choices, engine: EngineChoice = "auto", plan: Plan | None = None
) -> PinClash | None:
    """The fewest kept stages that contradict each other; None where all can stay.

    A deletion filter: each in turn is left away, and stays away where the rest still contradicts
    itself. What is left contradicts itself, and without any one of it does not.

    Args:
        choices: what there is.
        engine: for what is solved.
        plan: one of these choices; where it keeps all of them, nothing needs to be solved.
    """
    kept = _to_keep(choices)
    if plan is not None and _kept_by(choices, plan).issuperset(kept):
        return None
    if len(kept) == 0 or can_stay(choices, kept, engine):
        return None
    for stage in tuple(kept):
        rest = [one for one in kept if one != stage]
        if not can_stay(choices, rest, engine):
            kept = rest
    stages = {stage.stage: stage for stage in choices.stages}
    places = [_place(choices, s, keep) for s in kept if (keep := stages[s].keep) is not None]
    whole = problem(_only(choices, kept), all_stay=False)
    why = _reason(whole, kept)
    together = "cannot stay there" if len(kept) == 1 else "cannot all stay there"
    told = f"{listed(places)} {together}" + (f": {why}" if why else "")
    return PinClash(tuple(kept), told)
