"""What a placement that was not picked would break in a plan."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from crewplan.model.placement import Reason
from crewplan.scheduling.columns import Loan
from crewplan.scheduling.problem import Problem
from crewplan.scheduling.rules import RULES
from crewplan.scheduling.selection import Picked, entries_of

_MOST_NAMES = 6


@dataclass(frozen=True, slots=True, eq=False)
class Clashes:
    """Looks up, for one plan, which rows adding a column would break."""

    whole: Problem
    picked: Picked
    by_column: sparse.csc_array
    activity: NDArray[np.int64]
    over: NDArray[np.intp]
    """Rows over their upper end: stages of the plan that follow one which was taken out of it."""
    _users: dict[int, tuple[str, ...]] = field(default_factory=dict)
    """By row that was asked about: many stages are kept out by the same ones."""

    def rows(self, column: int) -> tuple[int, ...]:
        """Rows that would be over their upper end, by index, whether by this column or already.

        What it needs lent comes with it.
        """
        columns = self.whole.held.together(column, self.picked)
        if len(columns) == 1:
            return self.broken([column])[column]
        rows = np.unique(self.by_column[:, columns].indices)
        factors = self.by_column[:, columns].sum(axis=1)[rows]
        return self._with_untouched(rows, factors)

    def broken(self, columns: Sequence[int]) -> dict[int, tuple[int, ...]]:
        """`rows` of each column, found for all of them at once."""
        held = self.whole.held
        with_loans = {
            column
            for column in columns
            if held.placements[column].joined and len(held.together(column, self.picked)) > 1
        }
        alone = np.array([c for c in columns if c not in with_loans], dtype=np.int64)
        rows, factors, ends = entries_of(self.by_column, alone)
        if len(self.over):  # seldom: a stage was taken out of the plan, or the plan is none
            pieces = zip(np.split(rows, ends[:-1]), np.split(factors, ends[:-1]), strict=True)
            told = [self._with_untouched(*piece) for piece in pieces] if len(alone) else []
        else:
            over = self.activity[rows] + factors > self.whole.selection.upper[rows]
            told = [tuple(of) for of in _lists(rows, over, ends)]
        found = dict(zip(alone.tolist(), told, strict=True))
        return {c: self.rows(c) if c in with_loans else found[c] for c in columns}

    def _with_untouched(
        self, rows: NDArray[np.int64], factors: NDArray[np.int64]
    ) -> tuple[int, ...]:
        over = rows[self.activity[rows] + factors > self.whole.selection.upper[rows]]
        untouched = self.over
        if len(untouched):  # seldom, and telling them apart takes long
            untouched = untouched[~np.isin(untouched, rows)]
        return tuple(int(row) for row in (*over, *untouched))

    def cost(self, column: int) -> int:
        """What adding it costs, in cents, with what it needs lent."""
        columns = self.whole.held.together(column, self.picked)
        return int(self.whole.selection.cost[columns].sum())

    def not_lent(self, column: int) -> bool:
        """Whether it does without people whom the plan lends to nobody; that is no offer."""
        placement = self.whole.held.placements[column]
        if not placement.lent_away:
            return False
        lent = {(loan.person, loan.day) for loan in self.lent}
        return any((p, day) not in lent for p in placement.lent_away for day in placement.days)

    @property
    def lent(self) -> list[Loan]:
        """Of the plan."""
        return self.whole.held.lent(self.picked)

    def _stages_using(self, index: int) -> tuple[str, ...]:
        """Stages of the plan that take of what the row counts."""
        if index not in self._users:
            row, placements = self.whole.rows[index], self.whole.held.placements
            taken = row.columns[self.picked[row.columns] & (row.factors > 0)]
            self._users[index] = tuple(placements[c].stage for c in taken if c < len(placements))
        return self._users[index]

    def reasons(self, columns: Iterable[int]) -> tuple[Reason, ...]:
        """One reason a rule, over the days on which the columns that break it would start."""
        held = self.whole.held
        names: dict[str, dict[str, dict[str, None]]] = {}
        days: dict[str, set[int]] = {}
        told: set[tuple[int, str, int]] = set()
        for column, broken in self.broken([c for c in columns if not self.not_lent(c)]).items():
            placement = held.placements[column]
            day = placement.start // 2
            for index in broken:
                if (index, placement.stage, day) in told:  # it names the same stages and day
                    continue
                told.add((index, placement.stage, day))
                row = self.whole.rows[index]
                days.setdefault(row.rule, set()).add(day)
                subjects = names.setdefault(row.rule, {}).setdefault(row.subject, {})
                for stage in self._stages_using(index):
                    if stage != placement.stage:
                        subjects[stage] = None
        horizon = held.choices.horizon
        return tuple(
            Reason(
                rule.kind,
                rule.words(_few(names[rule.name])),
                horizon.days[min(days[rule.name])],
                horizon.days[max(days[rule.name])],
            )
            for rule in RULES
            if rule.name in names
        )


def _lists(
    values: NDArray[np.int64], chosen: NDArray[np.bool_], ends: NDArray[np.int64]
) -> Iterator[list[int]]:
    """The chosen values of each piece; pieces end at `ends`."""
    left = np.concatenate(([0], np.cumsum(chosen)))
    kept, begin = values[chosen].tolist(), 0
    for end in left[ends].tolist():
        yield kept[begin:end]
        begin = end


def _few(names: dict[str, dict[str, None]]) -> dict[str, tuple[str, ...]]:
    """Enough names to act on."""
    kept = list(names.items())[:_MOST_NAMES]
    return {subject: tuple(others)[:_MOST_NAMES] for subject, others in kept}


def clashes(whole: Problem, picked: Picked) -> Clashes:
    """For one plan; a stage that is asked about for elsewhere is taken out of it first."""
    selection = whole.selection
    activity = selection.activity(picked)
    over = np.flatnonzero(activity > selection.upper)
    return Clashes(whole, picked, sparse.csc_array(selection.matrix), activity, over)
