"""How a stage fits if it is broken off and taken up again: the walk with a hole in it.

The hours between the parts are shut for the walk, member by member, and so are the first open hours
after coming back, until what is set up again is set up. What a member has not done before the hole
is done after it, so that the chance to finish is that of both parts together, not a product.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from crewplan.placing.blocks import Block
from crewplan.placing.breaks import Break
from crewplan.placing.fits import (
    P50,
    SHARE_ROUNDING,
    begins_by,
    done_by,
    duration_scales,
)
from crewplan.placing.holed_pairs import Pairs, bands_of, lost_in_pairs, walked
from crewplan.placing.holes import Again, Holed, begins_again, holes_in
from crewplan.placing.levels import Levels
from crewplan.placing.timeline import ROUNDING_H, Timeline
from crewplan.placing.walk import Floats, Ints


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


def _worth_walking(
    holes: Sequence[tuple[int, int]],
    first: Ints,
    least: Floats,
    most_cells: int,
    plain_last: Ints,
    kept: int | None,
) -> Pairs:
    """A stage that does not get done by staying does not by going away either; and what is done
    before the hole needs none. `kept`: a hole's end that is tried in any case.
    """
    found = [
        (g, i, *holes[g])
        for g, (leave, back) in enumerate(holes)
        for i, (start, last) in enumerate(zip(first.tolist(), plain_last.tolist(), strict=True))
        if start < leave and (back == kept or (last >= leave and last - leave >= LEAST_SAVED))
    ]
    hole, lane, leave, back = np.array(found, dtype=np.int64).reshape(-1, 4).T
    return Pairs(
        hole,
        first[lane],
        leave,
        back,
        least=least[lane] - SHARE_ROUNDING,
        end=first[lane] + most_cells + back - leave,
        stays=plain_last[lane] - first[lane] + 1,
    )


def _enough(pairs: Pairs, chance: Floats, kept: int | None) -> tuple[NDArray[np.bool_], Ints]:
    """Which pairs are likely enough and save enough with these chances, and their last half-days.

    Args:
        pairs: N of them.
        chance: [N, U] by the end of each half-day.
        kept: half-day of a return that need not save anything.
    """
    position = np.arange(chance.shape[1])
    enough = (chance >= pairs.least[:, None]) & (position >= pairs.back[:, None])
    enough &= position < pairs.end[:, None]
    last = enough.argmax(axis=1)
    takes = pairs.leave - pairs.start + last - pairs.back + 1
    saves = (pairs.stays - takes >= LEAST_SAVED) | (pairs.back == kept)
    return enough.any(axis=1) & saves, last


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
    pairs = _worth_walking(holes, first, least, most_cells, plain_last, kept)
    if not len(pairs.hole):
        return []
    used, hole = np.unique(pairs.hole, return_inverse=True)
    holes, pairs = [holes[g] for g in used], replace(pairs, hole=hole)
    holed = Holed(line, levels, holes, again)

    # at P50 hours first: what does not do then does not with all durations
    scales = duration_scales(spread)
    walks = partial(
        walked, blocks, bands=bands_of(holed), starts=line.starts, members=len(levels.weight)
    )
    at_p50 = walks(scales[[P50]], pairs=pairs)
    p_go = done_by(at_p50.finish, levels.weight, line, pairs.start)[:, :, 0] / levels.members
    good, _ = _enough(pairs, p_go, kept)
    in_half, in_day = begins_by(blocks, line, levels, levels.level[:, line.hour], pairs.start)
    good &= np.where(pairs.start == pairs.leave - 1, in_half, in_day) >= pairs.least
    good &= begins_again(holed, line, levels, holes)[pairs.hole] >= pairs.least
    good &= line.ends[pairs.leave - 1] > line.starts[pairs.start] + ROUNDING_H
    at = np.flatnonzero(good)
    if not len(at):
        return []

    rest = walks(np.delete(scales, P50), pairs=pairs.only(at))
    finish = np.insert(rest.finish, P50, at_p50.finish[:, at, 0], axis=2)
    by = done_by(finish, levels.weight, line, pairs.start[at])
    p_finish = np.minimum(by.mean(axis=2) / levels.members, p_go[at])
    good, last = _enough(pairs.only(at), p_finish, kept)
    # what is likely enough without coming back is no stage in two parts
    good &= p_finish[np.arange(len(at)), pairs.leave[at] - 1] < pairs.least[at]
    if not good.any():
        return []
    at, last, finish, p_finish = at[good], last[good], finish[:, good], p_finish[good]
    pairs, p_go = pairs.only(at), p_go[at]

    left_at, until = holed.left_at[pairs.hole], line.ends[last]
    present = np.where(holed.person_h > 0, 1.0, 0.0)
    lost = partial(lost_in_pairs, at_p50.phases, at, holed, pairs)
    before_in, idle_in = lost(left_at, (holed.person_h, present))
    (both_in,) = lost(until, (holed.person_h,))
    passed = np.minimum(finish[:, :, P50], left_at) - line.starts[pairs.start]
    done_in = np.maximum(passed.T - idle_in, 0.0)
    before, both, done = (
        each @ levels.weight / levels.members for each in (before_in, both_in, done_in)
    )
    undone = (finish > until[:, None] + 2 * ROUNDING_H).mean(axis=2)
    return [
        Broken(
            first=int(pairs.start[n]),
            leave=int(pairs.leave[n]),
            back=int(pairs.back[n]),
            last=int(last[n]),
            p_go=float(p_go[n, last[n]]),
            p_finish=float(p_finish[n, last[n]]),
            lost_before_h=float(before[n]),
            lost_after_h=max(0.0, float(both[n] - before[n])),
            done_before_h=float(done[n]),
            lost_in=both_in[n],
            undone_in=undone[:, n],
        )
        for n in range(len(at))
    ]
