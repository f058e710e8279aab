"""The placements that a problem has a column for, and how to find them."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from crewplan.model.placement import Choices, Placement, StageToPlace


@dataclass(frozen=True, eq=False)
class Columns:
    """One column a placement; of a stage that must stay, only the placement that it stays at."""

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

    def days(self, column: int) -> Iterator[int]:
        """Days of the horizon that a column's placement works on, each once, by index."""
        return iter(dict.fromkeys(cell // 2 for cell in self.placements[column].cells))


def kept_at(stage: StageToPlace, placement: Placement) -> bool:
    """Whether the placement is the one that the stage must stay at."""
    keep = stage.keep
    return keep is not None and (placement.crew, placement.start) == (keep.crew, keep.start)


def columns(choices: Choices) -> Columns:
    """Columns for all placements that may be picked."""
    stages = {stage.stage: stage for stage in choices.stages}
    return Columns(
        choices,
        tuple(
            placement
            for placement in choices.placements
            if stages[placement.stage].keep is None or kept_at(stages[placement.stage], placement)
        ),
    )
