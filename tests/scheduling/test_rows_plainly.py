"""Rows made of whole arrays are those that plain loops make, in the same order."""

from collections import Counter
from dataclasses import replace

import numpy as np
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from plain_rows import PLAINLY
from small_choices import small_choices
from small_lending import small_lending
from tiny_choices import at, choose, to_place

from crewplan.scheduling.fill import fill
from crewplan.scheduling.problem import problem
from crewplan.scheduling.rows import capacity_rows
from crewplan.scheduling.rule_of_thumb import column_order
from crewplan.scheduling.selection import assemble

KITS = (None, None, {"rail": 1.1, "module": 2.0}, {"module": 0.0, "rail": 3.3}, {})
ANY_WEEK = settings(
    max_examples=200,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


@st.composite
def more_scarce(draw):
    """Small choices, with other items in place of some kits, and a second piece to borrow."""
    choices = draw(st.one_of(small_choices(), small_lending()))
    placements = (replace(p, kit=draw(st.sampled_from(KITS))) for p in choices.placements)
    stages = (
        replace(
            stage,
            shared_equipment={
                crew: (*names, *draw(st.sampled_from(((), ("hoist",)))))
                for crew, names in stage.shared_equipment.items()
            },
        )
        for stage in choices.stages
    )
    return replace(
        choices,
        placements=tuple(placements),
        stages=tuple(stages),
        on_hand={**choices.on_hand, "rail": draw(st.sampled_from((0.0, 2.0, 9.9)))},
        open_jobs_max=draw(st.sampled_from((0, 1))),
    )


def _told(row):
    return row.columns.tolist(), row.factors.tolist(), row.upper, row.subject


def visits_on_one_drive():
    """Seldom drawn: visits at one place by the same crew, one of them without its partner."""

    def shared(stage, other, *cells):
        return replace(at(stage, "North", *cells, short_h=1.0), with_visit=other)

    pairs = [("S1", "S2"), ("S2", "S1"), ("S1", "S3"), ("S3", "S1")]
    return choose(
        [to_place(stage) for stage in ("S1", "S2", "S3")],
        [
            *(shared(stage, other, cell) for cell in (0, 3) for stage, other in pairs),
            shared("S2", "S3", 1),
            *(at(stage, "North", 0, short_h=1.5) for stage in ("S1", "S2")),
        ],
    )


def test_rows_of_each_rule_are_those_of_plain_loops():
    seen = Counter()

    @ANY_WEEK
    @given(more_scarce())
    @example(visits_on_one_drive())
    def in_any_week(choices):
        whole = problem(choices)
        for rule, plainly in PLAINLY.items():
            made = [_told(row) for row in whole.rows if row.rule == rule]
            assert made == list(plainly(choices, whole.held.placements)), rule
            seen[rule] += len(made)

    in_any_week()
    assert all(seen[rule] >= 3 for rule in PLAINLY), seen


@ANY_WEEK
@given(more_scarce())
def test_where_columns_stand_and_what_they_cost_is_what_their_placements_say(choices):
    whole = problem(choices)
    held, places, cost = whole.held, whole.held.places, whole.selection.cost
    names = [stage.stage for stage in choices.stages]
    left_out = {stage.stage: sum(stage.unplaced_cost.values()) for stage in choices.stages}
    for column, p in enumerate(held.placements):
        there = names.index(p.stage), choices.crews.index(p.crew), p.cells[0], p.cells[-1]
        one = places.some(np.array([column]))
        assert (*one.stage, *one.crew, *one.first, *one.last) == there
        assert cost[column] == sum(p.cost.values()) - left_out[p.stage]
    for number, loan in enumerate(held.loans):
        one = places.some(np.array([len(held.placements) + number]))
        there = -1, choices.crews.index(loan.crew), 2 * loan.day, 2 * loan.day + 1
        assert (*one.stage, *one.crew, *one.first, *one.last) == there
    assert {stage: found.tolist() for stage, found in held.of_stage.items()} == {
        name: [c for c, p in enumerate(held.placements) if p.stage == name] for name in names
    }


def test_uses_of_any_thing_give_a_row_where_they_are_too_much():
    uses = [("b", 4, 3), ("a", 0, 1), ("b", 2, 2), ("c", 1, 5), ("a", 3, 1)]
    rows = capacity_rows(iter(uses), {"a": 2, "b": 4}, "load", {"b": "boom"})
    assert [_told(row) for row in rows] == [([4, 2], [3, 2], 4, "boom"), ([1], [5], 0, "c")]
    assert list(capacity_rows([], {"a": 2})) == []


def _filled_plainly(selection, picked, order):
    """Try each column; a row that is over already does not mind a column that takes none of it."""
    matrix, picked = selection.matrix.toarray(), picked.copy()
    for column in order:
        more = picked.copy()
        more[column] = True
        over = selection.activity(more) > selection.upper
        if not (over & (matrix[:, column] > 0)).any():
            picked = more
    return picked


def test_filling_up_tries_each_column_in_turn_in_few_and_in_many(monkeypatch):
    """Those that cannot fit are sorted out in pieces; a piece here is of three columns."""
    monkeypatch.setattr("crewplan.scheduling.fill._AT_ONCE", 3)
    monkeypatch.setattr("crewplan.scheduling.fill._FEW", 0)

    @ANY_WEEK
    @given(more_scarce(), st.randoms(use_true_random=False))
    def in_any_week(choices, random):
        whole = problem(choices, all_stay=False)
        order = [*column_order(whole).tolist(), *range(len(whole.held))]
        random.shuffle(order)
        expected = _filled_plainly(whole.selection, whole.nothing(), order)
        assert fill(whole.selection, whole.nothing(), order).tolist() == expected.tolist()

    in_any_week()


def test_filling_up_where_nothing_is_asked_changes_nothing():
    empty = assemble(np.zeros(0, dtype=np.int64), ())
    assert fill(empty, np.zeros(0, dtype=np.bool_), []).tolist() == []
