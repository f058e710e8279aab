"""A project of activities with modes, order and resources as a selection of booleans.

A column is an activity in a mode from a start. The rows are made by the scheduling core's own
builders, so that a published optimum tests them.
"""

from dataclasses import dataclass

import numpy as np

from crewplan.scheduling.engines import engine
from crewplan.scheduling.rows import capacity_rows, count_row, order_rows
from crewplan.scheduling.selection import assemble
from crewplan.scheduling.stop import Stop


@dataclass(frozen=True)
class Project:
    """Activity 0 starts the project and the last one ends it; both take no time."""

    capacities: tuple[int, ...]
    renewable: tuple[bool, ...]
    modes: tuple[tuple[tuple[int, tuple[int, ...]], ...], ...]
    """By activity and mode: duration and demand of each resource."""
    after: tuple[tuple[int, ...], ...]
    """By activity: those that follow it."""


def topological(project):
    waits = [0] * len(project.modes)
    for followers in project.after:
        for follower in followers:
            waits[follower] += 1
    order = [a for a, n in enumerate(waits) if n == 0]
    for activity in order:
        for follower in project.after[activity]:
            waits[follower] -= 1
            if waits[follower] == 0:
                order.append(follower)
    return order


def earliest_and_tail(project):
    """By activity: earliest start, and shortest time from its start to the project's end."""
    shortest = [min(d for d, _ in modes) for modes in project.modes]
    earliest, tail = [0] * len(shortest), [0] * len(shortest)
    order = topological(project)
    for activity in order:
        for follower in project.after[activity]:
            earliest[follower] = max(earliest[follower], earliest[activity] + shortest[activity])
    for activity in reversed(order):
        longest = max((tail[f] for f in project.after[activity]), default=0)
        tail[activity] = shortest[activity] + longest
    return earliest, tail


def frugal_modes(project):
    """One mode each, within the resources that are used up, short ones if they can be had."""
    pairs = [(a, m) for a, modes in enumerate(project.modes) for m in range(len(modes))]
    rows = [
        count_row([c for c, (b, _) in enumerate(pairs) if a == b], 1, 1)
        for a in range(len(project.modes))
    ]
    rows += capacity_rows(
        (
            (r, c, project.modes[a][m][1][r])
            for c, (a, m) in enumerate(pairs)
            for r, again in enumerate(project.renewable)
            if not again and project.modes[a][m][1][r]
        ),
        dict(enumerate(project.capacities)),
    )
    cost = np.array([project.modes[a][m][0] for a, m in pairs], dtype=np.int64)
    chosen = engine("highs")(
        assemble(cost, rows), None, Stop(seconds=None, gap=0.0, steps=100_000)
    ).picked
    return [m for (_, m), take in zip(pairs, chosen, strict=True) if take]


def list_schedule(project, modes):
    """Starts by activity: each as early as it fits, the one with the longest tail first."""
    _, tail = earliest_and_tail(project)
    used = {}
    starts = {}
    before = {a: {b for b, f in enumerate(project.after) if a in f} for a in range(len(modes))}
    while len(starts) < len(modes):
        ready = [a for a in before if a not in starts and before[a] <= starts.keys()]
        activity = max(ready, key=lambda a: (tail[a], -a))
        duration, demands = project.modes[activity][modes[activity]]
        start = max(
            (starts[b] + project.modes[b][modes[b]][0] for b in before[activity]), default=0
        )
        scarce = [r for r, again in enumerate(project.renewable) if again and demands[r]]
        while any(
            used.get((r, t), 0) + demands[r] > project.capacities[r]
            for r in scarce
            for t in range(start, start + duration)
        ):
            start += 1
        for r in scarce:
            for t in range(start, start + duration):
                used[r, t] = used.get((r, t), 0) + demands[r]
        starts[activity] = start
    return [starts[a] for a in range(len(modes))]


def time_indexed(project):
    """The selection that costs the project's length, and a choice to start from."""
    modes = frugal_modes(project)
    by_hand = list_schedule(project, modes)
    length = by_hand[-1]
    earliest, tail = earliest_and_tail(project)
    columns = [
        (a, m, start)
        for a, choices in enumerate(project.modes)
        for m, (duration, _) in enumerate(choices)
        for start in range(
            earliest[a],
            length - max((tail[f] for f in project.after[a]), default=0) - duration + 1,
        )
    ]
    of = {a: [] for a in range(len(project.modes))}
    for c, (a, _, _) in enumerate(columns):
        of[a].append(c)
    starts = np.array([s for _, _, s in columns], dtype=np.int64)
    ends = np.array([s + project.modes[a][m][0] for a, m, s in columns], dtype=np.int64)
    rows = [count_row(found, 1, 1) for found in of.values()]
    for a, followers in enumerate(project.after):
        for f in followers:
            before, after = np.array(of[a]), np.array(of[f])
            rows += order_rows(before, ends[before], after, starts[after])

    def uses():
        for c, (a, m, start) in enumerate(columns):
            duration, demands = project.modes[a][m]
            for r, amount in enumerate(demands):
                if amount and not project.renewable[r]:
                    yield (r, None), c, amount
                elif amount:
                    for t in range(start, start + duration):
                        yield (r, t), c, amount

    capacity = {(r, None): n for r, n in enumerate(project.capacities)}
    capacity |= {(r, t): n for r, n in enumerate(project.capacities) for t in range(length)}
    rows += capacity_rows(uses(), capacity)
    last = len(project.modes) - 1
    cost = np.array([s if a == last else 0 for a, _, s in columns], dtype=np.int64)
    seat = {(a, modes[a], s) for a, s in enumerate(by_hand)}
    start = np.array([column in seat for column in columns], dtype=np.bool_)
    return assemble(cost, rows), start
