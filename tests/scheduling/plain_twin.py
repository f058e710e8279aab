"""The hard rules once more, slow and obvious, and the best plan by trying everything.

Shares nothing with crewplan.scheduling: it is what the engines are held against.
"""

from collections import Counter
from itertools import pairwise, product
from math import ceil


def _days(choices, placement):
    return {choices.horizon.day_of(cell) for cell in placement.cells}


def crews_fit(choices, picked):
    for crew, cell in product(choices.crews, choices.horizon.cells):
        there = [p for p in picked.values() if p.crew == crew and cell in p.cells]
        if any(p.short_h is None for p in there) and len(there) > 1:
            return False
        if sum(p.short_h or 0 for p in there) > choices.half_day_h[cell % 2] + 1e-9:
            return False
    return True


def drives_shared(choices, picked):
    """A drive is shared by two, each of which says so of the other."""
    for stage, p in picked.items():
        if p.with_visit:
            other = picked.get(p.with_visit)
            if other is None or other.with_visit != stage:
                return False
            if (other.crew, other.cells) != (p.crew, p.cells):
                return False
    return True


def order_kept(choices, picked):
    for stage in choices.stages:
        if stage.stage not in picked:
            continue
        follower = picked[stage.stage]
        for name in stage.after:
            if name not in picked or picked[name].end >= follower.start:
                return False
            ended = choices.horizon.day_of(picked[name].end)
            begun = choices.horizon.day_of(follower.start)
            if stage.gap_days and (begun - ended).days < stage.gap_days + 1:
                return False
    return True


def equipment_fits(choices, picked):
    stages = {stage.stage: stage for stage in choices.stages}
    for name, day in product(choices.equipment, choices.horizon.days):
        used = sum(
            name in stages[stage].shared_equipment.get(p.crew, ()) and day in _days(choices, p)
            for stage, p in picked.items()
        )
        if used > choices.equipment[name]:
            return False
    return True


def inspections_fit(choices, picked):
    stages = {stage.stage: stage for stage in choices.stages}
    for authority, day in product(choices.inspections_per_day, choices.horizon.days):
        used = sum(
            stages[stage].kind == "inspection"
            and stages[stage].authority == authority
            and choices.horizon.day_of(p.start) == day
            for stage, p in picked.items()
        )
        if used > choices.inspections_per_day[authority]:
            return False
    return True


def stock_lasts(choices, picked):
    """Day by day: what has been drawn so far against what has come so far."""
    stages = {stage.stage: stage for stage in choices.stages}
    kits = {stage: stages[stage].kit if p.kit is None else p.kit for stage, p in picked.items()}
    items = {item for kit in kits.values() for item in kit}
    for item in items if choices.material_judged else ():
        for today in choices.horizon.days:
            drawn = sum(
                kits[stage].get(item, 0)
                for stage, p in picked.items()
                if choices.horizon.day_of(p.start) <= today
            )
            come = choices.on_hand.get(item, 0)
            if today not in choices.horizon.frozen:
                come += sum(n for day, n in choices.arrivals.get(item, ()) if day <= today)
            if drawn > come + 1e-9:
                return False
    return True


def lent_to(choices, picked):
    """(person, day, crew) for everybody who is with another crew."""
    return {
        (person, day, p.crew)
        for p in picked.values()
        for person in p.joined
        for day in _days(choices, p)
    }


def nobody_in_two_crews(choices, picked):
    lent = lent_to(choices, picked)
    if len({(person, day) for person, day, _ in lent}) < len(lent):
        return False
    for person, day, _ in lent:
        own = choices.lending.crew_of[person]
        for p in picked.values():
            if p.crew == own and day in _days(choices, p) and person not in p.lent_away:
                return False
    return True


def only_lent_people_stay_away(choices, picked):
    lent = {(person, day) for person, day, _ in lent_to(choices, picked)}
    return all(
        (person, day) in lent
        for p in picked.values()
        for person in p.lent_away
        for day in _days(choices, p)
    )


def few_left_open(choices, picked):
    """A crew is away from no more begun stages than it may, in any half-day."""
    for crew, cell in product(choices.crews, choices.horizon.cells):
        before = sum(stage.left_open_by == crew for stage in choices.stages)
        away = 0
        for p in picked.values():
            gaps = pairwise(p.parts)
            away += p.crew == crew and any(a.cells[-1] < cell < b.cells[0] for a, b in gaps)
        if away > max(0, choices.open_jobs_max - before):
            return False
    return True


SOFT_WHILE_GROWING = (
    crews_fit,
    few_left_open,
    equipment_fits,
    inspections_fit,
    stock_lasts,
    nobody_in_two_crews,
)
"""Rules that a plan which breaks them never heals by placing more."""


def allowed(choices, picked):
    rules = (order_kept, drives_shared, only_lent_people_stay_away, *SOFT_WHILE_GROWING)
    return all(rule(choices, picked) for rule in rules)


def uneven_cents(choices, picked):
    """Whole minutes of the busiest crew above those of the idlest."""
    crews = {p.crew: 0 for p in choices.placements}
    for p in picked.values():
        if p.short_h is not None:
            crews[p.crew] += ceil(60 * p.short_h - 1e-6)
        else:
            crews[p.crew] += sum(int(60 * choices.half_day_h[c % 2] + 1e-6) for c in p.cells)
    spread = max(crews.values(), default=0) - min(crews.values(), default=0)
    return choices.uneven_cents_a_minute * spread


def parts(choices, picked):
    """The price by part: of what is placed, of what is left out, and of the whole plan."""
    found = Counter()
    for s in choices.stages:
        found.update(picked[s.stage].cost if s.stage in picked else s.unplaced_cost)
    if choices.lending is not None:
        found["lending"] += choices.lending.cents_per_day * len(lent_to(choices, picked))
    found["uneven hours"] += uneven_cents(choices, picked)
    return {name: cents for name, cents in found.items() if cents}


def price(choices, picked):
    lent = 0 if choices.lending is None else choices.lending.cents_per_day
    beside = lent * len(lent_to(choices, picked)) + uneven_cents(choices, picked)
    return beside + sum(
        sum(picked[s.stage].cost.values()) if s.stage in picked else sum(s.unplaced_cost.values())
        for s in choices.stages
    )


def best_price(choices):
    """Fewest published placements lost first, then fewest pinned ones, then the least money."""
    best = None

    def offers(stage):
        return (p for p in choices.placements if p.stage == stage.stage)

    def stays(stage, picked):
        at, keep = picked.get(stage.stage), stage.keep
        if not at or not keep or (at.crew, at.start) != (keep.crew, keep.start):
            return False
        back = [part.cells[0] for part in at.parts[1:]]
        if keep.again is not None and keep.again not in back:
            return False
        return set(at.joined) == set(keep.joined) and set(at.lent_away) <= set(keep.lent_away)

    def grow(rest, picked):
        nonlocal best
        if not all(rule(choices, picked) for rule in SOFT_WHILE_GROWING):
            return
        if not rest:
            whole = order_kept, drives_shared, only_lent_people_stay_away
            if all(rule(choices, picked) for rule in whole):
                kept = [s for s in choices.stages if stays(s, picked)]
                key = (-len(kept), -sum(s.keep.pinned for s in kept), price(choices, picked))
                best = key if best is None else min(best, key)
            return
        for p in offers(rest[0]):
            grow(rest[1:], {**picked, rest[0].stage: p})
        grow(rest[1:], picked)

    grow(choices.stages, {})
    return best[2]
