"""A plan after an event: what still stands stays, what broke is placed anew by small problems.

Only stages that lost their place, and those in the way of where they might go, are free; each small
problem is a restriction of the whole one, so that its answer is a plan of the whole, priced as one.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import chain

import numpy as np

from crewplan.model.placement import Choices, Placement
from crewplan.model.plan import Plan
from crewplan.model.plan_row import PlanRow
from crewplan.scheduling.columns import kept_at
from crewplan.scheduling.dropping import Key, standing_columns
from crewplan.scheduling.engines import EngineChoice
from crewplan.scheduling.problem import Problem, problem
from crewplan.scheduling.schedule import Alter, as_it_stands, picks
from crewplan.scheduling.selection import NOWHERE
from crewplan.scheduling.stop import Stop
from crewplan.scheduling.wanting import ELSEWHERE_CENTS

LOCAL = 12
"""Stages that lost their place, up to which an event is local: each may go anywhere."""
OFFERS = 200
"""Of each of them where there are more: its cheapest placements, which are looked at first."""
WISHES = 24
"""Of each of them: the placements whose way is cleared."""
IN_THE_WAY, PLACES = 40, 150
"""Stages that are set free because they stand in the way, at most, and where they may go: each to
so many of its cheapest placements. More gave no better plans (DEVELOPERS.md, 'Re-plan')."""
ROUNDS = 4
"""Small problems one after another, at most: a stage that lost its place to another gets a turn."""
_GAP = 0.0005
"""Of the price of the whole plan."""

_ByStage = Mapping[str, list[Placement]]


@dataclass(frozen=True, slots=True)
class Where:
    """Where a stage stood before: what is left of a placement where all else may have changed."""

    crew: str
    start: int
    """Half-day of the new horizon."""
    key: Key = ()
    cells: tuple[int, ...] = ()
    """Half-days of the new horizon."""


@dataclass(frozen=True, slots=True)
class Before:
    """What a plan is repaired from."""

    was: Mapping[str, Where]
    """By stage that is still to place."""
    left_out: frozenset[str] = frozenset()
    """They go only where a place has become free."""


def before_plan(choices: Choices, last: Plan) -> Before:
    """Where the last plan has each stage, on the days of the new horizon."""
    open_stages = {stage.stage for stage in choices.stages}

    def cell(old: int) -> int | None:
        return choices.horizon.cell(last.horizon.day_of(old), last.horizon.half_of(old))

    found: dict[str, Where] = {}
    for planned in last.planned:
        p = planned.placement
        start = cell(p.start)
        if p.stage in open_stages and start is not None:
            cells = tuple(now for old in p.cells if (now := cell(old)) is not None)
            found[p.stage] = Where(p.crew, start, p.key, cells)
    return Before(found, frozenset(out.stage for out in last.unplaced))


def before_rows(choices: Choices, rows: Iterable[PlanRow]) -> Before:
    """Where the published plan has each stage; what it has not is new."""
    open_stages = {stage.stage for stage in choices.stages}
    return Before(
        {
            row.stage: Where(row.crew, cell)
            for row in rows
            if row.stage in open_stages
            and (cell := choices.horizon.cell(row.start_on, row.start_half)) is not None
        }
    )


def _by_stage(choices: Choices) -> _ByStage:
    found: dict[str, list[Placement]] = {stage.stage: [] for stage in choices.stages}
    for placement in choices.placements:
        found[placement.stage].append(placement)
    return found


def _standing(by_stage: _ByStage, was: Mapping[str, Where]) -> dict[str, Placement]:
    """The same crew and start as before, as nearly the same as there still is."""
    found: dict[str, Placement] = {}
    for stage, where in was.items():
        there = [p for p in by_stage[stage] if p.crew == where.crew and p.start == where.start]
        if there:
            found[stage] = min(there, key=lambda p: (p.key != where.key, p.cents, p.key))
    return found


def published_keys(choices: Choices, rows: Iterable[PlanRow]) -> frozenset[Key]:
    """The placements that are the nearest to published rows: a plan to start a search from."""
    was = before_rows(choices, rows).was
    return _keys(_standing(_by_stage(choices), was)) if was else frozenset()


@dataclass(frozen=True, slots=True, eq=False)
class _Whole:
    """All that there is to choose from, looked up once."""

    choices: Choices
    by_stage: _ByStage
    kept: _ByStage
    """What is to stay where it was published, there: it belongs to every part."""

    def part(self, placements: Iterable[Placement]) -> Choices:
        """Some of the placements, stage by stage, and all that is to stay."""
        some: dict[str, dict[int, Placement]] = {}
        for p in chain(placements, *self.kept.values()):
            some.setdefault(p.stage, {})[id(p)] = p
        return replace(
            self.choices,
            placements=tuple(
                p
                for stage, all_of_it in self.by_stage.items()
                if stage in some
                for p in _in_order(all_of_it, some[stage])
            ),
        )


def _in_order(all_of_it: list[Placement], some: Mapping[int, Placement]) -> Iterable[Placement]:
    if len(some) in (1, len(all_of_it)):  # most stages stay, and all of some are looked at
        return some.values() if len(some) == 1 else all_of_it
    return (p for p in all_of_it if id(p) in some)


def _whole(choices: Choices) -> _Whole:
    by_stage = _by_stage(choices)
    kept = {
        stage.stage: [p for p in by_stage[stage.stage] if kept_at(stage, p)]
        for stage in choices.stages
        if stage.keep is not None
    }
    return _Whole(choices, by_stage, kept)


def _together(whole: _Whole, standing: Mapping[str, Placement]) -> dict[str, Placement]:
    """Of what stands, as much as stands together: what breaks a rule now is dropped."""
    small = problem(whole.part(standing.values()), all_stay=False)
    picked = standing_columns(small, {p.key for p in standing.values()})
    return {p.stage: p for p in small.held.taken(picked)}


def _cheapest(placements: Iterable[Placement], most: int) -> list[Placement]:
    return sorted(placements, key=lambda p: (p.cents, p.cells, p.crew))[:most]


def _in_the_way(
    whole: _Whole, loose: Collection[str], stands: Mapping[str, Placement]
) -> list[str]:
    """Stages that stand where the loose ones would like to, those of the same jobs first."""
    job_of = {stage.stage: stage.job for stage in whole.choices.stages}
    jobs = {job_of[stage] for stage in loose}
    found = dict.fromkeys(stage for stage in stands if job_of[stage] in jobs)
    held: dict[tuple[str, int], list[str]] = {}
    for p in stands.values():
        for cell in p.cells:
            held.setdefault((p.crew, cell), []).append(p.stage)
    wishes = [_cheapest(whole.by_stage[stage], WISHES) for stage in loose]
    for turn in range(WISHES):
        for wish in wishes:
            for cell in wish[turn].cells if turn < len(wish) else ():
                found |= dict.fromkeys(held.get((wish[turn].crew, cell), ()))
    return list(found)[:IN_THE_WAY]


def _small(
    whole: _Whole,
    lost: Collection[str],
    free: frozenset[tuple[str, int]],
    stands: Mapping[str, Placement],
) -> Choices:
    """The lost may go anywhere, those in their way to a few places, what was left out to where
    the lost ones stood, and all others stay."""
    by_stage = whole.by_stage
    offers = OFFERS if len(lost) > LOCAL else max(map(len, by_stage.values()))
    some = [p for stage in lost for p in _cheapest(by_stage[stage], offers)]
    for stage in _in_the_way(whole, lost, stands):
        some += _cheapest(by_stage[stage], PLACES)
    for stage, placements in by_stage.items():
        if stage not in stands and stage not in lost:
            some += [p for p in placements if any((p.crew, cell) in free for cell in p.cells)]
    return whole.part([*some, *stands.values()])


def elsewhere_dearer(last: Before) -> Alter:
    """Prices by which a stage is not moved away from the last plan for next to nothing."""

    def dearer(whole: Problem) -> Problem:
        held, bare = whole.held, whole.selection
        crews = {crew: i for i, crew in enumerate(held.choices.crews)}
        was = [last.was.get(stage) for stage in held.of_stage]
        crew = [NOWHERE if w is None else crews.get(w.crew, NOWHERE) for w in was]
        start = [NOWHERE if w is None else w.start for w in was]
        places, cost = held.placed, bare.cost.copy()
        stays = places.crew == np.array(crew, dtype=np.int64)[places.stage]
        stays &= places.first == np.array(start, dtype=np.int64)[places.stage]
        # a column's price is what it adds to leaving its stage out, and that is elsewhere too
        cost[: len(stays)][stays] -= ELSEWHERE_CENTS
        constant = bare.constant + ELSEWHERE_CENTS * sum(w is not None for w in was)
        return replace(whole, selection=replace(bare, cost=cost, constant=constant))

    return dearer


def _least(whole: _Whole) -> int:
    """A bound that needs no proof: each stage at its cheapest, as if nothing stood in its way."""
    total = 0
    for stage in whole.choices.stages:
        left_out = sum(stage.unplaced_cost.values())
        prices = (p.cents for p in whole.by_stage[stage.stage])
        total += min(left_out, min(prices, default=left_out))
    return total


@dataclass(frozen=True, slots=True, eq=False)
class Left:
    """What an event left of a plan."""

    whole: _Whole
    stands: Mapping[str, Placement]
    """By stage: where it stays."""
    lost: tuple[str, ...]
    """Stages that cannot stay where they were, and those that are new."""

    @property
    def keys(self) -> frozenset[Key]:
        """Of all that stands: a plan to start a search from."""
        return _keys(self.stands)


def left_of(choices: Choices, last: Before) -> Left:
    """What still stands of the last plan, as much as stands together, and what does not."""
    whole = _whole(choices)
    stands = _together(whole, _standing(whole.by_stage, last.was))
    lost = (s for s in whole.by_stage if s not in stands and s not in last.left_out)
    return Left(whole, stands, tuple(lost))


def repair(left: Left, last: Before, *, engine: EngineChoice = "auto", stop: Stop) -> Plan:
    """Keep what stands of the last plan, and place what lost its place.

    The plan's bound needs no proof, and is far below; it is held against no rule of thumb.

    Args:
        left: of the last plan, after the event.
        last: what stood where before it.
        engine: for the small problems.
        stop: of each of them.
    """
    was, whole, stop = last.was, left.whole, replace(stop, gap=_GAP)
    by_stage, stands, dearer = whole.by_stage, dict(left.stands), elsewhere_dearer(last)
    loose = tuple(s for s in left.lost if by_stage[s])
    free = frozenset((w.crew, cell) for s, w in was.items() if s not in stands for cell in w.cells)
    for _ in range(ROUNDS if loose or free else 0):
        small = _small(whole, loose, free, stands)
        placed = picks(small, engine=engine, stop=stop, begin=_keys(stands), alter=dearer)
        now = {p.stage: p for p in placed}
        bumped = tuple(stage for stage in stands if stage not in now)
        free = frozenset(
            (p.crew, cell) for s, p in stands.items() if now.get(s) != p for cell in p.cells
        )
        stands, loose = now, (*bumped, *(s for s in loose if s not in now))
        if not bumped:
            break
    # what is left out has all its placements here, so that its reasons are those of the whole
    others = [p for s in by_stage if s not in stands for p in by_stage[s]]
    plan = as_it_stands(whole.part([*stands.values(), *others]), _keys(stands), engine)
    return replace(plan, bound=min(_least(whole), plan.objective), rule_of_thumb=None)


def in_plain_prices(plan: Plan, last: Before) -> Plan:
    """A plan that was searched by the prices of `elsewhere_dearer`.

    Its bound is lowered by all that moving could have cost, so that it holds for plain prices.
    """
    extra = ELSEWHERE_CENTS * len(last.was)
    return replace(plan, bound=min(plan.bound - extra, plan.objective), rule_of_thumb=None)


def _keys(stands: Mapping[str, Placement]) -> frozenset[Key]:
    return frozenset(p.key for p in stands.values())
