"""Small random choices with every rule in them, for hypothesis."""

from dataclasses import replace
from datetime import date

from hypothesis import strategies as st

from crewplan.model.horizon import Horizon
from crewplan.model.placement import Choices, Keep, Part, Placement, StageToPlace

DAYS = (date(2026, 5, 7), date(2026, 5, 8), date(2026, 5, 11))
"""Thursday, Friday and Monday: a weekend in the middle, so that gaps in days are not in cells."""

PARTS = ("lateness", "travel", "lost hours")


def in_two(draw, horizon, whole):
    """The same start, left open after its first half-day; where the horizon has room for it."""
    back = whole.start + draw(st.integers(2, 3))
    last = back + draw(st.integers(0, 1))
    if last >= len(horizon.cells):
        return []
    cost = {**whole.cost, "left open": draw(st.integers(0, 3_000))}
    first, second = (whole.start,), tuple(range(back, last + 1))
    parts = (
        Part(first, whole.people, 2.0, 2.5, 0.0, {}),
        Part(second, whole.people, 2.0, 2.5, 0.0, cost),
    )
    return [replace(whole, cells=(*first, *second), cost=cost, parts=parts)]


def shared_drives(draw, placements):
    """Some of the pairs of short visits that stand at the same place, cheaper and shorter."""
    short = [p for p in placements if p.short_h is not None]
    for i, one in enumerate(short):
        for other in short[i + 1 :]:
            there = (one.crew, one.cells) == (other.crew, other.cells)
            if one.stage == other.stage or not there or not draw(st.booleans()):
                continue
            for p, partner in ((one, other), (other, one)):
                less = {**p.cost, "travel": p.cost["travel"] // 2}
                yield replace(p, with_visit=partner.stage, short_h=p.short_h / 2, cost=less)


def with_overtime(draw, whole):
    """The same start, done a half-day sooner or in the first day's half: longer days are paid."""
    cells = whole.cells[: max(1, len(whole.cells) - draw(st.integers(1, 2)))]
    cost = {**whole.cost, "overtime": draw(st.integers(0, 6_000))}
    return replace(whole, cells=cells, cost=cost, overtime_h=1.5, short_h=None)


def dearer(draw, part, most_cents, placements):
    """Some of them with one more part of the price."""
    for p in placements:
        cents = draw(st.integers(0, most_cents))
        yield replace(p, cost={**p.cost, part: cents}) if cents else p


def by_its_starter(draw, crews, placements):
    """Who did not start a job pays the same for it everywhere; nobody does where nobody started."""
    starter, cents = draw(st.sampled_from(("", *crews))), draw(st.integers(1, 9_000))
    for p in placements:
        other = starter not in ("", p.crew)
        yield replace(p, cost={**p.cost, "another crew": cents}) if other else p


@st.composite
def small_choices(draw):
    horizon = Horizon(
        DAYS[: draw(st.integers(2, 3))],
        frozenset(DAYS[: draw(st.sampled_from((0, 0, 1)))]),
    )
    crews = ("North", "South", "West")[: draw(st.integers(2, 3))]
    names = [f"S{i}" for i in range(draw(st.integers(2, 5)))]
    stages, placements = [], []
    # each setting is on in a third of the weeks, whatever the others are
    overtime, worst, starter = (draw(st.sampled_from((True, False, False))) for _ in range(3))
    for number, name in enumerate(names):
        kind = draw(st.sampled_from(("roof", "roof", "electrical", "inspection", "inspection")))
        offered = draw(
            st.lists(
                st.tuples(st.sampled_from(crews), st.sampled_from(horizon.cells)),
                max_size=5,
                unique=True,
            )
        )
        length = 1 if kind == "inspection" else draw(st.integers(1, 3))
        for crew, start in offered:
            if start + length > len(horizon.cells):
                continue
            cost = {part: draw(st.integers(0, 9_999)) for part in PARTS}
            short = draw(st.sampled_from((1.5, 2.1, 3.2))) if kind == "inspection" else None
            placements.append(
                Placement(
                    name,
                    crew,
                    tuple(range(start, start + length)),
                    ("Ada",),
                    "Ada",
                    4.0,
                    5.0,
                    0.0,
                    1.0,
                    1.0,
                    1.0,
                    True,
                    cost,
                    short,
                )
            )
            whole = placements[-1]
            if kind == "roof" and draw(st.booleans()):
                placements += in_two(draw, horizon, whole)
            if overtime and length > 1:
                placements.append(with_overtime(draw, whole))
        own = [p for p in placements if p.stage == name]
        placements = [p for p in placements if p.stage != name]
        if worst:
            own = list(dearer(draw, "worst weathers", 4_000, own))
        if starter:
            own = list(by_its_starter(draw, crews, own))
        placements += own
        keep = None
        if own and draw(st.sampled_from((False, False, False, True))):
            at = draw(st.sampled_from(own))
            again = at.part_starts[1] if at.parts and draw(st.booleans()) else None
            keep = Keep(at.crew, at.start, draw(st.booleans()), again)
        before = (
            draw(st.lists(st.sampled_from(names[:number]), max_size=2, unique=True))
            if number
            else []
        )
        stages.append(
            StageToPlace(
                name,
                f"J{number}",
                kind,
                draw(st.sampled_from(("Hill", "Hill", "Vale"))),
                draw(st.sampled_from(DAYS)),
                draw(st.integers(1, 3)),
                tuple(before),
                draw(st.integers(0, 2)) if before else 0,
                {"module": draw(st.sampled_from((4.0, 7.25, 10.0)))} if kind == "roof" else {},
                {crew: ("boom",) for crew in crews if draw(st.sampled_from((False, False, True)))},
                {
                    "later": draw(st.sampled_from((4_000, 20_000, 40_000)))
                    + draw(st.integers(0, 999))
                },
                keep,
                keep is not None,
                draw(st.booleans()),
                left_open_by=draw(st.sampled_from(("", "", "", "North"))),
            )
        )
    placements += shared_drives(draw, placements)
    arrivals = draw(
        st.lists(st.tuples(st.sampled_from(DAYS), st.sampled_from((5.0, 12.5))), max_size=2)
    )
    return Choices(
        horizon,
        crews,
        tuple(stages),
        tuple(placements),
        (),
        (4.25, 4.0),
        {"boom": draw(st.integers(0, 1))},
        {"Hill": 1},
        {"module": draw(st.sampled_from((0.0, 7.25, 15.0, 100.0)))},
        {"module": tuple(sorted(arrivals))},
        draw(st.sampled_from((True, True, False))),
        draw(st.sampled_from((1, 1, 2))),
        draw(st.sampled_from((0, 7, 40))),
    )
