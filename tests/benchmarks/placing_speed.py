"""How long placing's walk takes: python tests/benchmarks/placing_speed.py

Two sizes, each on one core: the aim of 240 stages x 4 crew classes x 20 starts x 31 members at
hourly grain (2 s), and the demo's 70 stages x 8 crews x 20 starts x 21 members. The weather is
invented: about every fifth hour is shut for lifting, and no two members are alike.
"""

import time
from datetime import date

import numpy as np

from crewplan.model.calendar import working_days
from crewplan.model.hours import StageHours, StepHours
from crewplan.model.settings import Settings
from crewplan.placing.blocks import blocks_of
from crewplan.placing.fits import fits
from crewplan.placing.levels import Levels
from crewplan.placing.timeline import shift_of_days, timeline

STEPS = (
    ("unload_and_prepare", "ground", 0.06, ()),
    ("fall_protection", "roof", 0.1, ()),
    ("attachments", "roof", 0.3, ("fall_protection",)),
    ("rails", "roof", 0.13, ("attachments",)),
    ("lift", "lift", 0.15, ("unload_and_prepare", "rails")),
    ("set_and_clamp", "lift", 0.16, ("lift",)),
    ("torque_check", "roof", 0.05, ("set_and_clamp",)),
    ("clear_up", "ground", 0.05, ("torque_check",)),
)


def invented_stage(rng: np.random.Generator) -> StageHours:
    """A roof of 15 to 60 person-hours."""
    total = float(rng.uniform(15, 60))
    steps = tuple(StepHours(n, e, a, share * total, 0.3, 2, "") for n, e, share, a in STEPS)
    return StageHours("S", steps, total, total, 1.25 * total, 1.4 * total, 0.3, False, False)


def invented_levels(rng: np.random.Generator, members: int, hours: int) -> Levels:
    """Wind that remembers the hour before: about 0.2 of hours shut for lifting."""
    wind = rng.normal(size=(members, hours))
    for hour in range(1, hours):
        wind[:, hour] = 0.9 * wind[:, hour - 1] + 0.436 * wind[:, hour]
    level = 3 - (wind > 0.84).astype(np.int8) - (wind > 1.5).astype(np.int8)
    rows, weight = np.unique(level.astype(np.int8), axis=0, return_counts=True)
    return Levels(rows, weight.astype(np.int64))


def measure(stages: int, classes: int, members: int, days: int = 10) -> float:
    """Seconds for all walks and the choice of half-days from every start."""
    rng = np.random.default_rng(3)
    settings = Settings("x", "America/Chicago", 46.8, -92.1)
    hour_starts, shifts = shift_of_days(settings, working_days(settings, date(2026, 5, 4), days))
    work = [invented_stage(rng) for _ in range(stages)]
    sites = [invented_levels(rng, members, len(hour_starts)) for _ in range(stages)]
    first, least = np.arange(2 * days), np.full(2 * days, 0.7)
    begin = time.perf_counter()
    for hours, levels in zip(work, sites, strict=True):
        blocks = blocks_of(hours)
        for crew in range(classes):
            count = np.full(days, 2 + crew % 3)
            line = timeline(shifts, tuple(range(days)), count * 0.95, count, 0.2 + 0.1 * crew)
            fits(blocks, hours.spread, line, levels, first, least, 40)
    return time.perf_counter() - begin


if __name__ == "__main__":
    for stages, classes, members in ((240, 4, 31), (70, 8, 21)):
        seconds = measure(stages, classes, members)
        print(f"{stages} stages x {classes} crew classes x 20 starts x {members}: {seconds:.2f} s")
