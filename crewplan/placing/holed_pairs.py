"""Pairs of a hole and a start, walked together: a stage that is left open and taken up again."""

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np

from crewplan.placing.blocks import Block
from crewplan.placing.fits import lost_hours
from crewplan.placing.holes import Holed
from crewplan.placing.walk import Bands, Floats, Ints, Phase, Walked, walk


@dataclass(frozen=True, slots=True, eq=False)
class Pairs:
    """N pairs; half-days are positions of the time line."""

    hole: Ints
    """Index of the hole."""
    start: Ints
    leave: Ints
    back: Ints
    least: Floats
    """Least share of members."""
    end: Ints
    """The first half-day that is too late to end in."""
    stays: Ints
    """Half-days that it takes if the crew stays."""

    def only(self, at: Ints) -> "Pairs":
        """Some of them, by index."""
        return Pairs(*(getattr(self, field.name)[at] for field in fields(self)))


def _rows(holes: Ints, members: int) -> Ints:
    """For pairs x members the row of theirs."""
    return np.asarray(holes[:, None] * members + np.arange(members)).ravel()


def bands_of(holed: Holed) -> Bands:
    """Rows are holes x members."""
    return Bands(holed.line.edges, holed.level.reshape(-1, holed.level.shape[2]))


def walked(
    blocks: Sequence[Block],
    scales: Floats,
    bands: Bands,
    pairs: Pairs,
    starts: Floats,
    members: int,
) -> Walked:
    """`finish` is [members, pairs, durations]; walkers are pairs x members x durations.

    Args:
        blocks: what is left of the stage.
        scales: durations, times the blocks' P50 hours.
        bands: of all holes.
        pairs: to walk.
        starts: capacity at which each half-day of the line begins.
        members: rows of a hole.
    """
    began = np.repeat(starts[pairs.start], members)[:, None]
    found = walk(blocks, scales, began, bands, _rows(pairs.hole, members))
    finish = found.finish.reshape(len(pairs.hole), members, len(scales)).transpose(1, 0, 2)
    return Walked(finish, found.phases)


def lost_in_pairs(
    phases: Sequence[Phase],
    at: Ints,
    holed: Holed,
    pairs: Pairs,
    until: Floats,
    person_h: Sequence[Floats],
) -> list[Floats]:
    """[N, M] hours without work up to a capacity for each pair, once for each of `person_h`.

    Args:
        phases: of walkers at P50 hours over all pairs that were walked.
        at: which of those pairs these are.
        holed: the time line with its holes.
        pairs: N of them.
        until: [N] capacity.
        person_h: each [holes, M, J] that an hour of capacity counts as.
    """
    _, members, pieces = holed.level.shape
    used, place = np.unique(pairs.hole, return_inverse=True)
    of = _rows(place, members)
    most = max((int(phase.walker.max(initial=-1)) for phase in phases), default=-1)
    kept = np.full(most // members + 1, -1)
    kept[at] = np.arange(len(at))
    some = []
    for phase in phases:
        pair, member = np.divmod(phase.walker, members)
        mine = kept[pair] >= 0
        walker = kept[pair[mine]] * members + member[mine]
        some.append(Phase(walker, phase.begin[mine], phase.end[mine], phase.least))
    found = lost_hours(
        some,
        holed.line,
        holed.level[used].reshape(-1, pieces),
        [each[used].reshape(-1, pieces) for each in person_h],
        np.repeat(until, members)[:, None],
        of,
    )
    return [hours.reshape(-1, members) for hours in found]
