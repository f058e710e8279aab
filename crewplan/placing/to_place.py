"""A stage as the scheduler is asked about it: its placements, its price left out, its reasons."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from crewplan.model.placement import Keep, Placement, Reason, StageToPlace
from crewplan.placing.branch_rows import BranchRows
from crewplan.placing.crew_choices import CrewChoices
from crewplan.placing.lent_as_published import LentThen
from crewplan.placing.memory import WAYS, Made, Memory
from crewplan.placing.more_overtime import only_with_more_overtime
from crewplan.placing.offers import Offered
from crewplan.placing.price import cheapest_but_for_days, open_cost, price_of_later
from crewplan.placing.removals import Removal, decisive, reasons
from crewplan.placing.stand_ins import with_stand_ins
from crewplan.placing.stays import stays_where

IN_HAND = ("granted", "not_needed")
LATER_HALF_DAYS = 10
"""A begun stage that is left for later stays open so much longer: the working days of the week by
which a stage is priced later."""


@dataclass(frozen=True, slots=True, eq=False)
class Asked:
    """All that is known of a stage before it is put to the scheduler."""

    rows: BranchRows
    offered: Offered
    """What each crew could do for it by itself."""
    removals: list[Removal]
    """What takes starts away whoever is sent."""
    lent: Sequence[Placement]
    """Its placements with people of other crews, or of crews without some of theirs."""
    then: LentThen
    """Who was lent in the published plan."""

    @property
    def name(self) -> str:
        """Of the stage."""
        return self.offered.facts.stage.stage

    def why(self, placements: list[Placement], broken: Reason | None) -> tuple[Reason, ...]:
        """What took starts away; where none is left, what longer days would do too."""
        site, crews = self.rows.site, self.offered.crews
        removals = [*self.removals, *(r for choices in crews for r in choices.removals)]
        if placements:
            # that late starts do not fit any more says nothing where earlier ones do
            told = [removal for removal in removals if removal.kind != "horizon"]
        else:
            told = decisive(removals, [crew.crew for crew in site.known.branch.crews])
            days = [choices.crew for choices in crews]
            told += only_with_more_overtime(site, self.offered.facts, days)
        found = reasons(told, site.known.horizon)
        return (broken, *found) if broken is not None else found

    def may_start(self, held: Keep | None) -> Callable[[Placement], bool]:
        """Not in half-days that have begun, but for who is published there."""
        row, over = self.rows.published.get(self.name), self.rows.site.over.tolist()
        there: list[tuple[str, int | None]] = []
        if held is not None:
            there.append((held.crew, held.start))
        if row is not None:
            horizon = self.rows.site.known.horizon
            there.append((row.crew, horizon.cell(row.start_on, row.start_half)))
        return lambda p: not over[p.start] or (p.crew, p.start) in there


def stage_to_place(asked: Asked, memory: Memory) -> tuple[StageToPlace, list[Placement]]:
    """The stage with its price of being left out, and all its placements.

    `memory` is of the last look, and of this one afterwards. A stage without placements is none of
    it: its reasons ask about days that no look lays out. Nor is one while people are lent.
    """
    rows, known, name = asked.rows, asked.rows.site.known, asked.name
    kits = memory.of_kits(
        asked.removals,
        rows.published.get(name),
        name in rows.reaching,
        rows.later.get(name),
        rows.left_open_by(name),
        [known.hours[before].done for before in asked.offered.facts.stage.after],
        known.kits.get(name),
        known.stand_ins.get(name),
    )
    make = partial(_made, asked, memory, kits)
    if asked.lent or asked.then.on:
        return make()
    whole = kits + b"".join(asked.offered.made_of.values())
    return memory.again(name, (), whole, make, lambda found: bool(found[1]))


def _made(asked: Asked, memory: Memory, kits: bytes) -> tuple[StageToPlace, list[Placement]]:
    rows, made_of = asked.rows, asked.offered.made_of
    facts, crews = asked.offered.facts, asked.offered.crews
    stage, job = facts.stage, facts.job
    known = rows.site.known
    horizon = known.horizon
    held, broken = stays_where(rows, stage, crews, asked.removals, asked.lent, asked.then)
    may_start = asked.may_start(held)

    def part(what: str, key: bytes, choices: CrewChoices, make: Callable[[], Made]) -> Made:
        crew = choices.crew.name
        return memory.again(stage.stage, (crew, what), key + made_of[crew], make)

    def cheapest(choices: CrewChoices) -> dict[str, int]:
        return cheapest_but_for_days(p.cost for p in choices.placements)

    def ways(placements: Sequence[Placement]) -> list[Placement]:
        return with_stand_ins(known, stage.stage, filter(may_start, placements))

    # what people who are lent could cost more has no part in the price of leaving it
    later = price_of_later(
        (part("cheapest", b"", each, partial(cheapest, each)) for each in crews if each.placements),
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
        for each in crews
        for placement in part(WAYS, there, each, partial(ways, each.placements))
    ]
    placements += ways(asked.lent)
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
        shared_equipment={each.crew.name: each.borrowed for each in crews if each.borrowed},
        unplaced_cost=later,
        keep=held,
        published=facts.published is not None and facts.published.start_on <= horizon.days[-1],
        promised=job.due_on <= horizon.days[-1],
        reasons=asked.why(placements, broken),
        awaited=tuple(n.kind for n in facts.ready.states if n.state not in IN_HAND),
        calls=facts.ready.calls,
        left_open_by=rows.left_open_by(stage.stage),
    )
    return to_place, placements
