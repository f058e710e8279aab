"""How a stage fits if it is broken off and taken up again: the walk with a hole in it.

The hours between the parts are shut for the walk, member by member, and so are the first open hours
after coming back, until what is set up again is set up. What a member has not done before the hole
is done after it, so that the chance to finish is that of both parts together, not a product.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from crewplan.placing.blocks import Block
from crewplan.placing.breaks import Break
from crewplan.placing.fits import (
    P50,
    QUANTILES,
    SHARE_ROUNDING,
    begins_by,
    done_by,
    duration_scales,
    lost_hours,
)
from crewplan.placing.holes import Again, Holed, begins_again, holes_in
from crewplan.placing.levels import Levels
from crewplan.placing.timeline import ROUNDING_H, Timeline
from crewplan.placing.walk import Floats, Ints, Phase, walk


@dataclass(frozen=True, slots=True, eq=False)
class Broken:
    """A stage in two parts; positions are indices into the time line's half-days."""

    first: int
    leave: int
    """The first half-day without the crew."""
    back: int
    last: int
    p_go: float
    p_finish: float
    lost_before_h: float
    lost_after_h: float
    """Expected person-hours in each part in which nothing could be done."""
    done_before_h: float
    """Table person-hours that are expected to be done in the first part, at P50 hours."""
    lost_in: Floats
    """[M] person-hours lost in both parts by row of members, at P50 hours."""
    undone_in: Floats
    """[M] share of durations in which it is not done."""

    @property
    def cells(self) -> tuple[int, ...]:
        """Positions that it takes."""
        return (*range(self.first, self.leave), *range(self.back, self.last + 1))


LEAST_SAVED = 2
"""A stage is left open only if that saves the crew so many half-days, compared with staying. For
less a drive, a set-up and half-days left open are hardly ever worth it. Assumed."""


def _pairs(
    holes: Sequence[tuple[int, int]], first: Ints, plain_last: Ints, kept: int | None
) -> tuple[Ints, Ints]:
    """Holes and starts worth walking, by index.

    A stage that does not get done by staying does not by going away either; and what is done before
    the hole needs none. `kept`: a hole's end that is tried in any case.
    """
    found = [
        (g, i)
        for g, (leave, back) in enumerate(holes)
        for i, (start, last) in enumerate(zip(first.tolist(), plain_last.tolist(), strict=True))
        if start < leave and (back == kept or (last >= leave and last - leave >= LEAST_SAVED))
    ]
    hole, lane = np.array(found, dtype=np.int64).reshape(-1, 2).T
    return hole, lane


