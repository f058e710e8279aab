"""What each stage takes from the store on its first day, and what may stand in."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import islice, product

from crewplan.labour import stage_shares
from crewplan.model.branch import Branch
from crewplan.model.hours import StageHours
from crewplan.model.job_rows import Plane, Stage
from crewplan.model.material_rows import Item
from crewplan.model.takeoff import JobTakeOff
from crewplan.readiness.needs import KIT
from crewplan.readiness.store import is_judged, serving_items

_ROUNDING = 1e-9
MOST_KITS = 16
"""Kits of one stage that differ in what stands in, the fewest changes first. Assumed."""

Kit = Mapping[str, float]
"""Stocked units of each store item."""


@dataclass(frozen=True, slots=True)
class _Pieces:
    """Pieces of one item: of the stage, and of the stages before it that have yet to draw."""

    item: Item
    own: int
    theirs: int

    def units(self, item: Item) -> float:
        """Stocked units that the stage draws, if it is this item."""
        theirs = self.theirs / item.pack
        return float(_whole(theirs + self.own / item.pack) - _whole(theirs))


@dataclass(frozen=True, eq=False)
class Kits:
    """The kits of a branch; what they look up is looked up once."""

    branch: Branch
    takeoffs: Mapping[str, JobTakeOff]
    hours: Mapping[str, StageHours]

    @cached_property
    def _stages(self) -> dict[str, Stage]:
        return {row.stage: row for row in self.branch.stages}

    @cached_property
    def _alike(self) -> dict[tuple[str, str], list[Stage]]:
        found: dict[tuple[str, str], list[Stage]] = {}
        for row in self.branch.stages:
            found.setdefault((row.job, row.kind), []).append(row)
        return found

    @cached_property
    def _planes(self) -> dict[str, list[Plane]]:
        found: dict[str, list[Plane]] = {}
        for row in self.branch.planes:
            found.setdefault(row.job, []).append(row)
        return found

    @cached_property
    def _serving(self) -> dict[str, tuple[Item, ...]]:
        return serving_items(self.branch)

    @cached_property
    def _items(self) -> dict[str, Item]:
        return {row.item: row for row in self.branch.items}

    @cached_property
    def _kinds(self) -> frozenset[str]:
        return frozenset(row.module for row in self.branch.modules)

    @cached_property
    def _stated(self) -> frozenset[str]:
        return frozenset(row.job for row in self.branch.requirements if row.kind == KIT)

    def _pieces(self, stage: str) -> dict[str, _Pieces]:
        """By item; empty: the stage draws nothing. See `kit`."""
        row = self._stages[stage]
        if row.kind != "roof" or self.hours[stage].begun or self.hours[stage].done:
            return {}
        if row.job in self._stated or not is_judged(self.branch):
            return {}
        alike = self._alike[row.job, row.kind]
        shares = stage_shares(alike)
        before = left_over_by(alike, stage, self._stages)
        shares_before = sum(shares[other] for other in before)
        to_draw = [o for o in before if not (self.hours[o].begun or self.hours[o].done)]
        share_to_draw = sum(shares[other] for other in to_draw)
        found: dict[str, _Pieces] = {}
        for word, kind, pieces in self._wanted(row.job):
            item = _item_for(self._serving.get(word, ()), kind, self._kinds)
            if item is None or pieces <= 0:
                continue
            up_to = _whole(pieces * shares_before)
            own = _whole(pieces * (shares_before + shares[stage])) - up_to
            drawn = _whole(pieces * (shares_before - share_to_draw))
            held = found.get(item.item, _Pieces(item, 0, 0))
            found[item.item] = _Pieces(item, held.own + own, held.theirs + up_to - drawn)
        return found

    def _wanted(self, job: str) -> Iterator[tuple[str, str, int]]:
        """(word, kind of module or empty, pieces) of a whole job."""
        for word, pieces in self.takeoffs[job].items.items():
            if word != "module":
                yield word, "", pieces
        for plane in self._planes.get(job, ()):
            yield "module", plane.module, sum(plane.rows)

    def of(self, stage: str) -> dict[str, float]:
        """Stocked units of each item that the stage takes from stock; empty: none."""
        return {name: held.units(held.item) for name, held in self._pieces(stage).items()}

    @cached_property
    def _drawn(self) -> dict[str, float]:
        """Units that all stages together take."""
        found: dict[str, float] = {}
        for stage in self._stages:
            for item, units in self.of(stage).items():
                found[item] = found.get(item, 0.0) + units
        return found

    def stand_ins(self, stage: str, on_hand: Mapping[str, float]) -> tuple[tuple[Kit, float], ...]:
        """Other kits with which the stage can do, and how much dearer each is than its own.

        An item gives way whole, to one that its row names, and only where the store does not hold
        enough of it for all stages: elsewhere nobody needs to ask.
        """
        pieces = self._pieces(stage)
        options: list[list[Item]] = []
        for name, held in pieces.items():
            short = self._drawn[name] > on_hand.get(name, 0.0) + _ROUNDING
            named = self._items[name].substitutes if short and name in self._items else ()
            options.append([held.item, *(self._items.get(n, Item(n)) for n in named if n != name)])
        mixes = sorted(
            islice(product(*(range(len(row)) for row in options)), 4 * MOST_KITS),
            key=lambda mix: sum(at > 0 for at in mix),
        )
        found: list[tuple[Kit, float]] = []
        for mix in mixes[1:MOST_KITS]:
            kit: dict[str, float] = {}
            dearer = 0.0
            for held, row, at in zip(pieces.values(), options, mix, strict=True):
                units = held.units(row[at])
                kit[row[at].item] = kit.get(row[at].item, 0.0) + units
                own_cost = held.units(held.item) * held.item.unit_cost
                dearer += units * row[at].unit_cost - own_cost
            found.append((kit, max(dearer, 0.0)))
        return tuple(found)


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
    return Kits(branch, takeoffs, hours).of(stage)


def left_over_by(alike: Sequence[Stage], stage: str, stages: Mapping[str, Stage]) -> frozenset[str]:
    """Of a job's stages of one kind: those before `stage`, where all of them follow each other.

    Elsewhere none: of two stages that may come in any order, neither can count on what the other
    leaves over.
    """
    if len(alike) == 1:
        return frozenset()
    names = {row.stage for row in alike}

    def before(name: str) -> frozenset[str]:
        seen: set[str] = set()
        to_see = list(stages[name].after)
        while to_see:
            other = to_see.pop()
            if other not in seen:
                seen.add(other)
                to_see += stages[other].after
        return frozenset(seen & names)

    one_by_one = len({len(before(name)) for name in names}) == len(names)
    return before(stage) if one_by_one else frozenset()


def share_before(branch: Branch, stage: Stage) -> float:
    """Share of the job's work of its kind in the stages before it, whose pieces it counts on.

    0 where the stages may come in any order; see `kit`.
    """
    alike = [other for other in branch.stages if (other.job, other.kind) == (stage.job, stage.kind)]
    shares = stage_shares(alike)
    every = {row.stage: row for row in branch.stages}
    return sum(shares[other] for other in left_over_by(alike, stage.stage, every))


def _whole(units: float) -> int:
    return math.ceil(units - _ROUNDING)


def _item_for(items: tuple[Item, ...], kind: str, kinds: frozenset[str]) -> Item | None:
    """The item named as the kind of module; else the first that is not some other kind.

    Where the store only keeps other kinds of module, the kind itself: it is then missing.
    """
    if not items or not kind:
        return items[0] if items else None
    fits = [item for item in items if item.item == kind or item.item not in kinds]
    named = [item for item in fits if item.item == kind]
    return (named or fits or [Item(kind)])[0]
