"""How a stage fits if it is broken off and taken up again: the walk with a hole in it.

The hours between the parts are shut for the walk, member by member, and so are the first open hours
after coming back, until what is set up again is set up. What a member has not done before the hole
is done after it, so that the chance to finish is that of both parts together, not a product.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from crewplan.placing.blocks import Block
from crewplan.placing.breaks import Break
from crewplan.placing.fits import (
    P50,
    SHARE_ROUNDING,
    begins_by,
    done_by,
    duration_scales,
    lost_hours,
)
from crewplan.placing.levels import Levels
from crewplan.placing.timeline import ROUNDING_H, Timeline
from crewplan.placing.walk import Floats, Ints, walk


@dataclass(frozen=True, slots=True)
class Again:
    """What is done again when the crew comes back."""

    hours: float
    """Table person-hours."""
    exposure: int
    """1 ground, 2 roof, 3 lift."""


@dataclass(frozen=True, slots=True)
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

    @property
    def cells(self) -> tuple[int, ...]:
        """Positions that it takes."""
        return (*range(self.first, self.leave), *range(self.back, self.last + 1))


def _holes(line: Timeline, breaks: Sequence[Break]) -> list[tuple[int, int]]:
    """Positions (leave, back) of breaks that the line has half-days before, in and after."""
    cells = np.array(line.cells, dtype=np.int64)
    found = []
    for one in breaks:
        leave, back = (int(np.searchsorted(cells, cell)) for cell in one)
        if not 0 < leave < back < len(cells) or not line.may_start[back]:
            continue
        # no half-day that the drive back takes whole
        if leave == 1 or line.ends[leave - 1] > line.ends[leave - 2] + ROUNDING_H:
            found.append((leave, back))
    return list(dict.fromkeys(found))


def _cut(line: Timeline, at: Floats) -> Timeline:
    """The same line with pieces that also end at these capacities."""
    edges = np.unique(np.concatenate([line.edges, np.clip(at, 0.0, line.edges[-1])]))
    edges = edges[np.append(True, np.diff(edges) > ROUNDING_H)]
    piece = np.searchsorted(line.edges, (edges[:-1] + edges[1:]) / 2, side="right") - 1
    return replace(line, edges=edges, hour=line.hour[piece], person_h=line.person_h[piece])


class _Holed:
    """All rows of members once for each hole."""

    def __init__(
        self, line: Timeline, levels: Levels, holes: Sequence[tuple[int, int]], again: Again
    ) -> None:
        leave, back = (np.array(at, dtype=np.int64) for at in zip(*holes, strict=True))
        self.left_at = line.ends[leave - 1]
        self.back_at = line.starts[back]
        points = [self.left_at, self.back_at, self.back_at + again.hours]
        self.line = _cut(line, np.concatenate(points))
        edges = self.line.edges
        away = (edges[:-1] >= self.left_at[:, None] - ROUNDING_H) & (
            edges[1:] <= self.back_at[:, None] + ROUNDING_H
        )
        level = levels.level[:, self.line.hour]
        self.level = np.repeat(level[None], len(holes), axis=0)
        after = edges[:-1] >= self.back_at[:, None] - ROUNDING_H
        able = (self.level >= again.exposure) & after[:, None, :]
        open_h = np.where(able, np.diff(edges), 0.0)
        before = np.cumsum(open_h, axis=2) - open_h
        # an hour that setting up takes in part is taken whole, unless it was open from the return
        setting_up = able & (before < again.hours - ROUNDING_H)
        shut = setting_up | away[:, None, :]
        self.level[shut] = 0
        self.person_h = np.where(shut, 0.0, self.line.person_h)
        self.able = able


def _begins_again(
    holed: _Holed, line: Timeline, levels: Levels, holes: Sequence[tuple[int, int]]
) -> Floats:
    """By hole: share of members in which work can go on, on the first day back."""
    day = np.array(line.cells, dtype=np.int64) // 2
    found = []
    for number, (_, back) in enumerate(holes):
        end = line.ends[np.searchsorted(day, day[back], side="right") - 1]
        soon = holed.line.edges[:-1] < end - ROUNDING_H
        found.append(levels.weight @ (holed.able[number] & soon).any(axis=1) / levels.members)
    return np.array(found)


def _enough(
    hole: tuple[int, int],
    finish: Floats,
    weight: Ints,
    line: Timeline,
    first: Ints,
    least: Floats,
    most: int,
) -> tuple[Ints, Floats, Floats]:
    """Around one hole, from each start: last position (-1: none is enough), P(go), P(finish)."""
    leave, back = hole
    members = int(weight.sum())
    by = done_by(finish, weight, line, first)
    p_go = by[:, :, P50] / members
    p_finish = np.minimum(by.mean(axis=2) / members, p_go)
    position = np.arange(len(line.cells))
    allowed = (position >= back) & (position < first[:, None] + most + back - leave)
    enough = (p_finish >= least[:, None] - SHARE_ROUNDING) & allowed
    # what is likely enough without coming back is no stage in two parts
    in_one = p_finish[:, leave - 1] >= least - SHARE_ROUNDING
    works = line.ends[leave - 1] > line.starts[first] + ROUNDING_H
    good = enough.any(axis=1) & ~in_one & works & (first < leave)
    last = np.where(good, enough.argmax(axis=1), -1)
    lane = np.arange(len(first))
    return last, p_go[lane, last], p_finish[lane, last]


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
    """
    holes = _holes(line, breaks)
    if not holes or not len(first) or not blocks:
        return []
    holed = _Holed(line, levels, holes, again)
    rows = holed.level.reshape(-1, holed.level.shape[2])
    walked = walk(blocks, duration_scales(spread), line.starts[first], holed.line.edges, rows)
    shape = (len(holes), len(levels.weight), *walked.finish.shape[1:])
    finish = walked.finish.reshape(shape)
    in_half, in_day = begins_by(blocks, line, levels, levels.level[:, line.hour], first)
    only_half = first == np.array([leave for leave, _ in holes])[:, None] - 1
    starts_well = np.where(only_half, in_half, in_day) >= least - SHARE_ROUNDING
    goes_on = _begins_again(holed, line, levels, holes)
    found = [
        _enough(hole, finish[g], levels.weight, line, first, least, most_cells)
        for g, hole in enumerate(holes)
    ]
    last = np.array([one[0] for one in found])
    last[~(starts_well & (goes_on[:, None] >= least - SHARE_ROUNDING))] = -1
    if (last < 0).all():
        return []

    def mean(of: Floats) -> Floats:
        by_member = of.reshape(shape[:3])
        return np.asarray(
            np.einsum("gms,m->gs", by_member, levels.weight) / levels.members, dtype=np.float64
        )

    def lost(until: Floats, person_h: Floats) -> Floats:
        by_row = np.repeat(until, shape[1], axis=0)
        return lost_hours(
            walked.phases,
            walked.finish.shape,
            holed.line,
            rows,
            person_h.reshape(rows.shape),
            by_row,
        )

    until_left = np.repeat(holed.left_at[:, None], len(first), axis=1)
    before = mean(lost(until_left, holed.person_h))
    both = mean(lost(np.where(last >= 0, line.ends[last], 0.0), holed.person_h))
    idle = lost(until_left, np.where(holed.person_h > 0, 1.0, 0.0))
    at_p50 = np.minimum(finish[..., P50], holed.left_at[:, None, None]) - line.starts[first]
    done = mean(np.maximum(at_p50.reshape(len(rows), -1) - idle, 0.0))
    return [
        Broken(
            first=int(first[i]),
            leave=holes[g][0],
            back=holes[g][1],
            last=int(last[g, i]),
            p_go=float(found[g][1][i]),
            p_finish=float(found[g][2][i]),
            lost_before_h=float(before[g, i]),
            lost_after_h=max(0.0, float(both[g, i] - before[g, i])),
            done_before_h=float(done[g, i]),
        )
        for g, i in zip(*np.nonzero(last >= 0), strict=True)
    ]
