"""How many half-days a stage needs from each start, and how likely that is enough."""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from crewplan.placing.blocks import Block, first_exposure
from crewplan.placing.levels import Levels
from crewplan.placing.timeline import ROUNDING_H, Timeline
from crewplan.placing.walk import TOP, Bands, Floats, Ints, Phase, piece_at, walk

QUANTILES = (0.1, 0.3, 0.5, 0.7, 0.9)
"""Five equally probable durations; the middle one is P50."""
P50 = QUANTILES.index(0.5)
SHARE_ROUNDING = 1e-9
_BY_MEMBER = ("lost_in", "undone_in")
"""Fields of `Fits` that have a row for each row of members."""


@dataclass(frozen=True, slots=True, eq=False)
class Fits:
    """For each of S starts."""

    last: Ints
    """Index into the timeline's half-days of the placement's last one; -1: none is enough."""
    p_go: Floats
    """Share of members in which all is done by its end, at P50 hours."""
    p_finish: Floats
    """The same over durations too; never above `p_go`."""
    best_p_go: Floats
    """With as many half-days as are allowed at all."""
    best_p_finish: Floats
    p_begin: Floats
    """Share of members in which anything can be done on the placement's first day."""
    lost_h: Floats
    """Expected person-hours on site in which nothing could be done, at P50 hours."""
    lost_in: Floats
    """[R, S]: the same in each row of members."""
    over_h: Floats
    """Expected person-hours of overtime on the last day, over members and durations."""
    undone_in: Floats
    """[R, S]: in each row of members, the share of durations at which it is not done by its end."""

    def bare(self) -> "Fits":
        """Without what is told member by member: those two arrays are empty."""
        none: dict[str, Any] = dict.fromkeys(_BY_MEMBER, np.zeros((0, 0)))
        return replace(self, **none)

    def with_again(self, at: Ints, again: "Fits") -> "Fits":
        """With these starts (indices) walked again, and bare."""
        found = {}
        for name in {field.name for field in fields(self)}.difference(_BY_MEMBER):
            found[name] = getattr(self, name).copy()
            found[name][at] = getattr(again, name)
        return replace(self.bare(), **found)


@lru_cache(256)
def duration_scales(spread: float) -> Floats:
    """Durations / P50 at `QUANTILES` of a log-normal with standard deviation / mean `spread`."""
    sigma = np.sqrt(np.log1p(spread * spread))
    scales = np.asarray(np.exp(sigma * ndtri(np.array(QUANTILES))), dtype=np.float64)
    scales.flags.writeable = False
    return scales


def done_by(finish: Floats, weight: Ints, line: Timeline, first: Ints) -> Floats:
    """[S, U, D] members (by weight) that have finished by the end of each half-day."""
    _, starts, durations = finish.shape
    cells = len(line.cells)
    in_cell = np.searchsorted(line.ends + 2 * ROUNDING_H, finish)
    np.maximum(in_cell, first[None, :, None], out=in_cell)
    lane = np.arange(starts)[None, :, None] * durations + np.arange(durations)[None, None, :]
    counted = np.bincount(
        (lane * (cells + 1) + in_cell).ravel(),
        weights=np.broadcast_to(weight[:, None, None], finish.shape).ravel(),
        minlength=starts * durations * (cells + 1),
    ).reshape(starts, durations, cells + 1)
    return np.asarray(np.cumsum(counted[:, :, :cells], axis=2).transpose(0, 2, 1))


