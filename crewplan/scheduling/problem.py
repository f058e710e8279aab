"""Choices as one selection: columns, rows of all rules, and prices in whole cents."""

from collections.abc import Collection
from dataclasses import dataclass, replace

import numpy as np

from crewplan.model.placement import Choices
from crewplan.scheduling.columns import Columns, columns
from crewplan.scheduling.rules import RULES, keep
from crewplan.scheduling.selection import Picked, Row, Selection, assemble


@dataclass(frozen=True, slots=True, eq=False)
class Problem:
    """What the engines solve, and what its columns and rows stand for.

    Leaving every stage out costs the constant; a column costs what its placement adds to that.
    """

    held: Columns
    rows: tuple[Row, ...]
    """As in the selection, by index."""
    selection: Selection

    def nothing(self) -> Picked:
        """No column picked."""
        return np.zeros(len(self.held), dtype=np.bool_)

    def stages(self, picked: Picked) -> frozenset[str]:
        """Stages that are placed."""
        return frozenset(placement.stage for placement in self.held.taken(picked))


def problem(choices: Choices, *, all_stay: bool = True, firm: Collection[str] = ()) -> Problem:
    """The problem in which nothing has to stay where it was published; arguments of `columns`."""
    held = columns(choices, all_stay=all_stay, firm=firm)
    left_out = {s.stage: sum(s.unplaced_cost.values()) for s in choices.stages}
    a_loan = 0 if choices.lending is None else choices.lending.cents_per_day
    cost = np.array(
        [*(p.cents for p in held.placements), *(a_loan for _ in held.loans)], dtype=np.int64
    )
    saved = np.array([left_out[stage] for stage in held.stages], dtype=np.int64)
    cost[: len(held.placements)] -= saved[held.placed.stage]
    rows = tuple(row for rule in RULES for row in rule.rows(held))
    selection = assemble(cost, rows, sum(left_out.values()), held.places)
    return Problem(held, rows, replace(selection, always=len(held.loans)))


def with_stay(whole: Problem, stay: keep.Stay) -> Problem:
    """The same, in which so many published placements stay, all of them or as many as can."""
    bare = whole.selection
    rows = (*whole.rows, *keep.rows(whole.held, stay))
    selection = assemble(bare.cost, rows, bare.constant, bare.places)
    return Problem(whole.held, rows, replace(selection, always=bare.always))
