"""Which published placements can stay together, and what has to be placed so that they can."""

from collections.abc import Collection
from dataclasses import dataclass, replace

import numpy as np

from crewplan.model.placement import Choices, Placement
from crewplan.scheduling.columns import kept_at
from crewplan.scheduling.engines import Engine, NothingFound
from crewplan.scheduling.fill import fill
from crewplan.scheduling.problem import Problem, problem, with_stay
from crewplan.scheduling.rows import count_row
from crewplan.scheduling.rule_of_thumb import column_order
from crewplan.scheduling.rules.keep import Stay
from crewplan.scheduling.selection import Picked, assemble
from crewplan.scheduling.stop import Stop

_PROOF = Stop(seconds=None, gap=0.0, steps=100_000)


@dataclass(frozen=True, slots=True, eq=False)
class Kept:
    """The problem in which what can stay where it was published does so, and where it stands."""

    whole: Problem
    seated: Picked
    """As many kept placements as can stay, and those before them that they need."""


def could_stay(choices: Choices) -> frozenset[str]:
    """Stages that are to stay where they were published and have a placement there."""
    keep = {stage.stage: stage for stage in choices.stages if stage.keep is not None}
    return frozenset(
        p.stage for p in choices.placements if p.stage in keep and kept_at(keep[p.stage], p)
    )


def _on_whose_drive(choices: Choices, kept: Collection[str]) -> set[str]:
    """Stages on whose drive kept ones come where they stay."""
    stays = {stage.stage: stage for stage in choices.stages if stage.stage in kept}
    return {
        p.with_visit
        for p in choices.placements
        if p.with_visit and p.stage in stays and kept_at(stays[p.stage], p)
    }


def _and_all_before(choices: Choices, stages: Collection[str]) -> frozenset[str]:
    before = {stage.stage: stage.after for stage in choices.stages}
    found: set[str] = set()
    to_see = [*stages]
    while to_see:
        stage = to_see.pop()
        if stage in before and stage not in found:
            found.add(stage)
            to_see += before[stage]
    return frozenset(found)


def needed_to_stay(choices: Choices, kept: Collection[str]) -> frozenset[str]:
    """Kept stages, those on whose drive they come where they stay, and all before either."""
    return _and_all_before(choices, {*kept, *_on_whose_drive(choices, kept)})


def _largest(small: Problem, kept: Collection[str], engine: Engine) -> Picked:
    """As many kept placements as can stand at once, pinned ones first, then starts early.

    `small` is a problem of its own: kept stages, those on whose drive they come, and the
    forerunners of both, under all the rules. A kept stage that cannot stay may go elsewhere, also
    so that one that follows it can stay. The other stages have no placement in it; but what a crew
    has left open of them counts.
    """
    stages = small.held.stages
    one_start = (len(small.held.choices.horizon.cells) + 1) * len(stages) + 1
    one_more = one_start * (len(kept) + 1)

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
    return engine(bare, small.nothing(), _PROOF).picked


def _staying(small: Problem, seated: Picked) -> frozenset[str]:
    stages = small.held.stages
    return frozenset(p.stage for p in small.held.taken(seated) if kept_at(stages[p.stage], p))


def _stay(whole: Problem, seated: Picked, firm: frozenset[str] = frozenset()) -> Stay:
    standing = _staying(whole, seated)
    keeps = [whole.held.stages[stage].keep for stage in standing]
    return Stay(len(standing), sum(keep is not None and keep.pinned for keep in keeps), firm)


def _firm(small: Problem, seated: Picked, engine: Engine) -> frozenset[str]:
    """Kept stages that are in every largest set, of which `seated` is one.

    Each round asks for a largest set that lacks some of those that were in all so far. Without
    this a single stage that cannot stay gives all others columns elsewhere (a fourth of a week's),
    and nothing is known to stand in the way of what stays (DEVELOPERS.md, 'What stays').
    """
    whole, firm = with_stay(small, _stay(small, seated)), _staying(small, seated)
    stages, nothing = small.held.stages, np.zeros_like(small.selection.cost)
    while firm:
        there = np.concatenate([small.held.where_kept(stages[stage]) for stage in sorted(firm)])
        lacks_one = count_row(there, len(firm) - 1)
        try:
            other = engine(assemble(nothing, (*whole.rows, lacks_one)), None, _PROOF).picked
        except NothingFound:
            break
        firm &= _staying(small, other)
    return firm


def _of_what_stays(choices: Choices, kept: frozenset[str]) -> tuple[Choices, frozenset[str]]:
    """Kept stages and what they need without all others, and kept ones that no other one needs.

    Where not all stay, those that another one needs may go elsewhere for its sake. The others gain
    nobody anything there.
    """
    drives = _on_whose_drive(choices, kept)
    asked = _and_all_before(choices, kept | drives)
    needed = {a for stage in choices.stages if stage.stage in asked for a in stage.after} | drives
    only = replace(choices, placements=tuple(p for p in choices.placements if p.stage in asked))
    return only, kept - needed


def keep_together(choices: Choices, engine: Engine) -> Kept:
    """Seat what stays, as much of it as can stay at once.

    Where all can, each has a column only where it stays. Where some contradict each other, those
    of them that may lose their place are free to go elsewhere.
    """
    kept = could_stay(choices)
    if not kept:
        whole = problem(choices)
        return Kept(whole, whole.nothing())
    only, unneeded = _of_what_stays(choices, kept)
    small = problem(only)
    seated = fill(small.selection, small.nothing(), column_order(small))
    firm, all_stay = kept, kept <= small.stages(seated)
    if not all_stay:
        small = problem(only, all_stay=False, firm=unneeded)
        seated = _largest(small, kept, engine)
        all_stay = kept <= _staying(small, seated)
        firm = kept if all_stay else _firm(small, seated, engine)
    there = {id(p) for p in small.held.taken(seated)}
    whole = problem(choices, all_stay=all_stay, firm=firm)
    seated = whole.held.with_loans(id(p) in there for p in whole.held.placements)
    return Kept(with_stay(whole, _stay(whole, seated, firm)), seated)
