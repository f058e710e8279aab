"""The placements that a problem has a column for, and how to find them."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from functools import cached_property
from itertools import chain

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from crewplan.model.placement import Choices, Placement, StageToPlace
from crewplan.scheduling.grouping import grouped
from crewplan.scheduling.selection import NOWHERE, Picked, Places


@dataclass(frozen=True, slots=True)
class Loan:
    """Somebody who is with another crew for a day: a column beside those of placements."""

    person: str
    crew: str
    """The one that they join."""
    day: int
    """Of the horizon, by index."""


def loans_of(placements: Iterable[Placement]) -> tuple[Loan, ...]:
    """All that the placements need, each once."""
    return tuple(
        dict.fromkeys(
            Loan(person, p.crew, day)
            for p in placements
            if p.joined
            for person in p.joined
            for day in p.days
        )
    )


@dataclass(frozen=True, eq=False)
class Columns:
    """One column a placement, and after them one a loan."""

    choices: Choices
    placements: tuple[Placement, ...]

    @cached_property
    def loans(self) -> tuple[Loan, ...]:
        """Of people to other crews; their columns come after all placements."""
        return loans_of(self.placements)

    def __len__(self) -> int:
        """How many columns there are."""
        return len(self.placements) + len(self.loans)

    def with_loans(self, taken: Iterable[bool]) -> Picked:
        """Placements that are taken, one entry each, and the loans that they need."""
        picked = np.zeros(len(self), dtype=np.bool_)
        picked[: len(self.placements)] = np.fromiter(taken, dtype=np.bool_)
        if self.loans:
            needed = set(loans_of(self.taken(picked)))
            picked[len(self.placements) :] = [loan in needed for loan in self.loans]
        return picked

    def taken(self, picked: Picked) -> list[Placement]:
        """Placements that are picked."""
        columns = np.flatnonzero(picked[: len(self.placements)])
        return [self.placements[column] for column in columns]

    def lent(self, picked: Picked) -> list[Loan]:
        """Loans that are picked."""
        return [self.loans[i] for i in np.flatnonzero(picked[len(self.placements) :])]

    @cached_property
    def _loan_columns(self) -> dict[Loan, int]:
        return {loan: len(self.placements) + i for i, loan in enumerate(self.loans)}

    def together(self, column: int, picked: Picked) -> list[int]:
        """A placement's column and those of the loans that it needs beside what is picked."""
        needed = loans_of([self.placements[column]])
        columns = (self._loan_columns[loan] for loan in needed)
        return [column, *(loan for loan in columns if not picked[loan])]

    @cached_property
    def stages(self) -> dict[str, StageToPlace]:
        """By number of the stage."""
        return {stage.stage: stage for stage in self.choices.stages}

    @cached_property
    def of_stage(self) -> dict[str, NDArray[np.int64]]:
        """Columns by stage, ascending; every stage to place has an entry."""
        names = tuple(self.stages)
        held = dict.fromkeys(names, np.zeros(0, dtype=np.int64))
        found = grouped(self.placed.stage, len(names))
        return held | {names[stage]: columns for stage, columns in found}

    def where_kept(self, stage: StageToPlace) -> NDArray[np.int64]:
        """Columns of a stage where it was published and is to stay, ascending."""
        own = self.of_stage[stage.stage]
        there = (kept_at(stage, self.placements[column]) for column in own.tolist())
        return own[np.fromiter(there, dtype=np.bool_, count=len(own))]

    @cached_property
    def ends(self) -> NDArray[np.int64]:
        """Last half-day by column."""
        return self.placed.last

    @cached_property
    def places(self) -> Places:
        """Stage, crew, first and last half-day of each column; a loan is of no stage."""
        stage_of = {stage: index for index, stage in enumerate(self.stages)}
        crew_of = {crew: index for index, crew in enumerate(self.choices.crews)}
        stage = [stage_of[placement.stage] for placement in self.placements]
        crew = [crew_of[placement.crew] for placement in self.placements]
        begins, taken = self.occupied.indptr, self.occupied.indices
        days = np.array([loan.day for loan in self.loans], dtype=np.int64)
        return Places(
            np.array(stage + [NOWHERE] * len(self.loans), dtype=np.int64),
            np.array(crew + [crew_of[loan.crew] for loan in self.loans], dtype=np.int64),
            np.concatenate([taken[begins[:-1]].astype(np.int64), 2 * days]),
            np.concatenate([taken[begins[1:] - 1].astype(np.int64), 2 * days + 1]),
        )

    @cached_property
    def placed(self) -> Places:
        """As `places`, without the loans."""
        return self.places.some(np.arange(len(self.placements)))

    @cached_property
    def occupied(self) -> sparse.csr_array:
        """Shape placements x half-days: 1 where the placement takes the half-day."""
        cells = [placement.cells for placement in self.placements]
        lengths = np.fromiter(map(len, cells), dtype=np.int64, count=len(cells))
        ends = np.concatenate([[0], np.cumsum(lengths)])
        taken = np.fromiter(chain.from_iterable(cells), dtype=np.int64, count=int(ends[-1]))
        shape = len(cells), len(self.choices.horizon.cells)
        return sparse.csr_array((np.ones_like(taken), taken, ends), shape=shape)

    @cached_property
    def half_days(self) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """Column and half-day of all that placements take, one entry each, by column."""
        columns = np.repeat(np.arange(len(self.placements)), np.diff(self.occupied.indptr))
        return columns, self.occupied.indices.astype(np.int64)

    @cached_property
    def short_h(self) -> NDArray[np.float64]:
        """Hours of placements that may share their half-day; not a number: it does not."""
        return np.array([placement.short_h for placement in self.placements], dtype=np.float64)

    @cached_property
    def left_open(self) -> NDArray[np.int64]:
        """Columns of placements in parts, ascending."""
        return np.array([i for i, p in enumerate(self.placements) if p.parts], dtype=np.int64)


def kept_at(stage: StageToPlace, placement: Placement) -> bool:
    """Whether the placement is where the stage was published and is to stay."""
    return stage.keep is not None and stage.keep.holds(placement)


def columns(choices: Choices, *, all_stay: bool = True, firm: Collection[str] = ()) -> Columns:
    """Columns for all placements that may be picked.

    Args:
        choices: what there is.
        all_stay: what is to stay where it was published has a column there only; else, where not
            all of it can stay at once, the others have a column for each of their placements.
        firm: stages that stay in any case, though not all do.
    """
    there = {
        stage.stage: stage
        for stage in choices.stages
        if stage.keep is not None and (all_stay or stage.stage in firm)
    }
    return Columns(
        choices,
        tuple(
            placement
            for placement in choices.placements
            if placement.stage not in there or kept_at(there[placement.stage], placement)
        ),
    )
