"""Which rules keep a stage out: the fewest whose waiving lets it in, tried by solving again."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import combinations

import numpy as np
from scipy import sparse

from crewplan.model.answer import KeptOut
from crewplan.model.placement import Choices, Placement, ReasonKind
from crewplan.model.plan import Plan, Unplaced
from crewplan.scheduling.clashes import Clashes, clashes
from crewplan.scheduling.engines import EngineChoice
from crewplan.scheduling.engines import engine as engine_named
from crewplan.scheduling.evenness import UNEVEN
from crewplan.scheduling.keeping import keep_together
from crewplan.scheduling.problem import problem
from crewplan.scheduling.selection import Selection
from crewplan.scheduling.stop import Stop
from crewplan.scheduling.waiving import Asked, problem_without, waived
from crewplan.scheduling.wanting import at_any_price

MOST_TOGETHER = 3
"""So many rules are waived together at most."""
_SMALL = Stop(seconds=None, gap=0.0, steps=20_000)


def beside_plan(
    asked: Asked, plan: Plan, stage: str, kinds: Sequence[ReasonKind], engine: EngineChoice
) -> tuple[Placement, int] | None:
    """Where the stage would go with these kinds waived, and how much less that costs.

    All that the plan places stays; the other stages of the job that are left out may come along,
    since what is waived may be theirs too. None: it would stay out.
    """
    choices = waived(asked, stage, kinds)
    there = {planned.placement.key for planned in plan.planned}
    placed = {planned.placement.stage for planned in plan.planned}
    job = next(row.job for row in choices.stages if row.stage == stage)
    mine = {row.stage for row in choices.stages if row.job == job} - placed
    kept = tuple(planned.placement for planned in plan.planned)
    free = tuple(p for p in choices.placements if p.stage in mine and p.key not in there)
    if not any(p.stage == stage for p in free):
        return None
    small = problem(replace(choices, placements=(*kept, *free)), all_stay=False)
    whole = problem_without(small, stage, kinds)
    fixed = whole.held.with_loans(i < len(kept) for i in range(len(whole.held.placements)))
    full, activity = whole.selection, whole.selection.activity(fixed)
    part = Selection(
        full.cost[~fixed],
        0,
        sparse.csr_array(sparse.csc_array(full.matrix)[:, np.flatnonzero(~fixed)]),
        full.lower - activity,
        np.maximum(full.upper - activity, 0),
    )
    nothing = np.zeros(len(part.cost), dtype=np.bool_)
    picked = engine_named(engine)(part, nothing, _SMALL)
    taken = np.flatnonzero(picked.picked[: len(free)])
    found = [free[column] for column in taken if free[column].stage == stage]
    return (found[0], -picked.objective) if found else None


def _seen(choices: Choices, plan: Plan) -> Clashes:
    """What other placements would break in the plan."""
    whole = problem(choices, all_stay=False)
    there = {planned.placement.key for planned in plan.planned}
    picked = whole.held.with_loans(p.key in there for p in whole.held.placements)
    return clashes(whole, picked)


def _by_day(
    choices: Choices, plan: Plan, out: Unplaced
) -> Iterator[tuple[date, tuple[ReasonKind, ...]]]:
    """What keeps it out on each day: what its starts there would break, else what took them."""
    seen = _seen(choices, plan)
    whole = seen.whole
    starts: dict[int, list[int]] = {}
    for column in whole.held.of_stage[out.stage].tolist():
        starts.setdefault(whole.held.placements[column].start // 2, []).append(column)
    for index, day in enumerate(choices.horizon.days):
        columns = starts.get(index, [])
        if columns and any(not seen.rows(column) for column in columns):
            kinds: list[ReasonKind] = ["price"]
        elif columns:
            kinds = [reason.kind for reason in seen.reasons(columns)]
        else:
            kinds = [
                reason.kind
                for reason in out.reasons
                if (reason.from_on or day) <= day <= (reason.until_on or day)
            ]
        # a day that no rule takes lies too near to the end of the days planned
        yield day, tuple(dict.fromkeys(kinds)) or ("horizon",)


@dataclass(frozen=True, slots=True, eq=False)
class _Forced:
    """A plan that has the stage, whatever it costs."""

    cents: int
    placements: tuple[Placement, ...]

    def of(self, stage: str) -> Placement:
        """Where it has it."""
        return next(p for p in self.placements if p.stage == stage)


@dataclass(frozen=True, slots=True, eq=False)
class _Question:
    """One stage of one plan, and how to solve what is asked about it."""

    asked: Asked
    plan: Plan
    stage: str
    engine: EngineChoice
    stop: Stop

    def forced(self, kinds: Sequence[ReasonKind]) -> _Forced | None:
        """The cheapest plan found that has it, with these kinds waived; None: there is none."""
        choices = waived(self.asked, self.stage, kinds) if kinds else self.asked.choices
        if not any(p.stage == self.stage for p in choices.placements):
            return None
        solve = engine_named(self.engine)
        kept = keep_together(at_any_price(choices, self.stage), solve)
        whole = problem_without(kept.whole, self.stage, kinds)
        there = {planned.placement.key for planned in self.plan.planned}
        as_planned = whole.held.with_loans(p.key in there for p in whole.held.placements)
        start = as_planned if whole.selection.holds(as_planned) else kept.seated
        found = solve(whole.selection, start, self.stop)
        placements = tuple(whole.held.taken(found.picked))
        if not any(p.stage == self.stage for p in placements):
            return None
        return _Forced(found.objective, placements)

    def more(self, forced: _Forced) -> int:
        """What it costs more than the plan; 0: no more, so that a plan has it by itself."""
        by_placement = self.plan.objective - self.plan.parts.get(UNEVEN, 0)
        return max(0, forced.cents - by_placement)

    def left(self, forced: _Forced) -> tuple[str, ...]:
        """Stages of the plan that leave their places in it."""
        after = {p.key[:3] for p in forced.placements}
        rows = (planned.placement for planned in self.plan.planned)
        return tuple(p.stage for p in rows if p.key[:3] not in after)

    def made_anew(
        self, told: Sequence[ReasonKind], count: int, by_all: int | None
    ) -> tuple[tuple[ReasonKind, ...], Placement, int] | None:
        """Kinds whose waiving places it in a plan made anew, or makes forcing it cost a tenth."""
        best: tuple[tuple[ReasonKind, ...], Placement, int] | None = None
        for kinds in combinations(told, count):
            forced = self.forced(kinds)
            if forced is None:
                continue
            more = self.more(forced)
            if (by_all is None or 10 * more <= by_all) and (best is None or more < best[2]):
                best = kinds, forced.of(self.stage), more
        return best

    def hidden(self, told: Sequence[ReasonKind]) -> list[ReasonKind]:
        """Kinds that keep it out once these are waived; what is told first may hide them."""
        choices = waived(self.asked, self.stage, told)
        row = next(one for one in choices.stages if one.stage == self.stage)
        seen = _seen(choices, self.plan)
        columns = seen.whole.held.of_stage[self.stage].tolist()
        found = dict.fromkeys(r.kind for r in (*row.reasons, *seen.reasons(columns)))
        return [kind for kind in found if kind not in told]


def _beside(
    question: _Question, told: Sequence[ReasonKind], count: int
) -> tuple[tuple[ReasonKind, ...], Placement, int] | None:
    """So many kinds that let it in beside the plan, at the best price."""
    best: tuple[tuple[ReasonKind, ...], Placement, int] | None = None
    for kinds in combinations(told, count):
        found = beside_plan(question.asked, question.plan, question.stage, kinds, question.engine)
        if found is not None and (best is None or found[1] > best[2]):
            best = (kinds, *found)
    return best


def kept_out(
    asked: Asked, plan: Plan, stage: str, *, engine: EngineChoice = "auto", stop: Stop = _SMALL
) -> KeptOut | None:
    """The fewest rules whose waiving lets the stage in; None where the plan has it, or it is done.

    One that lets it in beside the plan comes first; then one with which a plan made anew has it, or
    can be made to have it for a tenth; then two, then three of them, in the same way.

    Args:
        asked: what the plan was made from.
        plan: the plan.
        stage: a stage.
        engine: for what is solved again.
        stop: of each plan that is made anew.
    """
    out = next((one for one in plan.unplaced if one.stage == stage), None)
    if out is None:
        return None
    row = next(one for one in asked.choices.stages if one.stage == stage)
    told: list[ReasonKind] = list(
        dict.fromkeys(r.kind for r in (*out.reasons, *row.reasons) if r.kind != "price")
    )
    question = _Question(asked, plan, stage, engine, stop)
    by_all = question.forced(())
    more = None if by_all is None else question.more(by_all)
    kept = KeptOut(
        () if more is None else ("price",),
        None,
        0,
        more,
        () if by_all is None else question.left(by_all),
        tuple(_by_day(asked.choices, plan, out)),
        None,
    )
    for count in range(1, MOST_TOGETHER + 1):
        if count == 2:
            told += question.hidden(told)
        beside = _beside(question, told, count)
        if beside is not None:
            kinds, placement, less = beside
            return replace(
                kept, rules=kinds, placement=placement, cents_less=less, forced_then_cents=0
            )
        anew = question.made_anew(told, count, more)
        if anew is not None:
            return replace(kept, rules=anew[0], placement=anew[1], forced_then_cents=anew[2])
    return kept
