"""What many columns would break, found at once, is what each is found to break by itself."""

import numpy as np
from lending_week import lending_plan

from crewplan.scheduling.clashes import Clashes, clashes
from crewplan.scheduling.problem import problem


def _plainly(seen: Clashes, column: int) -> set[int]:
    """By the definition: every row's sum with the column, and the loans that it needs."""
    picked = seen.picked.copy()
    picked[seen.whole.held.together(column, seen.picked)] = True
    sums = seen.whole.selection.activity(picked)
    return set(np.flatnonzero(sums > seen.whole.selection.upper).tolist())


def test_rows_of_all_columns_with_loans_picked_already_and_not() -> None:
    choices, plan = lending_plan()
    whole = problem(choices, all_stay=False)
    there = {planned.placement.key for planned in plan.planned}
    for without in ("", "S2", "S7"):
        picked = whole.held.with_loans(
            p.key in there and p.stage != without for p in whole.held.placements
        )
        seen = clashes(whole, picked)
        columns = np.flatnonzero(~picked[: len(whole.held.placements)]).tolist()
        needs = [len(whole.held.together(column, picked)) for column in columns]
        joined = [bool(whole.held.placements[column].joined) for column in columns]
        assert 2 in needs
        assert (1, True) in zip(needs, joined, strict=True)
        at_once = seen.broken(columns)
        assert list(at_once) == columns
        for column in columns:
            assert set(at_once[column]) == _plainly(seen, column)
            assert at_once[column] == seen.rows(column)


def test_rows_that_are_over_already_are_told_of_each() -> None:
    """A stage is taken out of the plan that another follows, as `why` does."""
    choices, plan = lending_plan()
    whole = problem(choices, all_stay=False)
    there = {planned.placement.key for planned in plan.planned}
    picked = whole.held.with_loans(
        p.key in there and p.stage != "S1" for p in whole.held.placements
    )
    seen = clashes(whole, picked)
    assert len(seen.over)
    columns = whole.held.of_stage["S1"].tolist()
    told = seen.broken(columns)
    assert all(set(told[column]) == _plainly(seen, column) for column in columns)
    assert len({bool(rows) for rows in told.values()}) == 2
    assert seen.broken([]) == {}
