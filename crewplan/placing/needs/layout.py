"""A roof on which the array cannot go as drawn."""

from collections.abc import Sequence

import numpy as np

from crewplan.model.horizon import Horizon
from crewplan.placing.removals import Removal


def layout_refused(problems: Sequence[str], horizon: Horizon) -> list[Removal]:
    """Every start, for each rule that the take-off found broken (plane, rule, shortfall in mm)."""
    everywhere = np.ones(len(horizon.cells), dtype=np.bool_)
    return [Removal("readiness", f"layout: {problem}", everywhere) for problem in problems]
