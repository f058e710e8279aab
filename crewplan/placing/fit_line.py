"""One walk of a stage along a time line, shared by all crews that have that line."""

from dataclasses import dataclass, replace
from math import ceil

import numpy as np
from numpy.typing import NDArray

from crewplan.placing.broken import Broken, broken_fits
from crewplan.placing.fits import SHARE_ROUNDING, Fits, fits, fits_if_calm
from crewplan.placing.levels import Levels
from crewplan.placing.site import Sites
from crewplan.placing.stage_facts import StageFacts
from crewplan.placing.timeline import ROUNDING_H, Timeline
from crewplan.placing.two_parts import again_of
from crewplan.placing.walk import Floats, Ints

MOST_TIMES_P80 = 3
SPARE_HALF_DAYS = 4
"""A placement takes at most so many times its P80 half-days, and so many more. Assumed."""


@dataclass(frozen=True, slots=True, eq=False)
class Fitted:
    """Fits from all starts of a time line that the stage allows."""

    position: Ints
    """Into the line's half-days."""
    found: Fits
    weight: Ints
    """Members in each row of `found`'s arrays by member."""
    if_calm: NDArray[np.bool_] | None
    """Whether it would be enough if the weather closed nothing; None where every start was enough,
    or nobody asks why one was not."""
    broken: tuple[Broken, ...] = ()
    """In two parts, as many as save the crew half-days."""

    def kept(self) -> "Fitted":
        """For the next look: without what is made anew in any case."""
        return replace(self, found=self.found.bare(), broken=())


@dataclass(frozen=True, slots=True, eq=False)
class Earlier:
    """What the last look fitted along the same line for the same stage."""

    fitted: Fitted
    changed: NDArray[np.bool_]
    """By day of the horizon: whether the weather at the site is another now."""


def reaches(changed: NDArray[np.bool_], first: Ints, last: Ints) -> NDArray[np.bool_]:
    """Whether a changed day lies between these days (indices), both ends included."""
    before = np.concatenate([[0], np.cumsum(changed)])
    return np.asarray(before[last + 1] > before[first])


def _most_half_days(facts: StageFacts, line: Timeline) -> int:
    """That one placement may take."""
    a_cell_h = max(float(line.edges[-1]) / len(line.cells), ROUNDING_H)
    most = ceil(facts.hours.p80_h / a_cell_h) * MOST_TIMES_P80 + SPARE_HALF_DAYS
    return min(most, len(line.cells))


def _least(facts: StageFacts, line: Timeline, position: Ints) -> Floats:
    """Least shares by start."""
    return facts.least[np.array(line.cells, dtype=np.int64)[position]]


def _from_each(facts: StageFacts, line: Timeline, levels: Levels, position: Ints) -> Fits:
    least = _least(facts, line, position)
    most = _most_half_days(facts, line)
    return fits(facts.blocks, facts.hours.spread, line, levels, position, least, most)


def _starts(facts: StageFacts, line: Timeline) -> Ints:
    """Positions at which the stage may start and the drives fit."""
    return np.flatnonzero(facts.open[np.array(line.cells, dtype=np.int64)] & line.may_start)


def _most_p_go(facts: StageFacts, line: Timeline, levels: Levels, position: Ints) -> Floats:
    """By start, no less than P(go): members with hours enough up to the end, in any order."""
    level, length = levels.level[:, line.hour], np.diff(line.edges)
    at = np.searchsorted(line.edges, line.starts[position], side="right") - 1
    enough = np.ones((len(level), len(position)), dtype=np.bool_)
    for exposure in (1, 2, 3):
        work_h = sum(block.work_h for block in facts.blocks if block.exposure >= exposure)
        open_h = np.zeros((len(level), len(line.edges)))
        open_h[:, :-1] = np.cumsum(((level >= exposure) * length)[:, ::-1], axis=1)[:, ::-1]
        enough &= open_h[:, at] >= work_h - ROUNDING_H
    return np.asarray(levels.weight @ enough / levels.members, dtype=np.float64)


def half_days_in_one_go(site: Sites, facts: StageFacts, line: Timeline) -> list[tuple[int, ...]]:
    """Half-days of each placement along a time line. Starts without any hope are not walked."""
    levels, position = site.levels(facts.job, facts.exposed), _starts(facts, line)
    least = _least(facts, line, position)
    position = position[_most_p_go(facts, line, levels, position) >= least - SHARE_ROUNDING]
    if not len(position):
        return []
    found = _from_each(facts, line, levels, position)
    return [
        line.cells[first : last + 1]
        for first, last in zip(position, found.last, strict=True)
        if last >= 0
    ]


def _changed(
    earlier: Earlier, facts: StageFacts, line: Timeline, levels: Levels, position: Ints
) -> Fits:
    """As `_from_each`, bare: only starts whose half-days reach a changed day are walked again.

    What happens after the last half-day of a placement changes nothing about it; where none was
    found, all are looked at that it might have taken.
    """
    found = earlier.fitted.found
    longest = np.minimum(position + _most_half_days(facts, line), len(line.cells)) - 1
    last = np.where(found.last >= 0, found.last, longest)
    day = np.array(line.cells, dtype=np.int64) // 2
    again = np.flatnonzero(reaches(earlier.changed, day[position], day[last]))
    if not len(again):
        return found
    return found.with_again(again, _from_each(facts, line, levels, position[again]))


def fit_alone(
    site: Sites, facts: StageFacts, line: Timeline, earlier: Earlier | None = None
) -> Fitted:
    """Walk the stage along a time line in one go, and ask for no reasons where it does not fit."""
    levels, position = site.levels(facts.job, facts.exposed), _starts(facts, line)
    if earlier is None:
        found = _from_each(facts, line, levels, position)
    else:
        found = _changed(earlier, facts, line, levels, position)
    return Fitted(position, found, levels.weight, None)


def fit_line(
    site: Sites,
    facts: StageFacts,
    line: Timeline,
    *,
    in_one_go: bool = False,
    earlier: Earlier | None = None,
) -> Fitted:
    """Walk the stage along a time line from every start that the stage allows.

    Where no number of half-days is enough from some start, it is also asked whether it would be if
    the weather closed nothing, to tell one reason from the other. `in_one_go`: it is not looked for
    what a break would bring. `earlier`: of the same stage and line; not where it matters what is
    told member by member.
    """
    plain = fit_alone(site, facts, line, earlier)
    position, found = plain.position, plain.found
    broken = () if in_one_go else _in_two_parts(site, facts, line, position, found)
    short = bool((found.last < 0).any())
    # calm weather is the same in every look
    if_calm = earlier.fitted.if_calm if short and earlier is not None else None
    if short and if_calm is None:
        least = _least(facts, line, position)
        most = _most_half_days(facts, line)
        if_calm = fits_if_calm(facts.blocks, facts.hours.spread, line, position, least, most)
    return replace(plain, if_calm=if_calm, broken=broken)


def _in_two_parts(
    site: Sites, facts: StageFacts, line: Timeline, position: Ints, found: Fits
) -> tuple[Broken, ...]:
    breaks = list(site.breaks(facts.job, facts.exposed))
    told, back = facts.published, None
    if breaks and told is not None and told.away is not None:
        breaks.append(told.away)
        back = int(np.searchsorted(np.array(line.cells), told.away.back))
    broken = broken_fits(
        facts.blocks,
        facts.hours.spread,
        again_of(facts.hours),
        line,
        site.levels(facts.job, facts.exposed),
        breaks,
        position,
        _least(facts, line, position),
        _most_half_days(facts, line),
        found.last,
        back,
    )
    return tuple(broken)
