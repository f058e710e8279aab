"""One stage on one crew at a time, as late as little as it weighs; made for this project, seeded.

Source: shared/benchmarks/README.md, weighted_lateness, with its known values. A column is a stage
on a crew from a slot; the rows are made by the scheduling core's own builders.
"""

import json
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from crewplan.scheduling.rows import capacity_rows, count_row
from crewplan.scheduling.selection import Places, assemble

FILES = Path(__file__).parents[3] / "shared" / "benchmarks" / "weighted_lateness"
KNOWN = {"4x20": 8, "12x60": 0}


@dataclass(frozen=True)
class Lateness:
    """`duration` by stage and crew, None: that crew cannot; times in slots."""

    crews: int
    slots: int
    release: tuple[int, ...]
    due: tuple[int, ...]
    weight: tuple[int, ...]
    duration: tuple[tuple[int | None, ...], ...]


def read_lateness(name):
    given = json.loads((FILES / f"{name}.json").read_text(encoding="utf-8"))
    return Lateness(
        given["crews"],
        given["slots"],
        tuple(given["release"]),
        tuple(given["due"]),
        tuple(given["weight"]),
        tuple(map(tuple, given["duration"])),
    )


def price(case, seats):
    """Of a crew and a first slot for each stage, after every rule was looked at again."""
    assert len(seats) == len(case.due)
    taken, total = set(), 0
    for stage, (crew, start) in enumerate(seats):
        length = case.duration[stage][crew]
        assert length is not None
        assert case.release[stage] <= start
        assert start + length <= case.slots
        slots = {(crew, slot) for slot in range(start, start + length)}
        assert not slots & taken
        taken |= slots
        total += case.weight[stage] * max(0, start + length - case.due[stage])
    return total


def by_hand(case):
    """A list start: the stage that has least time left first, on the crew that ends it soonest.

    Raises:
        ValueError: where the slots do not suffice for that.
    """
    free = [[True] * case.slots for _ in range(case.crews)]
    seats = [None] * len(case.due)
    shortest = [min(d for d in durations if d) for durations in case.duration]
    for stage in sorted(range(len(case.due)), key=lambda s: (case.due[s] - shortest[s], s)):
        ends = [
            (start + length, length, crew, start)
            for crew, length in enumerate(case.duration[stage])
            if length
            for start in range(case.release[stage], case.slots - length + 1)
            if all(free[crew][start : start + length])
        ]
        end, _, crew, start = min(ends)
        free[crew][start:end] = [False] * (end - start)
        seats[stage] = (crew, start)
    return seats


def columns_of(case):
    """Stage, crew and first slot of each column."""
    return [
        (stage, crew, start)
        for stage, durations in enumerate(case.duration)
        for crew, length in enumerate(durations)
        if length
        for start in range(case.release[stage], case.slots - length + 1)
    ]


def as_selection(case):
    """The selection, and its columns."""
    columns = columns_of(case)
    stage, crew, start = (np.array(one, dtype=np.int64) for one in zip(*columns, strict=True))
    length = np.array([case.duration[s][c] for s, c, _ in columns], dtype=np.int64)
    late = np.maximum(0, start + length - np.array(case.due)[stage])
    rows = [count_row(np.flatnonzero(stage == s), 1, 1) for s in range(len(case.due))]
    rows += capacity_rows(
        (
            ((c, slot), column, 1)
            for column, (s, c, first) in enumerate(columns)
            for slot in range(first, first + case.duration[s][c])
        ),
        {(c, slot): 1 for c in range(case.crews) for slot in range(case.slots)},
    )
    cost = np.array(case.weight, dtype=np.int64)[stage] * late
    return assemble(cost, rows, places=Places(stage, crew, start, start + length - 1)), columns


def seated(columns, seats):
    """A crew and a first slot for each stage as a choice of columns."""
    there = {(stage, *seat) for stage, seat in enumerate(seats)}
    return np.array([column in there for column in columns], dtype=np.bool_)


def seats_of(columns, picked):
    """The other way round."""
    found = {columns[c][0]: columns[c][1:] for c in np.flatnonzero(picked)}
    return [found[stage] for stage in range(len(found))]
