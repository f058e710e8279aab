"""What a crew could do in the last look, where only the weather of some days is another now."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crewplan.model.placement import Placement
from crewplan.placing.crew_choices import CrewChoices
from crewplan.placing.fit_line import Earlier, reaches


@dataclass(frozen=True, slots=True, eq=False)
class Nearly:
    """Of one stage and one crew."""

    choices: CrewChoices
    changed: NDArray[np.bool_]
    """By day of the horizon: whether the weather at the site is another now."""

    def walk(self, *, overtime: bool) -> Earlier | None:
        """Along the line without or with overtime; None: it was not walked."""
        fitted = self.choices.walked.get(overtime)
        return None if fitted is None else Earlier(fitted, self.changed)

    def placements(self) -> dict[int, Placement]:
        """By start: those in one go, without overtime, that no changed day reaches."""
        found = [p for p in self.choices.placements if not p.parts and not p.overtime_h]
        first = np.array([p.start // 2 for p in found], dtype=np.int64)
        last = np.array([p.end // 2 for p in found], dtype=np.int64)
        same = ~reaches(self.changed, first, last)
        return {p.start: p for p, stays in zip(found, same.tolist(), strict=True) if stays}
