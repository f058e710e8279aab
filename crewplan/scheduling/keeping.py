"""Which published placements can stay together, and what has to be placed so that they can."""

from collections.abc import Collection
from dataclasses import dataclass, replace

import numpy as np

from crewplan.model.placement import Choices
from crewplan.scheduling.engines import Engine
from crewplan.scheduling.fill import fill
from crewplan.scheduling.problem import Problem, problem
from crewplan.scheduling.rule_of_thumb import column_order
from crewplan.scheduling.rules.keep import Stay
from crewplan.scheduling.selection import Picked
from crewplan.scheduling.stop import Stop

_PROOF = Stop(seconds=None, gap=0.0, steps=100_000)


@dataclass(frozen=True, slots=True, eq=False)
class Kept:
    """What can stay where it was published, as columns of a problem over the same choices."""

    seated: Picked
    """As many kept placements as can stay, and those before them that they need."""
    stay: Stay


def with_forerunners(choices: Choices, stages: Collection[str]) -> frozenset[str]:
    """The stages and all that must be placed before them."""
    before = {stage.stage: stage.after for stage in choices.stages}
    found: set[str] = set()
    to_see = list(stages)
    while to_see:
        stage = to_see.pop()
        if stage in before and stage not in found:
            found.add(stage)
            to_see += before[stage]
    return frozenset(found)


def _largest(whole: Problem, kept: frozenset[str], asked: frozenset[str], engine: Engine) -> Picked:
    """Most kept placements that can stand at once, pinned ones first, then starts early.

    A small problem of its own: kept stages and their forerunners, under all the rules.
    """
    choices = whole.held.choices
    small = problem(
        replace(
            choices,
            stages=tuple(stage for stage in choices.stages if stage.stage in asked),
            placements=tuple(p for p in choices.placements if p.stage in asked),
        )
    )
    one_start = (len(choices.horizon.cells) + 1) * len(asked) + 1
    one_more = one_start * (len(kept) + 1)
    pinned = {s.stage for s in choices.stages if s.keep is not None and s.keep.pinned}
    cost = [
        -(one_more + one_start * (p.stage in pinned)) if p.stage in kept else p.start + 1
        for p in small.held.placements
    ]
    bare = replace(small.selection, cost=np.array(cost, dtype=np.int64), constant=0)
    found = engine(bare, small.nothing(), _PROOF).picked
    chosen = {id(p) for p, take in zip(small.held.placements, found, strict=True) if take}
    return np.array([id(p) in chosen for p in whole.held.placements], dtype=np.bool_)


def keep_together(choices: Choices, engine: Engine) -> Kept:
    """Seat what stays, as much of it as can stay at once."""
    whole = problem(choices)
    kept = frozenset(
        s.stage for s in choices.stages if s.keep is not None and len(whole.held.of_stage[s.stage])
    )
    if not kept:
        return Kept(whole.nothing(), Stay())
    asked = with_forerunners(choices, kept)
    order = [c for c in column_order(whole) if whole.held.placements[c].stage in asked]
    seated = fill(whole.selection, whole.nothing(), order)
    if not kept <= whole.stages(seated):
        seated = _largest(whole, kept, asked, engine)
    standing = whole.stages(seated) & kept
    pinned = sum(
        s.stage in standing and s.keep is not None and s.keep.pinned for s in choices.stages
    )
    return Kept(seated, Stay(len(standing), pinned))