def broken_fits(
    blocks: tuple[Block, ...],
    spread: float,
    again: Again,
    line: Timeline,
    levels: Levels,
    breaks: Sequence[Break],
    first: Ints,
    least: Floats,
    most_cells: int,
    plain_last: Ints,
    kept: int | None = None,
) -> list[Broken]:
    """The least half-days after each break that reach the start's level, where some do.

    Nobody is sent where nothing can be begun on the first day, neither of the first part nor, for
    want of the exposure that is to be set up again, of the second.

    Args:
        blocks: what is left of the stage.
        spread: standard deviation / mean of the stage's hours.
        again: what is done again after the break.
        line: the crew's time at the site.
        levels: of all clock hours of the horizon.
        breaks: to try.
        first: S indices into the line's half-days: where placements start.
        least: S least shares, for P(go) and P(finish) alike.
        most_cells: half-days that both parts may take together.
        plain_last: S last half-days if the crew stays; -1: staying is never enough.
        kept: half-day of the return of a break that is tried whether it saves anything or not.
    """
    holes = holes_in(line, breaks)
    if not holes or not len(first) or not blocks:
        return []
    hole, lane = _pairs(holes, first, plain_last, kept)
    if not len(hole):
        return []
    used, hole = np.unique(hole, return_inverse=True)
    holes = [holes[g] for g in used]
    holed = Holed(line, levels, holes, again)
    members, start = len(levels.weight), first[lane]
    rows = holed.level.reshape(-1, holed.level.shape[2])
    of = (hole[:, None] * members + np.arange(members)).ravel()
    began = np.repeat(line.starts[start], members)[:, None]
    walked = walk(blocks, duration_scales(spread), began, holed.line.edges, rows, of)
    finish = walked.finish.reshape(len(hole), members, -1)
    leave, back = (np.array(holes, dtype=np.int64)[hole, side] for side in (0, 1))
    by = done_by(finish.transpose(1, 0, 2), levels.weight, line, start)
    p_go = by[:, :, P50] / levels.members
    p_finish = np.minimum(by.mean(axis=2) / levels.members, p_go)
    level = least[lane] - SHARE_ROUNDING
    position = np.arange(len(line.cells))
    most = start + most_cells + back - leave
    enough = (p_finish >= level[:, None]) & (position >= back[:, None])
    enough &= position < most[:, None]
    in_half, in_day = begins_by(blocks, line, levels, levels.level[:, line.hour], start)
    good = enough.any(axis=1) & (np.where(start == leave - 1, in_half, in_day) >= level)
    good &= begins_again(holed, line, levels, holes)[hole] >= level
    # what is likely enough without coming back is no stage in two parts
    pair = np.arange(len(hole))
    good &= p_finish[pair, leave - 1] < level
    good &= line.ends[leave - 1] > line.starts[start] + ROUNDING_H
    last = np.where(good, enough.argmax(axis=1), 0)
    saved = plain_last - first + 1
    good &= (saved[lane] - (leave - start + last - back + 1) >= LEAST_SAVED) | (back == kept)
    if not good.any():
        return []
    kept_pairs = np.flatnonzero(good)
    lost = _lost(walked.phases, holed, hole, kept_pairs, levels)
    left_at = holed.left_at[hole[kept_pairs]]
    until = line.ends[last[kept_pairs]]
    before_in, both_in = lost.by_member(left_at), lost.by_member(until)
    before, both = lost.mean(before_in), lost.mean(both_in)
    undone = (finish[kept_pairs] > until[:, None, None] + 2 * ROUNDING_H).mean(axis=2)
    passed = np.minimum(finish[kept_pairs, :, P50], left_at[:, None])
    done = lost.worked(passed - line.starts[start[kept_pairs]][:, None], left_at)
    return [
        Broken(
            first=int(start[k]),
            leave=int(leave[k]),
            back=int(back[k]),
            last=int(last[k]),
            p_go=float(p_go[k, last[k]]),
            p_finish=float(p_finish[k, last[k]]),
            lost_before_h=float(before[n]),
            lost_after_h=max(0.0, float(both[n] - before[n])),
            done_before_h=float(done[n]),
            lost_in=both_in[n],
            undone_in=undone[n],
        )
        for n, k in enumerate(kept_pairs)
    ]


def _lost(
    phases: Sequence[Phase], holed: Holed, hole: Ints, pairs: Ints, levels: Levels
) -> "_Lost":
    """Of some pairs alone, and of walkers at P50 hours."""
    members, durations = len(levels.weight), len(QUANTILES)
    place = np.full(len(hole), -1)
    place[pairs] = np.arange(len(pairs))
    some: list[Phase] = []
    for phase in phases:
        pair, rest = np.divmod(phase.walker, members * durations)
        mine = (place[pair] >= 0) & (rest % durations == P50)
        walker = place[pair[mine]] * members * durations + rest[mine]
        some.append(Phase(walker, phase.begin[mine], phase.end[mine], phase.least))
    of = (hole[pairs][:, None] * members + np.arange(members)).ravel()
    return _Lost(tuple(some), holed, of, levels)


@dataclass(frozen=True, slots=True, eq=False)
class _Lost:
    """Hours without work of each pair of hole and start."""

    phases: tuple[Phase, ...]
    holed: Holed
    of: Ints
    """[pairs x members] rows of what was walked."""
    levels: Levels

    def _up_to(self, until: Floats, person_h: Floats) -> Floats:
        members = len(self.levels.weight)
        shape = (len(self.of), 1, len(QUANTILES))
        pieces = self.holed.level.shape[2]
        level = self.holed.level.reshape(-1, pieces)
        ends = np.repeat(until, members)[:, None]
        lost = lost_hours(
            self.phases,
            shape,
            self.holed.line,
            level,
            person_h.reshape(-1, pieces),
            ends,
            self.of,
        )
        return lost.reshape(-1, members)

    def mean(self, of: Floats) -> Floats:
        """Over members, of [pairs, members]."""
        return np.asarray(of @ self.levels.weight / self.levels.members, dtype=np.float64)

    def by_member(self, until: Floats) -> Floats:
        """[pairs, members] person-hours up to a capacity for each pair."""
        return self._up_to(until, self.holed.person_h)

    def worked(self, passed: Floats, until: Floats) -> Floats:
        """Expected table person-hours done of [pairs, members] capacity that has passed."""
        idle = self._up_to(until, np.where(self.holed.person_h > 0, 1.0, 0.0))
        return self.mean(np.maximum(passed - idle, 0.0))
