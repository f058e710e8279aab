"""The walk of all members at once against plain loops over hours; cases random, nothing tuned."""

from datetime import date

import numpy as np
import pytest
from builders import settings
from hypothesis import given
from hypothesis import settings as effort
from hypothesis import strategies as st
from plain_walk import least_cells, worst_tenth

from crewplan.model.calendar import shift_hours, working_days
from crewplan.model.hours import StageHours, StepHours
from crewplan.placing.blocks import blocks_of
from crewplan.placing.fits import fits, fits_if_calm
from crewplan.placing.levels import Levels
from crewplan.placing.timeline import shift_of_days, timeline
from crewplan.placing.worst_weathers import mean_of_worst

EXPOSURES = ("ground", "roof", "lift")


def hours_of(steps, spread=0.3):
    total = sum(step.p50_h for step in steps)
    return StageHours("S1", tuple(steps), total, total, total, total, spread, False, False)


def random_steps(rng, on_quarters):
    steps = []
    for i in range(rng.integers(1, 8)):
        before = tuple(s.step for s in steps if rng.random() < 0.4)
        hours = rng.integers(1, 24) / 4 if on_quarters else rng.uniform(0.05, 9)
        steps.append(StepHours(f"s{i}", str(rng.choice(EXPOSURES)), before, hours, 0.3, 1, "test"))
    return tuple(steps)


def random_levels(rng, members, hours):
    calm = rng.random()
    rows = rng.choice([0, 1, 2, 3], size=(members, hours), p=[(1 - calm) / 3] * 3 + [calm])
    return np.sort(rows, axis=1) if rng.random() < 0.1 else rows


@effort(max_examples=120, deadline=None, derandomize=True)
@given(seed=st.integers(0, 2**32 - 1), on_quarters=st.booleans())
def test_walking_all_members_at_once_says_the_same_as_plain_loops(seed, on_quarters):
    rng = np.random.default_rng(seed)
    branch = settings(
        shift_h=float(rng.choice([4, 7.5, 9])), break_h=float(rng.choice([0, 0.5, 1]))
    )
    days = working_days(branch, date(2026, 5, 4), int(rng.integers(1, 5)))
    hour_starts, shifts = shift_of_days(branch, days)
    count = rng.integers(1, 5, size=len(days))
    pace = count * 1.0 if on_quarters else count * rng.uniform(0.5, 1.5, size=len(days))
    drive = float(rng.choice([0, 0.25, 1.0, 2.5])) if on_quarters else float(rng.uniform(0, 2.6))
    usable = tuple(d for d in range(len(days)) if rng.random() < 0.8)
    line = timeline(shifts, usable, pace, count, drive)
    steps, spread = random_steps(rng, on_quarters), float(rng.choice([0.0, 0.3, 0.8]))
    level = random_levels(rng, int(rng.integers(1, 6)), len(hour_starts)).astype(np.int8)
    rows, weight = np.unique(level, axis=0, return_counts=True)
    first = np.flatnonzero(line.may_start)
    if not len(first):
        return
    least, most = float(rng.choice([0.3, 0.7, 0.9, 1.0])), int(rng.integers(1, 9))
    found = fits(
        blocks_of(hours_of(steps)),
        spread,
        line,
        Levels(rows, weight.astype(np.int64)),
        first,
        np.full(len(first), least),
        most,
    )
    starts, laid_out = 0, []
    for day in days:
        laid_out.append((shift_hours(branch, day), starts))
        starts += len(laid_out[-1][0])
    for i, position in enumerate(first):
        plain = least_cells(
            steps,
            spread,
            line.cells[position],
            [cell for day in usable for cell in (2 * day, 2 * day + 1)],
            laid_out,
            drive,
            pace,
            count,
            level,
            least,
            most,
        )
        if plain is None:
            assert found.last[i] == -1
            continue
        cells, p_go, p_finish, lost, by_member = plain
        assert line.cells[position : found.last[i] + 1] == cells
        assert found.p_go[i] == pytest.approx(p_go)
        assert found.p_finish[i] == pytest.approx(p_finish)
        assert found.lost_h[i] == pytest.approx(lost, abs=1e-5)
        losses = [36.0 * hours + 420.0 * undone for hours, undone in by_member]
        worst = mean_of_worst(36.0 * found.lost_in[:, i] + 420.0 * found.undone_in[:, i], weight)
        assert worst == pytest.approx(worst_tenth(losses), abs=1e-3)


@effort(max_examples=100, deadline=None, derandomize=True)
@given(seed=st.integers(0, 2**32 - 1), on_quarters=st.booleans())
def test_what_fits_if_calm_is_what_a_walk_through_open_hours_says(seed, on_quarters):
    rng = np.random.default_rng(seed)
    branch = settings(shift_h=float(rng.choice([4, 7.5, 9])))
    days = working_days(branch, date(2026, 5, 4), int(rng.integers(1, 5)))
    hour_starts, shifts = shift_of_days(branch, days)
    count = rng.integers(1, 4, size=len(days))
    pace = count * 1.0 if on_quarters else count * rng.uniform(0.5, 1.5, size=len(days))
    drive = float(rng.choice([0, 0.25, 1.0, 2.5])) if on_quarters else float(rng.uniform(0, 2.6))
    line = timeline(shifts, tuple(range(len(days))), pace, count, drive)
    blocks = blocks_of(hours_of(random_steps(rng, on_quarters)))
    first, spread = np.flatnonzero(line.may_start), float(rng.choice([0.0, 0.3, 0.8]))
    least = rng.choice([0.3, 0.7, 0.9, 1.0], size=len(first))
    most = int(rng.integers(1, 9))
    open_hours = Levels(np.full((1, len(hour_starts)), 3, np.int8), np.ones(1, np.int64))
    if len(first):
        walked = fits(blocks, spread, line, open_hours, first, least, most).last >= 0
        assert fits_if_calm(blocks, spread, line, first, least, most).tolist() == walked.tolist()
