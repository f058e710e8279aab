"""A time line with a hole in it, in which the crew is elsewhere; behind it some is set up again."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from crewplan.placing.breaks import Break
from crewplan.placing.levels import Levels
from crewplan.placing.timeline import ROUNDING_H, Timeline
from crewplan.placing.walk import Floats


@dataclass(frozen=True, slots=True)
class Again:
    """What is done again when the crew comes back."""

    hours: float
    """Table person-hours."""
    exposure: int
    """1 ground, 2 roof, 3 lift."""


def holes_in(line: Timeline, breaks: Sequence[Break]) -> list[tuple[int, int]]:
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


class Holed:
    """All rows of members once for each hole."""

    def __init__(
        self, line: Timeline, levels: Levels, holes: Sequence[tuple[int, int]], again: Again
    ) -> None:
        """Shut the hours of the hole, and the first open ones after it that setting up takes."""
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


def begins_again(
    holed: Holed, line: Timeline, levels: Levels, holes: Sequence[tuple[int, int]]
) -> Floats:
    """By hole: share of members in which work can go on, on the first day back."""
    day = np.array(line.cells, dtype=np.int64) // 2
    found = []
    for number, (_, back) in enumerate(holes):
        end = line.ends[np.searchsorted(day, day[back], side="right") - 1]
        soon = holed.line.edges[:-1] < end - ROUNDING_H
        found.append(levels.weight @ (holed.able[number] & soon).any(axis=1) / levels.members)
    return np.array(found)
