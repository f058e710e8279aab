"""A stage as the scheduler is asked about it: its placements, its price left out, its reasons."""

from collections.abc import Callable, Sequence
from functools import partial

import numpy as np

from crewplan.model.job_rows import Stage
from crewplan.model.placement import Keep, Placement, Reason, StageToPlace
from crewplan.placing.branch_rows import BranchRows
from crewplan.placing.crew_choices import CrewChoices
from crewplan.placing.lent_as_published import LentThen
from crewplan.placing.memory import Memory
from crewplan.placing.more_overtime import only_with_more_overtime
from crewplan.placing.needs.allowed_days import begun
from crewplan.placing.offers import Offered
from crewplan.placing.price import cheapest_but_for_days, open_cost, price_of_later
from crewplan.placing.removals import Removal, decisive, reasons
from crewplan.placing.stand_ins import with_stand_ins
from crewplan.placing.stays import stays_where

IN_HAND = ("granted", "not_needed")
LATER_HALF_DAYS = 10
"""A begun stage that is left for later stays open so much longer: the working days of the week by
which a stage is priced later."""


def _why(
    rows: BranchRows,
    offered: Offered,
    removals: list[Removal],
    placements: list[Placement],
    broken: Reason | None,
) -> tuple[Reason, ...]:
    """What took starts away from the stage; where none is left, what longer days would do too."""
    site = rows.site
    removals = [*removals, *(r for choices in offered.crews for r in choices.removals)]
    if placements:
        # that late starts do not fit any more says nothing where earlier ones do
        told = [removal for removal in removals if removal.kind != "horizon"]
    else:
        crews = [choices.crew for choices in offered.crews]
        told = decisive(removals, [crew.crew for crew in site.known.branch.crews])
        told += only_with_more_overtime(site, offered.facts, crews)
    found = reasons(told, site.known.horizon)
    return (broken, *found) if broken is not None else found


def _may_start(rows: BranchRows, stage: Stage, held: Keep | None) -> Callable[[Placement], bool]:
    """Not in half-days that have begun, but for who is published there."""
    known, row = rows.site.known, rows.published.get(stage.stage)
    over = np.logical_or.reduce(
        [r.starts for r in begun(known.branch.settings, known.horizon, known.now)]
    ).tolist()
    there: list[tuple[str, int | None]] = []
    if held is not None:
        there.append((held.crew, held.start))
    if row is not None:
        there.append((row.crew, known.horizon.cell(row.start_on, row.start_half)))
    return lambda p: not over[p.start] or (p.crew, p.start) in there


def stage_to_place(
    rows: BranchRows,
    offered: Offered,
    removals: list[Removal],
    lent: Sequence[Placement],
    then: LentThen,
    memory: Memory,
) -> tuple[StageToPlace, list[Placement]]:
    """The stage with its price of being left out, and all its placements.

    Args:
        rows: of the branch.
        offered: what each crew could do for it by itself.
        removals: what takes starts away whoever is sent.
        lent: its placements with people of other crews, or of crews without some of theirs.
        then: who was lent in the published plan.
        memory: of the last look, and of this one afterwards. A stage without placements is none of
            it: its reasons ask about days that no look lays out.
    """
    name = offered.facts.stage.stage
    known = rows.site.known
    kits = memory.of_kits(
        removals,
        rows.published.get(name),
        name in rows.reaching,
        rows.later.get(name),
        rows.left_open_by(name),
        [known.hours[before].done for before in offered.facts.stage.after],
        known.kits.get(name),
        known.stand_ins.get(name),
    )

    def make() -> tuple[StageToPlace, list[Placement]]:
        return _made(rows, offered, removals, lent, then, memory, kits)

    if lent or then.on:
        return make()
    whole = kits + b"".join(offered.made_of.values())
    return memory.again(name, (), whole, make, lambda found: bool(found[1]))


def _made(
    rows: BranchRows,
    offered: Offered,
    removals: list[Removal],
    lent: Sequence[Placement],
    then: LentThen,
    memory: Memory,
    kits: bytes,
) -> tuple[StageToPlace, list[Placement]]:
    facts, crews, made_of = offered.facts, offered.crews, offered.made_of
    stage, job = facts.stage, facts.job
    known = rows.site.known
    horizon = known.horizon
    held, broken = stays_where(rows, stage, crews, removals, lent, then)
    may_start = _may_start(rows, stage, held)

    def cheapest(choices: CrewChoices) -> dict[str, int]:
        return cheapest_but_for_days(p.cost for p in choices.placements)

    def ways(placements: Sequence[Placement]) -> list[Placement]:
        return with_stand_ins(known, stage.stage, filter(may_start, placements))

    # what people who are lent could cost more has no part in the price of leaving it
    later = price_of_later(
        (
            memory.again(
                stage.stage,
                (choices.crew.name, "cheapest"),
                made_of[choices.crew.name],
                partial(cheapest, choices),
            )
            for choices in crews
            if choices.placements
        ),
        horizon.days[-1],
        facts.promise,
        facts.published,
        open_cost(known.branch.settings, len(horizon.cells) + LATER_HALF_DAYS)
        if facts.hours.begun
        else 0.0,
    )
    there = kits + memory.of_kits(held)
    placements = [
        placement
        for choices in crews
        for placement in memory.again(
            stage.stage,
            (choices.crew.name, "ways"),
            there + made_of[choices.crew.name],
            partial(ways, choices.placements),
        )
    ]
    placements += ways(lent)
    to_place = StageToPlace(
        stage=stage.stage,
        job=stage.job,
        kind=stage.kind,
        authority=job.authority,
        due_on=job.due_on,
        priority=job.priority,
        after=tuple(name for name in stage.after if not known.hours[name].done),
        gap_days=stage.gap_days,
        kit=dict(known.kits.get(stage.stage, {})) if known.supply.judged else {},
        shared_equipment={
            choices.crew.name: choices.borrowed for choices in crews if choices.borrowed
        },
        unplaced_cost=later,
        keep=held,
        published=facts.published is not None and facts.published.start_on <= horizon.days[-1],
        promised=job.due_on <= horizon.days[-1],
        reasons=_why(rows, offered, removals, placements, broken),
        awaited=tuple(n.kind for n in facts.ready.states if n.state not in IN_HAND),
        calls=facts.ready.calls,
        left_open_by=rows.left_open_by(stage.stage),
    )
    return to_place, placements