def begins_by(
    blocks: tuple[Block, ...], line: Timeline, levels: Levels, level: NDArray[np.int8], first: Ints
) -> tuple[Floats, Floats]:
    """[S] shares of members in which anything can be done in the first half-day, and day."""
    if not blocks or not len(line.hour):
        some = np.full(len(first), 1.0 if not blocks else 0.0)
        return some, some
    least = first_exposure(blocks)
    pieces = np.arange(len(line.hour))
    open_piece = np.where(level >= least, pieces, len(pieces))
    next_open = np.minimum.accumulate(open_piece[:, ::-1], axis=1)[:, ::-1]
    start = line.starts[first]
    piece = piece_at(line.edges, start, side="right")
    begins = np.append(line.edges[:-1], np.inf)[next_open[:, piece]]
    begins = np.maximum(begins, start)
    day = np.array(line.cells, dtype=np.int64) // 2
    end_of_day = np.searchsorted(day, day[first], side="right") - 1
    half, whole = (
        levels.weight @ (begins < line.ends[end] - ROUNDING_H) / levels.members
        for end in (first, end_of_day)
    )
    return half, whole


def at_p50(phases: Sequence[Phase]) -> tuple[Phase, ...]:
    """Of walkers over members, starts and all durations those at P50 hours alone."""
    found = []
    for phase in phases:
        walker, duration = np.divmod(phase.walker, len(QUANTILES))
        mine = duration == P50
        found.append(Phase(walker[mine], phase.begin[mine], phase.end[mine], phase.least))
    return tuple(found)


