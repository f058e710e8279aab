"""What there is only so much of: shared equipment, inspections, material."""

from collections import Counter
from collections.abc import Iterator
from datetime import date

from crewplan.model.calendar import local_day
from crewplan.model.placement import Placement
from crewplan.readiness import supply
from crewplan.scheduling.checker.facts import Facts


def equipment_lasts(facts: Facts) -> Iterator[str]:
    """What a crew does not own is borrowed, one piece for one placement a day."""
    own = {crew.crew: set(crew.equipment) for crew in facts.branch.crews}
    pieces = {row.equipment: row.quantity for row in facts.branch.equipment}
    used: Counter[tuple[str, date]] = Counter()
    for placement in facts.known:
        borrowed = set(facts.stages[placement.stage].equipment) - own[placement.crew]
        used.update((name, day) for name in borrowed for day in facts.days(placement))
    for (name, day), count in used.items():
        if count > pieces.get(name, 0):
            yield f"equipment twice: {count} x {name} on {day}, there are {pieces.get(name, 0)}"
    rows = {row.equipment: row for row in facts.branch.equipment}
    for name, day in used:
        row = rows.get(name)
        if row is None:
            continue
        overdue = row.service_due_on is not None and row.service_due_on < day
        if overdue or any(first <= day <= last for first, last in row.in_service):
            yield f"equipment in service: {name} is used on {day}"


def own_equipment_serviced(facts: Facts) -> Iterator[str]:
    """A crew's own equipment is not used past the day on which its service is due."""
    crews = {crew.crew: crew for crew in facts.branch.crews}
    for placement in facts.known:
        crew = crews[placement.crew]
        if not set(facts.stages[placement.stage].equipment) & set(crew.equipment):
            continue
        for day in facts.days(placement):
            if crew.equipment_due_on is not None and day > crew.equipment_due_on:
                yield f"equipment in service: that of crew {crew.crew} is overdue on {day}"


def inspectors_last(facts: Facts) -> Iterator[str]:
    """No authority inspects more systems a day than it does."""
    most = {row.authority: row.inspections_per_day for row in facts.branch.authorities}
    visits = Counter(
        (facts.job(p).authority, facts.first_day(p))
        for p in facts.known
        if facts.stages[p.stage].kind == "inspection"
    )
    for (authority, day), count in visits.items():
        limit = most.get(authority)
        if limit is not None and count > limit:
            yield f"inspections: {count} of {authority} on {day}, it does {limit}"


def _known_kits(facts: Facts) -> Iterator[tuple[Placement, dict[str, float]]]:
    """What each placement draws, by the tables; none where they allow no such kit."""
    for placement in facts.known:
        own = facts.kits.of(placement.stage)
        if placement.kit is None:
            yield placement, own
        elif any(placement.kit == kit for kit, _ in facts.stand_ins(placement.stage)):
            yield placement, dict(placement.kit)


def stock_lasts(facts: Facts) -> Iterator[str]:
    """Day by day: kits drawn so far against what is on hand and has arrived."""
    branch, horizon = facts.branch, facts.plan.horizon
    if not {"stock", "arrivals"} & branch.present:
        return
    drawn_on = [(facts.first_day(p), kit) for p, kit in _known_kits(facts)]
    if len(drawn_on) < len(facts.known):
        yield "material: a placement draws what its items' substitutes do not allow"
    counted = supply(branch, local_day(branch.settings, facts.now)).arrivals
    items = sorted({item for _, units in drawn_on for item in units})
    for item in items:
        for today in horizon.days:
            drawn = sum(units.get(item, 0) for day, units in drawn_on if day <= today)
            there = sum(row.on_hand for row in branch.stock if row.item == item)
            if today not in horizon.frozen:
                there += sum(quantity for day, quantity in counted.get(item, ()) if day <= today)
            if drawn > there + 1e-6:
                yield f"stock overdrawn: {drawn:g} {item} by {today}, there are {there:g}"
                break
