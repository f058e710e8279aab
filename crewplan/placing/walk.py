"""The walk: when would the work be done, for every start, member and duration at once.

A crew does the highest open step that can be done: lift before roof before ground, then the
table's order. Walkers in the same state (set of done blocks) all move together from one event, a
block done, to the next, so that the number of numpy calls grows with the blocks and not with the
hours. Between two events each active block takes a band of levels: an hour of level 3 (lift open)
goes to an active lift block, an hour of level 2 to an active roof block, and so on; its work is
done when the cumulative capacity of its band has grown by the work, which one search tells.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from crewplan.placing.blocks import DUST_H, Block

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

TOP = 4
"""One above the highest level: 0 shut, 1 ground, 2 roof, 3 lift open."""


@dataclass(frozen=True, slots=True, eq=False)
class Phase:
    """Some walkers between two events: below level `least` nobody can do anything."""

    walker: Ints
    begin: Floats
    end: Floats
    """Infinite where the work is never done."""
    least: int


@dataclass(frozen=True, slots=True, eq=False)
class Walked:
    """W = members x starts x durations walkers, in that order."""

    finish: Floats
    """[members, starts, durations]: capacity at which all is done; infinite: never."""
    phases: tuple[Phase, ...]


@dataclass(slots=True)
class _Group:
    """Walkers that have done the same blocks; `left` has begun blocks' remaining work."""

    walker: Ints
    time: Floats
    piece: Ints
    left: dict[int, Floats]


def piece_at(edges: Floats, time: Floats, *, side: Literal["left", "right"]) -> Ints:
    """Piece between two edges in which each capacity lies, the first or last if beside them all.

    `side`: of an edge itself the piece before it (left) or after it (right).
    """
    piece = np.searchsorted(edges, time, side=side) - 1
    # np.clip takes as long as the search where there are few
    return np.minimum(np.maximum(piece, 0, out=piece), len(edges) - 2, out=piece)


class Bands:
    """Cumulative capacity of bands of levels, one row a member, as one ascending line each.

    Several walks along the same levels may share them: each line is made once.
    """

    def __init__(self, edges: Floats, levels: NDArray[np.int8]) -> None:
        """Levels at each piece of time.

        Args:
            edges: J + 1 capacities between the pieces of clock hours, ascending from 0.
            levels: [M, J] highest exposure that is open: 0 none, 1 ground, 2 roof, 3 lift.
        """
        self.edges = edges
        self.rows, self.pieces = levels.shape
        self._length = np.diff(edges)
        self._levels = levels
        self._far = float(edges[-1]) + 1.0
        self._made: dict[tuple[int, int], tuple[Floats, Floats]] = {}

    def line(self, low: int, high: int) -> tuple[Floats, Floats]:
        """Cumulative capacity (offset by `far` a member) and 0/1 slopes, flat, rows of pieces+1."""
        key = (low, high)
        if key not in self._made:
            slope = np.empty((self.rows, self.pieces + 1))
            slope[:, :-1] = (self._levels >= low) & (self._levels < high)
            slope[:, -1] = 0.0
            total = np.empty((self.rows, self.pieces + 1))
            total[:, 0] = 0.0
            np.cumsum(slope[:, :-1] * self._length, axis=1, out=total[:, 1:])
            total += self._far * np.arange(self.rows)[:, None]
            self._made[key] = (total.ravel(), slope.ravel())
        return self._made[key]

    def reach(
        self, band: tuple[int, int], group: _Group, row: Ints, left: Floats
    ) -> tuple[Floats, Ints, Floats]:
        """When the band's capacity since `group.time` has grown by `left`; infinite: never.

        Returns the time, the piece it lies in, and the band's capacity at `group.time`.
        """
        total, slope = self.line(*band)
        here = row + group.piece
        base = total[here] + (group.time - self.edges[group.piece]) * slope[here]
        goal = base + left
        goal -= DUST_H
        piece = np.searchsorted(total, goal)
        piece -= 1
        never = piece >= row + self.pieces
        np.maximum(piece, row + group.piece, out=piece)
        np.minimum(piece, row + self.pieces - 1, out=piece)
        local = piece - row
        time = self.edges[local] + (goal - total[piece])
        # a later piece begins after now; the same piece may be found from its shut beginning
        np.maximum(time, group.time, out=time)
        time[never] = np.inf
        return time, local, base

    def at(self, band: tuple[int, int], row: Ints, piece: Ints, time: Floats) -> Floats:
        """The band's capacity at a time that lies in a piece."""
        total, slope = self.line(*band)
        here = row + piece
        return np.asarray(total[here] + (time - self.edges[piece]) * slope[here])


