"""What each stage takes from the store, and what the store has by day."""

import math
from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from crewplan.labour import stage_shares
from crewplan.model.branch import Branch
from crewplan.model.hours import StageHours
from crewplan.model.job_rows import Stage
from crewplan.model.material_rows import Item
from crewplan.model.readiness import Supply
from crewplan.model.takeoff import JobTakeOff
from crewplan.readiness.needs import KIT
from crewplan.takeoff import TAKEOFF_ITEMS, words_used

_ROUNDING = 1e-9


def kit(
    branch: Branch,
    takeoffs: Mapping[str, JobTakeOff],
    hours: Mapping[str, StageHours],
    stage: str,
) -> dict[str, float]:
    """Stocked units of each store item that a stage takes on its first day; empty: none.

    Roof stages only, by the stage's share, rounded up to whole pieces and stocked units. Where a
    job's roof stages follow each other, each has what all up to it need less what those before it
    have, so that the job never takes more than its whole kit: of pieces always, of stocked units as
    long as those before it have yet to draw theirs. A begun stage has its kit on site; a row of
    requirements of kind `kit` stands in place of the store; without stock and arrivals nothing is
    judged.
    Words that the store does not keep are left out.
    """
    row = next(row for row in branch.stages if row.stage == stage)
    stated = any(need.job == row.job and need.kind == KIT for need in branch.requirements)
    if row.kind != "roof" or hours[stage].begun or hours[stage].done or stated:
        return {}
    if not _judged(branch):
        return {}
    alike = [other for other in branch.stages if (other.job, other.kind) == (row.job, row.kind)]
    shares = stage_shares(alike)
    before = _left_over_by(branch, alike, stage)
    shares_before = sum(shares[other] for other in before)
    share_to_draw = sum(shares[o] for o in before if not (hours[o].begun or hours[o].done))
    own: dict[str, float] = {}
    theirs: dict[str, float] = {}
    serving = _serving_items(branch)
    for word, kind, pieces in _pieces(branch, takeoffs[row.job]):
        item = _item_for(serving.get(word, ()), kind, branch)
        if item is not None and pieces > 0:
            up_to = _whole(pieces * shares_before)
            own_pieces = _whole(pieces * (shares_before + shares[stage])) - up_to
            drawn = _whole(pieces * (shares_before - share_to_draw))
            own[item.item] = own.get(item.item, 0.0) + own_pieces / item.pack
            theirs[item.item] = theirs.get(item.item, 0.0) + (up_to - drawn) / item.pack
    return {
        item: float(_whole(theirs[item] + units) - _whole(theirs[item]))
        for item, units in own.items()
    }


def _left_over_by(branch: Branch, alike: Sequence[Stage], stage: str) -> frozenset[str]:
    """Of a job's stages of one kind: those before `stage`, where all of them follow each other.

    Elsewhere none: of two stages that may come in any order, neither can count on what the other
    leaves over.
    """
    if len(alike) == 1:
        return frozenset()
    after = {row.stage: row.after for row in branch.stages}
    names = {row.stage for row in alike}

    def before(name: str) -> frozenset[str]:
        seen: set[str] = set()
        to_see = list(after[name])
        while to_see:
            other = to_see.pop()
            if other not in seen:
                seen.add(other)
                to_see += after[other]
        return frozenset(seen & names)

    one_by_one = len({len(before(name)) for name in names}) == len(names)
    return before(stage) if one_by_one else frozenset()


def share_before(branch: Branch, stage: Stage) -> float:
    """Share of the job's work of its kind in the stages before it, whose pieces it counts on.

    0 where the stages may come in any order; see `kit`.
    """
    alike = [other for other in branch.stages if (other.job, other.kind) == (stage.job, stage.kind)]
    shares = stage_shares(alike)
    return sum(shares[other] for other in _left_over_by(branch, alike, stage.stage))


def _whole(units: float) -> int:
    return math.ceil(units - _ROUNDING)


def supply(branch: Branch) -> Supply:
    """What is on hand and on order, and which words of the take-off are not judged."""
    if not _judged(branch):
        return Supply({}, {}, False, ("material not judged: neither stock nor arrivals",))
    on_hand: dict[str, float] = {}
    for row in branch.stock:
        on_hand[row.item] = on_hand.get(row.item, 0.0) + row.on_hand
    arrivals: dict[str, list[tuple[date, float]]] = {}
    for due in branch.arrivals:
        arrivals.setdefault(due.item, []).append((due.expected_on, due.quantity))
    serving = _serving_items(branch)
    used = words_used(frozenset(plane.covering for plane in branch.planes))
    absent = [word for word in used if word not in serving]
    return Supply(
        on_hand,
        {item: tuple(sorted(rows)) for item, rows in arrivals.items()},
        True,
        (f"not kept in the store, so not judged: {', '.join(absent)}",) if absent else (),
    )


def _judged(branch: Branch) -> bool:
    return bool({"stock", "arrivals"} & branch.present)


def _serving_items(branch: Branch) -> dict[str, tuple[Item, ...]]:
    """Items by the take-off's word that they serve; a word may stand in stock by itself."""
    serving: dict[str, list[Item]] = {}
    for item in branch.items:
        serving.setdefault(item.takeoff_item or item.item, []).append(item)
    for name in (*(row.item for row in branch.stock), *(row.item for row in branch.arrivals)):
        if name in TAKEOFF_ITEMS and name not in serving:
            serving[name] = [Item(name, name)]
    return {word: tuple(items) for word, items in serving.items()}


def _item_for(items: tuple[Item, ...], kind: str, branch: Branch) -> Item | None:
    """The item named as the kind of module; else the first that is not some other kind.

    Where the store only keeps other kinds of module, the kind itself: it is then missing.
    """
    if not items or not kind:
        return items[0] if items else None
    others = {row.module for row in branch.modules} - {kind}
    fits = [item for item in items if item.item not in others]
    named = [item for item in fits if item.item == kind]
    return (named or fits or [Item(kind)])[0]


def _pieces(branch: Branch, takeoff: JobTakeOff) -> Iterator[tuple[str, str, int]]:
    """(word, kind of module or empty, pieces) of a whole job."""
    for word, pieces in takeoff.items.items():
        if word != "module":
            yield word, "", pieces
    for plane in branch.planes:
        if plane.job == takeoff.job:
            yield "module", plane.module, sum(plane.rows)
