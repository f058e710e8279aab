"""Choices of an invented branch of any size, seeded; figures assumed."""

import random
from datetime import date, timedelta

from crewplan.model.horizon import Horizon
from crewplan.model.placement import Choices, Placement, StageToPlace

FIRST = date(2026, 5, 4)
DAY_H = (4.25, 4.25)


def working_days(count):
    days, day = [], FIRST
    while len(days) < count:
        if day.weekday() < 5:
            days.append(day)
        day += timedelta(days=1)
    return tuple(days)


def _lateness(horizon, end, due):
    late = max(0, (horizon.day_of(end) - due).days)
    return 3000 * late + 500 * late * late


def invented_choices(crews=12, stages=60, days=10, seed=0):
    """A roof stage and an electrical stage a job, some with a short inspection visit."""
    rng = random.Random(seed)
    horizon = Horizon(working_days(days), frozenset())
    names = tuple(f"C{i}" for i in range(crews))
    base = {crew: (rng.uniform(0, 60), rng.uniform(0, 60)) for crew in names}
    to_place, placements = [], []
    job = 0
    while len(to_place) < stages:
        job += 1
        site = rng.uniform(0, 60), rng.uniform(0, 60)
        due = FIRST + timedelta(days=rng.randint(0, 20))
        kinds = ["roof", "electrical"] + (["inspection"] if rng.random() < 0.3 else [])
        before = ()
        for kind in kinds[: stages - len(to_place)]:
            name = f"S{len(to_place) + 1}"
            length = {"roof": rng.choice((2, 2, 3, 4)), "electrical": rng.choice((1, 2))}.get(
                kind, 1
            )
            may = names if kind == "roof" else rng.sample(names, max(1, (2 * crews) // 3))
            ready = rng.randint(0, days)
            hoist = rng.random() < 0.15
            kit = {"module": float(rng.randint(12, 30))} if kind == "roof" else {}
            for crew in may:
                km = abs(base[crew][0] - site[0]) + abs(base[crew][1] - site[1])
                for start in range(ready, 2 * days - length + 1):
                    cells = tuple(range(start, start + length))
                    lost = rng.choice((0, 0, 0, 1, 2, 5)) if kind == "roof" else 0
                    cost = {
                        "lateness": _lateness(horizon, cells[-1], due),
                        "travel": int(180 * km * (1 + (length - 1) // 2)),
                        "lost hours": lost * 11000 // 3,
                        "start": 40 * start,
                    }
                    placements.append(
                        Placement(
                            name,
                            crew,
                            cells,
                            ("A", "B"),
                            "A",
                            6.0 * length,
                            7.0 * length,
                            float(lost),
                            1.0,
                            1.0,
                            1.0,
                            True,
                            cost,
                            round(0.7 + km / 50, 3) if kind == "inspection" else None,
                        )
                    )
            late = _lateness(horizon, 2 * days - 1, due - timedelta(days=4))
            to_place.append(
                StageToPlace(
                    name,
                    f"J{job}",
                    kind,
                    rng.choice(("North", "South")),
                    due,
                    rng.randint(1, 3),
                    before,
                    rng.choice((0, 0, 1)) if before else 0,
                    kit,
                    {crew: ("boom",) for crew in names if hoist and crew not in names[:2]},
                    {"left for later": 60000 + late},
                    None,
                    False,
                    due <= horizon.days[-1],
                )
            )
            before = (name,)
    return Choices(
        horizon,
        names,
        tuple(to_place),
        tuple(placements),
        (),
        DAY_H,
        {"boom": 1},
        {"North": 2},
        {"module": 250.0},
        {"module": ((horizon.days[days // 2], 20.0 * stages),)},
        True,
    )
