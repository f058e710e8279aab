"""The placements that a problem has a column for, and how to find them."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from crewplan.model.placement import Choices, Placement, StageToPlace
from crewplan.scheduling.selection import Places


@dataclass(frozen=True, eq=False)
class Columns:
    """One column a placement."""

    choices: Choices
    placements: tuple[Placement, ...]

    @cached_property
    def stages(self) -> dict[str, StageToPlace]:
        """By number of the stage."""
        return {stage.stage: stage for stage in self.choices.stages}

    @cached_property
    def of_stage(self) -> dict[str, NDArray[np.int64]]:
        """Columns by stage, ascending; every stage to place has an entry."""
        held: dict[str, list[int]] = {stage.stage: [] for stage in self.choices.stages}
        for column, placement in enumerate(self.placements):
            held[placement.stage].append(column)
        return {stage: np.array(found, dtype=np.int64) for stage, found in held.items()}

    @cached_property
    def ends(self) -> NDArray[np.int64]:
        """Last half-day by column."""
        return np.array([placement.end for placement in self.placements], dtype=np.int64)

    @cached_property
    def places(self) -> Places:
        """Stage, crew, first and last half-day of each column."""
        stage_of = {stage: index for index, stage in enumerate(self.of_stage)}
        crew_of = {crew: index for index, crew in enumerate(self.choices.crews)}
        found = np.array(
            [(stage_of[p.stage], crew_of[p.crew], p.start, p.end) for p in self.placements],
            dtype=np.int64,
        ).reshape(-1, 4)
        return Places(*found.T.copy())

    def days(self, column: int) -> Iterator[int]:
        """Days of the horizon that a column's placement works on, each once, by index."""
        return iter(dict.fromkeys(cell // 2 for cell in self.placements[column].cells))


def kept_at(stage: StageToPlace, placement: Placement) -> bool:
    """Whether the placement is where the stage was published and is to stay."""
    keep = stage.keep
    if keep is None or (placement.crew, placement.start) != (keep.crew, keep.start):
        return False
    return keep.again is None or keep.again in placement.part_starts[1:]


def columns(choices: Choices, *, all_stay: bool = True) -> Columns:
    """Columns for all placements that may be picked.

    Args:
        choices: what there is.
        all_stay: what is to stay where it was published has a column there only; else, where not
            all of it can stay at once, the others have a column for each of their placements.
    """
    stages = {stage.stage: stage for stage in choices.stages}
    return Columns(
        choices,
        tuple(
            placement
            for placement in choices.placements
            if not all_stay
            or stages[placement.stage].keep is None
            or kept_at(stages[placement.stage], placement)
        ),
    )
