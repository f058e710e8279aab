"""A price on how unevenly the crews are planned: hours of the busiest above those of the idlest.

It hangs on the whole plan and on no placement, so that the problem gets a few columns more which
are no placements: two numbers in binary, the most minutes of any crew and the least. Rows hold the
first above every crew and the second below; their prices press both against the crews.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from crewplan.model.placement import Choices, Placement
from crewplan.scheduling.problem import Problem
from crewplan.scheduling.selection import NO_LOWER, Picked, Selection
from crewplan.scheduling.whole import PER_HOUR, need, supply

UNEVEN = "uneven hours"
"""The part of the price of a plan."""


def minutes_of(choices: Choices, placement: Placement) -> int:
    """Of the crew: a short visit's own, else its whole half-days."""
    if placement.short_h is not None:
        return need(placement.short_h, PER_HOUR)
    return sum(supply(choices.half_day_h[cell % 2], PER_HOUR) for cell in placement.cells)


@dataclass(frozen=True, slots=True, eq=False)
class Even:
    """The problem with the price of uneven hours in it."""

    whole: Problem
    minutes: sparse.csr_array
    """Crews x the problem's columns; only crews that something can be done with, and none where
    uneven hours have no price."""
    bits: int
    """Columns of each of the two numbers; 0: nothing is priced."""
    selection: Selection
    """The problem's columns, then the bits of the most, then those of the least."""

    def cents(self, picked: Picked) -> int:
        """What a choice of placements pays for its spread."""
        if not self.bits:
            return 0
        taken = self.minutes @ picked.astype(np.int64)
        spread = int(taken.max() - taken.min())
        return spread * self.whole.held.choices.uneven_cents_a_minute

    def price(self, picked: Picked) -> int:
        """All of it, of a choice of placements."""
        return self.whole.selection.price(picked) + self.cents(picked)

    def stretched(self, picked: Picked) -> Picked:
        """A choice of placements with the two numbers that belong to it."""
        if not self.bits:
            return picked
        taken = self.minutes @ picked.astype(np.int64)
        places = np.arange(self.bits)
        most, least = (int(end) >> places & 1 for end in (taken.max(), taken.min()))
        return np.concatenate([picked, most.astype(np.bool_), least.astype(np.bool_)])

    def columns(self, picked: Picked) -> Picked:
        """The other way: the problem's own columns."""
        return picked[: len(self.whole.held)]


def _rows(minutes: sparse.csr_array, bits: int) -> sparse.csr_array:
    """Each crew's minutes less the most, and the least less each crew's minutes: at most 0."""
    crews = minutes.shape[0]
    number = sparse.csr_array(np.tile(1 << np.arange(bits, dtype=np.int64), (crews, 1)))
    none = sparse.csr_array((crews, bits), dtype=np.int64)
    return sparse.csr_array(
        sparse.vstack(
            [sparse.hstack([minutes, -number, none]), sparse.hstack([-minutes, none, number])]
        )
    )


def with_even_hours(whole: Problem) -> Even:
    """The problem as it is solved; without a price on uneven hours it stays as it is."""
    choices, selection = whole.held.choices, whole.selection
    placements = whole.held.placements
    a_minute = choices.uneven_cents_a_minute
    if not a_minute:
        return Even(whole, sparse.csr_array((0, len(whole.held)), dtype=np.int64), 0, selection)
    names = dict.fromkeys((*choices.even_crews, *(p.crew for p in choices.placements)))
    crews = {crew: i for i, crew in enumerate(names)}
    minutes = sparse.csr_array(
        (
            np.array([minutes_of(choices, p) for p in placements], dtype=np.int64),
            (
                np.array([crews[p.crew] for p in placements], dtype=np.int64),
                np.arange(len(placements)),
            ),
        ),
        shape=(len(crews), len(whole.held)),
    )
    if len(crews) < 2:
        return Even(whole, minutes, 0, selection)
    a_crew = sum(supply(choices.half_day_h[cell % 2], PER_HOUR) for cell in choices.horizon.cells)
    bits = a_crew.bit_length()
    own = sparse.csr_array(selection.matrix)
    beside = sparse.csr_array((own.shape[0], 2 * bits), dtype=np.int64)
    rows = _rows(minutes, bits)
    a_bit: NDArray[np.int64] = a_minute << np.arange(bits, dtype=np.int64)
    # no places: a search by neighbourhoods knows nothing of what stands for no stage
    extended = replace(
        selection,
        cost=np.concatenate([selection.cost, a_bit, -a_bit]),
        matrix=sparse.csr_array(sparse.vstack([sparse.hstack([own, beside]), rows])),
        lower=np.concatenate([selection.lower, np.full(rows.shape[0], NO_LOWER)]),
        upper=np.concatenate([selection.upper, np.zeros(rows.shape[0], dtype=np.int64)]),
        places=None,
        always=2 * bits + selection.always,
    )
    return Even(whole, minutes, bits, extended)
