"""Choices of a stage or two, written out by hand."""

from datetime import date

from crewplan.model.horizon import Horizon
from crewplan.model.placement import Choices, Placement, StageToPlace

THURSDAY, FRIDAY, MONDAY = date(2026, 5, 7), date(2026, 5, 8), date(2026, 5, 11)
DAYS = (THURSDAY, FRIDAY, MONDAY)


def at(stage, crew, *cells, cents=1000, short_h=None, granted=True):
    """A placement that costs `cents`."""
    return Placement(
        stage,
        crew,
        cells,
        ("Ada", "Bo"),
        "Ada",
        8.0,
        9.0,
        0.0,
        1.0,
        1.0,
        1.0,
        granted,
        {"travel": cents},
        short_h,
    )


def to_place(stage, **changes):
    """A roof stage that is left out for 500.00."""
    values = {
        "stage": stage,
        "job": f"J{stage}",
        "kind": "roof",
        "authority": "Hill",
        "due_on": FRIDAY,
        "priority": 2,
        "after": (),
        "gap_days": 0,
        "kit": {},
        "shared_equipment": {},
        "unplaced_cost": {"later": 50_000},
        "keep": None,
        "published": False,
        "promised": False,
    }
    return StageToPlace(**(values | changes))


def choose(stages, placements, **changes):
    """Choices over a Thursday, a Friday and the Monday after, with crews North and South."""
    values = {
        "horizon": Horizon(DAYS, changes.pop("frozen", frozenset())),
        "crews": ("North", "South"),
        "stages": tuple(stages),
        "placements": tuple(placements),
        "done": (),
        "half_day_h": (4.25, 4.25),
        "equipment": {},
        "inspections_per_day": {},
        "on_hand": {},
        "arrivals": {},
        "material_judged": True,
    }
    return Choices(**(values | changes))
