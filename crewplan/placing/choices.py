"""All stages with every crew at every start: the scheduler's choices, and why some are missing."""

from collections.abc import Mapping
from itertools import chain

from crewplan.model.placement import Choices, Lending, Placement, StageToPlace
from crewplan.placing.branch_rows import branch_rows
from crewplan.placing.facts_of_stage import facts_of, stage_removals
from crewplan.placing.lent_as_published import lent_then
from crewplan.placing.lent_choices import lent_choices
from crewplan.placing.memory import Memory
from crewplan.placing.nearest import told as few_crews_told
from crewplan.placing.offers import offers
from crewplan.placing.prices import cents
from crewplan.placing.shared_drives import shared_drives
from crewplan.placing.site import Known
from crewplan.placing.to_place import Asked, stage_to_place


def choices_of(known: Known, memory: Memory | None = None) -> Choices:
    """Every placement that is possible, stage by stage in the table's order.

    A horizon without days has nothing to choose from and is not asked for (ValueError). `memory`
    is of the last look at nearly the same branch, and of this one afterwards.
    """
    if not known.horizon.days:
        raise ValueError("a horizon has at least one day")
    rows = branch_rows(known)
    branch = known.branch
    stages: list[StageToPlace] = []
    ways: dict[str, list[Placement]] = {}
    done = [stage.stage for stage in branch.stages if known.hours[stage.stage].done]
    memory = memory or Memory()
    asks = offers(rows, memory)
    offered = []
    for stage in branch.stages:
        if not known.hours[stage.stage].done:
            removals = stage_removals(rows, stage, rows.jobs[stage.job])
            offered.append((asks.of(facts_of(rows, stage, removals)), removals))
    per_day = branch.settings.lending_cost_per_day
    lent: Mapping[str, list[Placement]] = {}
    if per_day is not None:
        lent = lent_choices(rows.site, [one for one, _ in offered], rows.published)
    then = lent_then(branch, rows.published, known.horizon)
    for one, removals in offered:
        own = lent.get(one.facts.stage.stage, ())
        to_place, possible = stage_to_place(Asked(rows, one, removals, own, then), memory)
        stages.append(to_place)
        ways[to_place.stage] = possible
    shared = shared_drives(rows.site, rows.jobs, stages, ways, memory)
    placements = tuple(chain(*ways.values(), shared))
    uneven_cents = round(cents(branch.settings.uneven_hour_cost) / 60)
    limits = {row.authority: row.inspections_per_day for row in branch.authorities}
    return Choices(
        horizon=known.horizon,
        crews=tuple(crew.crew for crew in branch.crews),
        stages=tuple(stages),
        placements=placements,
        done=tuple(sorted((*done, *branch.finished))),
        half_day_h=(rows.site.shifts[0].am_h, rows.site.shifts[0].pm_h),
        equipment={row.equipment: row.quantity for row in branch.equipment},
        inspections_per_day={name: n for name, n in limits.items() if n is not None},
        on_hand=dict(known.supply.on_hand),
        arrivals=dict(known.supply.arrivals),
        material_judged=known.supply.judged,
        lending=None
        if per_day is None
        else Lending(cents(per_day), {person.person: person.crew for person in branch.people}),
        open_jobs_max=branch.settings.open_jobs_max,
        uneven_cents_a_minute=uneven_cents,
        even_crews=tuple(dict.fromkeys(p.crew for p in placements)) if uneven_cents else (),
        notes=(
            *known.supply.notes,
            *rows.site.notes(),
            *few_crews_told(len(stages), len(branch.crews)),
        ),
    )
