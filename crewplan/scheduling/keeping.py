"""Which published placements can stay together, and what has to be placed so that they can."""

from collections.abc import Collection
from dataclasses import dataclass, replace

import numpy as np

from crewplan.model.placement import Choices, Placement
from crewplan.scheduling.columns import kept_at
from crewplan.scheduling.engines import Engine
from crewplan.scheduling.fill import fill
from crewplan.scheduling.problem import Problem, problem, with_stay
from crewplan.scheduling.rule_of_thumb import column_order
from crewplan.scheduling.rules.keep import Stay
from crewplan.scheduling.selection import Picked
from crewplan.scheduling.stop import Stop

_PROOF = Stop(seconds=None, gap=0.0, steps=100_000)


@dataclass(frozen=True, slots=True, eq=False)
class Kept:
    """The problem in which what can stay where it was published does so, and where it stands."""

    whole: Problem
    seated: Picked
    """As many kept placements as can stay, and those before them that they need."""


def needed_to_stay(choices: Choices, kept: Collection[str]) -> frozenset[str]:
    """Kept stages, those on whose drive they come where they stay, and all before either."""
    before = {stage.stage: stage.after for stage in choices.stages}
    stays = {stage.stage: stage for stage in choices.stages if stage.stage in kept}
    found: set[str] = set()
    to_see = [*kept]
    to_see += (
        p.with_visit
        for p in choices.placements
        if p.with_visit and p.stage in stays and kept_at(stays[p.stage], p)
    )
    while to_see:
        stage = to_see.pop()
        if stage in before and stage not in found:
            found.add(stage)
            to_see += before[stage]
    return frozenset(found)


def _largest(
    choices: Choices, kept: frozenset[str], asked: frozenset[str], engine: Engine
) -> frozenset[int]:
    """Most kept placements that can stand at once, pinned ones first, then starts early; by id.

    A small problem of its own: kept stages, those on whose drive they come, and the forerunners of
    both, under all the rules. A kept stage that cannot stay may go elsewhere, also so that one that
    follows it can stay. The other stages have no placement in it; but what a crew has left open of
    them counts.
    """
    asked_of = tuple(p for p in choices.placements if p.stage in asked)
    small = problem(replace(choices, placements=asked_of), all_stay=False)
    one_start = (len(choices.horizon.cells) + 1) * len(asked) + 1
    one_more = one_start * (len(kept) + 1)
    stages = small.held.stages

    def cost(p: Placement) -> int:
        stage = stages[p.stage]
        if not kept_at(stage, p):
            return p.start + 1
        return -(one_more + one_start * (stage.keep is not None and stage.keep.pinned))

    bare = replace(
        small.selection,
        cost=np.array(
            [*(cost(p) for p in small.held.placements), *(0 for _ in small.held.loans)],
            dtype=np.int64,
        ),
        constant=0,
    )
    found = engine(bare, small.nothing(), _PROOF).picked
    return frozenset(id(p) for p in small.held.taken(found))


def _stay(whole: Problem, seated: Picked) -> Stay:
    stages = whole.held.stages
    standing = [
        stages[p.stage].keep for p in whole.held.taken(seated) if kept_at(stages[p.stage], p)
    ]
    return Stay(len(standing), sum(keep is not None and keep.pinned for keep in standing))


def keep_together(choices: Choices, engine: Engine) -> Kept:
    """Seat what stays, as much of it as can stay at once.

    Where all can, each has a column only where it stays. Where some contradict each other, those
    that lose their place are free to go elsewhere.
    """
    whole = problem(choices)
    kept = frozenset(
        s.stage for s in choices.stages if s.keep is not None and len(whole.held.of_stage[s.stage])
    )
    if not kept:
        return Kept(whole, whole.nothing())
    asked = needed_to_stay(choices, kept)
    order = [c for c in column_order(whole) if whole.held.placements[c].stage in asked]
    seated = fill(whole.selection, whole.nothing(), order)
    if kept <= whole.stages(seated):
        return Kept(with_stay(whole, _stay(whole, seated)), seated)
    found = _largest(choices, kept, asked, engine)
    all_stay = kept <= frozenset(p.stage for p in whole.held.placements if id(p) in found)
    loose = problem(choices, all_stay=all_stay)
    seated = loose.held.with_loans(id(p) in found for p in loose.held.placements)
    return Kept(with_stay(loose, _stay(loose, seated)), seated)
