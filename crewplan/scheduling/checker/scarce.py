"""What there is only so much of: shared equipment, inspections, material."""

from collections import Counter
from collections.abc import Iterator
from datetime import date

from crewplan.readiness import kit
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


def stock_lasts(facts: Facts) -> Iterator[str]:
    """Day by day: kits drawn so far against what is on hand and has arrived."""
    branch, horizon = facts.branch, facts.plan.horizon
    if not {"stock", "arrivals"} & branch.present:
        return
    kits = {
        p.stage: (facts.first_day(p), kit(branch, facts.takeoffs, facts.hours, p.stage))
        for p in facts.known
    }
    items = sorted({item for _, units in kits.values() for item in units})
    for item in items:
        for today in horizon.days:
            drawn = sum(units.get(item, 0) for day, units in kits.values() if day <= today)
            there = sum(row.on_hand for row in branch.stock if row.item == item)
            if today not in horizon.frozen:
                there += sum(
                    row.quantity
                    for row in branch.arrivals
                    if row.item == item and row.expected_on <= today
                )
            if drawn > there + 1e-6:
                yield f"stock overdrawn: {drawn:g} {item} by {today}, there are {there:g}"
                break
