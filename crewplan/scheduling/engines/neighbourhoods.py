"""Which stages a search sets free at a time, while all others stay where they are.

Each kind puts the stages in an order, the nearest first; the search frees as many of them as it can
solve in a second or two.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from crewplan.scheduling.selection import NOWHERE, Picked, Places

Order = NDArray[np.intp]
"""Stages by index."""

_LEFT_OUT_SHARE = 0.3
"""Of the stages set free, those at most that stand nowhere."""


@dataclass(frozen=True, slots=True, eq=False)
class Standing:
    """Where each stage stands in a choice; shape: stages; NOWHERE where it is left out."""

    column: NDArray[np.int64]
    crew: NDArray[np.int64]
    first: NDArray[np.int64]
    last: NDArray[np.int64]
    placed: NDArray[np.intp]
    """Stages by index."""
    left_out: NDArray[np.intp]
    """Stages by index."""
    excess: NDArray[np.int64]
    """Price of each stage's place over that of its cheapest; 0 where it is left out."""


def cheapest(cost: NDArray[np.int64], places: Places, stages: int) -> NDArray[np.int64]:
    """Price of each stage's cheapest column."""
    least = np.full(stages, np.iinfo(np.int64).max)
    placed = places.stage != NOWHERE
    np.minimum.at(least, places.stage[placed], cost[placed])
    return least


def standing(
    places: Places, picked: Picked, cost: NDArray[np.int64], least: NDArray[np.int64]
) -> Standing:
    """Look up the picked column of each stage; `least` is what the cheapest of each costs."""
    stages = len(least)
    column = np.full(stages, NOWHERE, dtype=np.int64)
    taken = np.flatnonzero(picked & (places.stage != NOWHERE))
    column[places.stage[taken]] = taken
    there = column >= 0

    def of(values: NDArray[np.int64]) -> NDArray[np.int64]:
        return np.where(there, values[column], NOWHERE)

    return Standing(
        column,
        of(places.crew),
        of(places.first),
        of(places.last),
        np.flatnonzero(there),
        np.flatnonzero(~there),
        np.where(there, cost[column] - least, 0),
    )


def _around_a_time(now: Standing, dice: Generator) -> Order:
    seed = dice.choice(now.placed)
    middle = now.first + now.last
    apart = np.abs(middle[now.placed] - middle[seed])
    return now.placed[np.lexsort((dice.random(len(apart)), apart))]


def _window(now: Standing, _: Places, dice: Generator) -> Order:
    """Stages around one half-day, whoever does them."""
    return _around_a_time(now, dice)


def _window_of_some(now: Standing, _: Places, dice: Generator) -> Order:
    """Stages around one half-day with some of the crews."""
    crews = np.unique(now.crew[now.placed])
    some = dice.choice(crews, size=max(1, (2 * len(crews)) // 5), replace=False)
    order = _around_a_time(now, dice)
    with_them = np.isin(now.crew[order], some)
    return np.concatenate([order[with_them], order[~with_them]])


def _dear(now: Standing, pool: Places, dice: Generator) -> Order:
    """Stages with some of the crews around a half-day where one that stands dear might stand."""
    whole = now.excess.sum()
    if whole == 0:
        return _window_of_some(now, pool, dice)
    stage = dice.choice(len(now.excess), p=now.excess / whole)
    offers = np.flatnonzero(pool.stage == stage)
    offers = offers[pool.first[offers] + pool.last[offers] != now.first[stage] + now.last[stage]]
    if len(offers) == 0:
        return _window_of_some(now, pool, dice)
    wish = dice.choice(offers)
    crews = np.unique(now.crew[now.placed])
    some = dice.choice(crews, size=max(1, (2 * len(crews)) // 5), replace=False)
    others = now.placed[now.placed != stage]
    apart = np.abs(now.first[others] + now.last[others] - pool.first[wish] - pool.last[wish])
    with_them = np.isin(now.crew[others], np.append(some, pool.crew[wish]))
    order = others[np.lexsort((dice.random(len(others)), apart, ~with_them))]
    return np.concatenate([[stage], order]).astype(np.intp)


def _crews(now: Standing, pool: Places, dice: Generator) -> Order:
    """All of one crew's stages, then those of the crews that its stages might as well go to."""
    seed = now.crew[dice.choice(now.placed)]
    theirs = now.placed[now.crew[now.placed] == seed]
    might = np.bincount(pool.crew[np.isin(pool.stage, theirs)], minlength=int(now.crew.max()) + 1)
    liking = might * dice.uniform(0.5, 1.5, len(might))
    liking[seed] = np.inf
    return now.placed[np.argsort(-liking[now.crew[now.placed]], kind="stable")]


def _wish(now: Standing, pool: Places, dice: Generator) -> Order:
    """Stages in the way of one that might stand elsewhere, then those around that place."""
    many = len(now.left_out) > 0 and dice.random() < 0.7
    stage = dice.choice(now.left_out if many else now.placed)
    offers = np.flatnonzero(pool.stage == stage)
    if len(offers) == 0:
        return _around_a_time(now, dice)
    wish = dice.choice(offers)
    crew, first, last = pool.crew[wish], pool.first[wish], pool.last[wish]
    others = now.placed[now.placed != stage]
    overlap = (now.first[others] <= last) & (now.last[others] >= first)
    same = now.crew[others] == crew
    apart = np.abs(now.first[others] + now.last[others] - first - last)
    order = others[np.lexsort((dice.random(len(others)), apart, ~same, ~(same & overlap)))]
    return np.concatenate([[stage], order]).astype(np.intp)


KINDS: tuple[Callable[[Standing, Places, Generator], Order], ...] = (
    _window,
    _window_of_some,
    _crews,
    _wish,
    _dear,
)
"""Taken in turn."""


def freed(order: Order, now: Standing, size: int, dice: Generator) -> Order:
    """The first of an order, and by lot some of those that are left out."""
    some = min(len(now.left_out), int(_LEFT_OUT_SHARE * size))
    by_lot = dice.choice(now.left_out, size=some, replace=False) if some else now.left_out[:0]
    return np.unique(np.concatenate([order[: size - some], by_lot]))