def _active(blocks: Sequence[Block], done: int) -> list[tuple[int, tuple[int, int]]]:
    """The first block that can be done at each exposure, and the levels that fall to it."""
    found: list[tuple[int, tuple[int, int]]] = []
    high = TOP
    for exposure in (3, 2, 1):
        for i, block in enumerate(blocks):
            free = not done >> i & 1 and block.before & done == block.before
            if free and block.exposure == exposure:
                found.append((i, (exposure, high)))
                high = exposure
                break
    return found


def _together(groups: list[_Group]) -> _Group:
    if len(groups) == 1:
        return groups[0]
    # every way to the same set of done blocks has the same blocks begun, or none of their work
    begun = set().union(*(group.left for group in groups))
    return _Group(
        np.concatenate([group.walker for group in groups]),
        np.concatenate([group.time for group in groups]),
        np.concatenate([group.piece for group in groups]),
        {
            i: np.concatenate(
                [group.left.get(i, np.full(len(group.walker), np.nan)) for group in groups]
            )
            for i in begun
        },
    )


class _Walk:
    """One call's data, so that a step of it is a small method."""

    def __init__(
        self, blocks: Sequence[Block], scales: Floats, starts: Floats, bands: Bands, of: Ints
    ) -> None:
        self.blocks = blocks
        self.scales = scales
        self.bands = bands
        lanes = starts.shape[-1] * len(scales)
        walkers, members = len(of) * lanes, len(of)
        self.row = np.repeat(of * (bands.pieces + 1), lanes)
        self.finish = np.full(walkers, np.inf)
        self.phases: list[Phase] = []
        time = np.repeat(np.broadcast_to(starts, (members, starts.shape[-1])).ravel(), len(scales))
        piece = piece_at(bands.edges, time, side="right")
        self.waiting: dict[int, list[_Group]] = {0: [_Group(np.arange(walkers), time, piece, {})]}

    def _left(self, group: _Group, i: int) -> Floats:
        whole = self.blocks[i].work_h * self.scales[group.walker % len(self.scales)]
        begun = group.left.get(i)
        return whole if begun is None else np.where(np.isnan(begun), whole, begun)

    def advance(self, done: int) -> None:
        """Move all walkers with these blocks done on to their next event."""
        group = _together(self.waiting.pop(done))
        active = _active(self.blocks, done)
        row = self.row[group.walker]
        left = [self._left(group, i) for i, _ in active]
        reached = [
            self.bands.reach(band, group, row, work)
            for (_, band), work in zip(active, left, strict=True)
        ]
        time = reached[0][0]
        for other, _, _ in reached[1:]:
            time = np.minimum(time, other)
        self.phases.append(Phase(group.walker, group.time, time, active[-1][1][0]))
        still = np.isfinite(time)
        for a, (i, _) in enumerate(active):
            first = still & (reached[a][0] == time)
            still &= ~first
            if first.any():
                self._arrive(done | 1 << i, a, first, group, row, time, active, left, reached)

    def _arrive(
        self,
        done: int,
        a: int,
        first: NDArray[np.bool_],
        group: _Group,
        row: Ints,
        time: Floats,
        active: list[tuple[int, tuple[int, int]]],
        left: list[Floats],
        reached: list[tuple[Floats, Ints, Floats]],
    ) -> None:
        walker, now = group.walker[first], time[first]
        if done == (1 << len(self.blocks)) - 1:
            self.finish[walker] = now
            return
        piece = reached[a][1][first]
        begun = {i: work[first] for i, work in group.left.items() if not done >> i & 1}
        for b, (i, band) in enumerate(active):
            if b != a:
                spent = self.bands.at(band, row[first], piece, now) - reached[b][2][first]
                begun[i] = np.maximum(left[b][first] - spent, 0.0)
        self.waiting.setdefault(done, []).append(_Group(walker, now, piece, begun))


def walk(
    blocks: Sequence[Block],
    scales: Floats,
    starts: Floats,
    bands: Bands,
    of: Ints | None = None,
) -> Walked:
    """Walk every member, start and duration to the end of the work.

    Args:
        blocks: what is left of the stage, in order of priority within an exposure.
        scales: D durations, times the blocks' P50 hours.
        starts: [S] or [M, S] capacities at which work begins.
        bands: of M rows of levels.
        of: [M'] rows of levels, where several of the M' members see the same; None: each its own.
    """
    of = np.arange(bands.rows) if of is None else of
    members = len(of)
    shape = (members, starts.shape[-1], len(scales))
    if not blocks:
        return Walked(np.broadcast_to(starts[..., None], shape).copy(), ())
    if not bands.pieces:
        return Walked(np.full(shape, np.inf), ())
    run = _Walk(blocks, scales, starts, bands, of)
    while run.waiting:
        # fewest blocks done first, so that all who get to a state are there when it is moved on
        run.advance(min(run.waiting, key=lambda done: (done.bit_count(), done)))
    return Walked(run.finish.reshape(shape), tuple(run.phases))
