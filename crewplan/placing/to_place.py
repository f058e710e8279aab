"""A stage as the scheduler is asked about it: its placements, its price left out, its reasons."""

from collections.abc import Sequence

import numpy as np

from crewplan.model.job_rows import Stage
from crewplan.model.placement import Keep, Placement, Reason, StageToPlace
from crewplan.placing.branch_rows import BranchRows
from crewplan.placing.lent_as_published import LentThen
from crewplan.placing.memory import Memory
from crewplan.placing.more_overtime import only_with_more_overtime
from crewplan.placing.needs.allowed_days import begun
from crewplan.placing.offers import Offered
from crewplan.placing.price import open_cost, price_of_later
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


def _not_over(
    rows: BranchRows, stage: Stage, placements: list[Placement], held: Keep | None
) -> list[Placement]:
    """Without starts in half-days that have begun, but for who is published there."""
    known, row = rows.site.known, rows.published.get(stage.stage)
    over = np.logical_or.reduce(
        [r.starts for r in begun(known.branch.settings, known.horizon, known.now)]
    )
    there: list[tuple[str, int | None]] = []
    if held is not None:
        there.append((held.crew, held.start))
    if row is not None:
        there.append((row.crew, known.horizon.cell(row.start_on, row.start_half)))
    return [p for p in placements if not over[p.start] or (p.crew, p.start) in there]


def stage_to_place(
    rows: BranchRows,
    offered: Offered,
    removals: list[Removal],
    lent: Sequence[Placement],
    then: LentThen,
) -> tuple[StageToPlace, list[Placement]]:
    """The stage with its price of being left out, and all its placements.

    Args:
        rows: of the branch.
        offered: what each crew could do for it by itself.
        removals: what takes starts away whoever is sent.
        lent: its placements with people of other crews, or of crews without some of theirs.
        then: who was lent in the published plan.
    """
    facts, crews = offered.facts, offered.crews
    stage, job = facts.stage, facts.job
    known = rows.site.known
    horizon = known.horizon
    placements = [placement for choices in crews for placement in choices.placements]
    held, broken = stays_where(rows, stage, crews, removals, lent, then)
    # what people who are lent could cost more has no part in the price of leaving it
    later = price_of_later(
        (p.cost for p in placements),
        horizon.days[-1],
        facts.promise,
        facts.published,
        open_cost(known.branch.settings, len(horizon.cells) + LATER_HALF_DAYS)
        if facts.hours.begun
        else 0.0,
    )
    placements = _not_over(rows, stage, [*placements, *lent], held)
    placements = with_stand_ins(known, stage.stage, placements)
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


def stage_as_before(
    memory: Memory,
    rows: BranchRows,
    offered: Offered,
    removals: list[Removal],
    lent: Sequence[Placement],
    then: LentThen,
) -> tuple[StageToPlace, list[Placement]]:
    """`stage_to_place`, taken again from the last look where all that it is made from is the same.

    Not where people are lent, nor where nothing is placed: then reasons ask about days that no
    look lays out.
    """
    name = offered.facts.stage.stage
    if lent or then.on:
        return stage_to_place(rows, offered, removals, lent, then)
    known = rows.site.known
    key, found = memory.recall_stage(
        name,
        offered.made_of,
        removals,
        rows.published.get(name),
        name in rows.reaching,
        rows.later.get(name),
        rows.left_open_by(name),
        [known.hours[before].done for before in offered.facts.stage.after],
        known.kits.get(name),
        known.stand_ins.get(name),
    )
    if found is None:
        found = stage_to_place(rows, offered, removals, lent, then)
        if found[1]:
            memory.keep_stage(name, key, found)
    return found