def lost_hours(
    phases: Sequence[Phase],
    line: Timeline,
    level: NDArray[np.int8],
    person_h: Sequence[Floats],
    until: Floats,
    of: Ints | None = None,
) -> list[Floats]:
    """[M, S] hours without work of each member up to `until`, once for each of `person_h`.

    Args:
        phases: of walkers over members and starts.
        line: whose pieces they walked along.
        level: [R, J] as walked.
        person_h: each [J] or [R, J] that an hour of capacity counts as.
        until: [M, S] capacity.
        of: [M] rows of `level` that members walked; None: each its own.
    """
    members, starts = until.shape
    last = len(line.hour) - 1
    length = np.diff(line.edges)
    ends = until.ravel()
    row_of = np.arange(members) if of is None else of
    lost = [np.zeros(members * starts) for _ in person_h]
    for least in sorted({phase.least for phase in phases}):
        alike = [phase for phase in phases if phase.least == least]
        lane = np.concatenate([phase.walker for phase in alike])
        row = row_of[lane // starts]
        idle = level < least
        times = []
        for side in ([phase.end for phase in alike], [phase.begin for phase in alike]):
            time = np.minimum(np.concatenate(side), ends[lane])
            piece = piece_at(line.edges, time, side="left")
            times.append((row, piece, time - line.edges[piece]))
        for so_far, each_h in zip(lost, person_h, strict=True):
            shut = idle * each_h
            gone = np.zeros((len(level), last + 2))
            np.cumsum(shut * length, axis=1, out=gone[:, 1:])
            end, begin = (
                gone[row, piece] + in_piece_h * shut[row, piece] for row, piece, in_piece_h in times
            )
            so_far += np.bincount(lane, weights=end - begin, minlength=members * starts)
    return [np.maximum(hours, 0.0).reshape(members, starts) for hours in lost]


def _overtime(
    finish: Floats, weight: Ints, line: Timeline, last: Ints, found: NDArray[np.bool_]
) -> Floats:
    """[S] expected person-hours worked after the shift on the placement's last day."""
    if not (line.ends > line.regular).any():
        return np.zeros(len(last))
    regular = np.where(found, line.regular[last], 0.0)
    until = np.where(found, line.ends[last], 0.0)
    late = np.clip(finish, regular[None, :, None], until[None, :, None]) - regular[None, :, None]
    expected = weight @ late.mean(axis=2) / weight.sum()
    piece = piece_at(line.edges, until, side="left")
    rate = line.person_h[piece] if len(line.person_h) else 0.0
    return np.asarray(expected * rate, dtype=np.float64)


def _chances(finish: Floats, weight: Ints, line: Timeline, first: Ints) -> tuple[Floats, Floats]:
    """[S, U] P(go) and P(finish) by the end of each half-day."""
    done, members = done_by(finish, weight, line, first), int(weight.sum())
    p_go = done[:, :, P50] / members
    return p_go, np.minimum(done.mean(axis=2) / members, p_go)


def _enough(
    p_finish: Floats,
    half: Floats,
    whole: Floats,
    line: Timeline,
    first: Ints,
    least: Floats,
    most_cells: int,
) -> NDArray[np.bool_]:
    """[S, U] whether the placement that ends with the half-day is allowed and likely enough."""
    position = np.arange(len(line.cells))
    allowed = (position >= first[:, None]) & (position < first[:, None] + most_cells)
    p_begin = np.where(position == first[:, None], half[:, None], whole[:, None])
    good = np.minimum(p_finish, p_begin)
    return np.asarray((good >= least[:, None] - SHARE_ROUNDING) & allowed, dtype=np.bool_)


def fits_if_calm(
    blocks: tuple[Block, ...],
    spread: float,
    line: Timeline,
    first: Ints,
    least: Floats,
    most_cells: int,
) -> NDArray[np.bool_]:
    """[S] whether any half-days would be enough if the weather closed nothing.

    Somebody can then always go on, whatever the order of the blocks: nothing needs to be walked.
    """
    work_h = sum(block.work_h for block in blocks)
    finish = line.starts[first][:, None] + work_h * duration_scales(spread)
    one = np.ones(1, dtype=np.int64)
    level = np.full((1, len(line.hour)), TOP - 1, dtype=np.int8)
    half, whole = begins_by(blocks, line, Levels(level, one), level, first)
    _, p_finish = _chances(finish[None], one, line, first)
    enough = _enough(p_finish, half, whole, line, first, least, most_cells)
    return np.asarray(enough.any(axis=1), dtype=np.bool_)


def fits(
    blocks: tuple[Block, ...],
    spread: float,
    line: Timeline,
    levels: Levels,
    first: Ints,
    least: Floats,
    most_cells: int,
) -> Fits:
    """The least half-days from each start that reach its level, or that none does.

    A crew is not sent where nothing can be begun on the first day, however long it may stay: the
    share of members in which something can is held to the same level.

    Args:
        blocks: what is left of the stage.
        spread: standard deviation / mean of the stage's hours.
        line: the crew's time at the site.
        levels: of all clock hours of the horizon.
        first: S indices into the line's half-days: where placements start.
        least: S least shares, for P(go) and P(finish) alike.
        most_cells: half-days that a placement may take.
    """
    level = levels.level[:, line.hour]
    walked = walk(blocks, duration_scales(spread), line.starts[first], Bands(line.edges, level))
    members, lane = levels.members, np.arange(len(first))
    half, whole = begins_by(blocks, line, levels, level, first)
    p_go, p_finish = _chances(walked.finish, levels.weight, line, first)
    enough = _enough(p_finish, half, whole, line, first, least, most_cells)
    found = np.asarray(enough.any(axis=1), dtype=np.bool_)
    last = np.where(found, enough.argmax(axis=1), -1)
    longest = np.minimum(first + most_cells, len(line.cells)) - 1
    until = np.where(found, line.ends[last], 0.0)
    ends = np.broadcast_to(until, (len(level), len(first)))
    (lost_in,) = lost_hours(at_p50(walked.phases), line, level, (line.person_h,), ends)
    lost = levels.weight @ lost_in / members
    over = _overtime(walked.finish, levels.weight, line, last, found)
    undone_in = (walked.finish > until[None, :, None] + 2 * ROUNDING_H).mean(axis=2)
    return Fits(
        last=last,
        p_go=np.where(found, p_go[lane, last], 0.0),
        p_finish=np.where(found, p_finish[lane, last], 0.0),
        best_p_go=p_go[lane, longest],
        best_p_finish=p_finish[lane, longest],
        p_begin=whole,
        lost_h=np.where(found, lost, 0.0),
        lost_in=lost_in,
        over_h=over,
        undone_in=undone_in,
    )
