"""What was published and can stay: which stages do in any case, and what the rows say of it."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from small_choices import small_choices
from tiny_choices import at, choose, to_place

from crewplan.model.placement import Keep, Part
from crewplan.scheduling.columns import kept_at
from crewplan.scheduling.engines import engine
from crewplan.scheduling.engines.highs import relax
from crewplan.scheduling.engines.highs_run import at_once
from crewplan.scheduling.keeping import keep_together
from crewplan.scheduling.problem import problem, with_stay
from crewplan.scheduling.rows import count_row
from crewplan.scheduling.rules import keep as keep_rule
from crewplan.scheduling.rules.keep import Stay
from crewplan.scheduling.selection import assemble
from crewplan.scheduling.stop import Stop

PROOF = Stop(seconds=None, gap=0.0, steps=100_000)


def stays(stage, crew, start, *, pinned=False, **changes):
    return to_place(stage, keep=Keep(crew, start, pinned=pinned), **changes)


def in_two(placement, back):
    """Broken off before `back`."""
    first, second = (
        tuple(c for c in placement.cells if c < back),
        tuple(c for c in placement.cells if c >= back),
    )
    parts = tuple(Part(cells, placement.people, 2.0, 2.5, 0.0, {}) for cells in (first, second))
    return replace(placement, parts=parts)


def columns_only_there(kept, stage):
    held = kept.whole.held
    there = held.of_stage[stage].tolist()
    return all(kept_at(held.stages[stage], held.placements[c]) for c in there)


def most_that_stay(whole, without=None):
    """Kept placements that can stand at once, and pinned ones of them first among as many."""
    held = whole.held
    worth = np.zeros(len(held), dtype=np.int64)
    for column, p in enumerate(held.placements):
        stage = held.stages[p.stage]
        if kept_at(stage, p):
            worth[column] = -(100 + stage.keep.pinned)
    rows = whole.rows
    if without is not None:
        own = [c for c in held.of_stage[without].tolist() if worth[c]]
        rows = (*rows, count_row(own, 0))
    return at_once(assemble(worth, rows), whole.nothing(), PROOF).objective


@settings(max_examples=120, deadline=None)
@given(small_choices())
def test_a_stage_stays_in_any_case_if_without_it_fewer_can(choices):
    """Held against the definition, one problem a stage; the code asks once or twice for all."""
    kept = keep_together(choices, engine("highs"))
    loose = problem(choices, all_stay=False)
    most = most_that_stay(loose)
    for stage in choices.stages:
        if stage.keep is None or not any(
            kept_at(stage, p) for p in choices.placements if p.stage == stage.stage
        ):
            continue
        firm = most_that_stay(loose, without=stage.stage) > most
        elsewhere = [p for p in choices.placements if p.stage == stage.stage]
        elsewhere = [p for p in elsewhere if not kept_at(stage, p)]
        if elsewhere:
            assert columns_only_there(kept, stage.stage) == firm, stage.stage


@settings(max_examples=120, deadline=None)
@given(small_choices())
def test_rows_of_what_stays_take_no_choice_away(choices):
    """The best price is the same with them and with the one row that only counts."""
    kept = keep_together(choices, engine("highs"))
    there = {p.stage for p in kept.whole.held.taken(kept.seated)}
    stages = [s for s in choices.stages if s.keep is not None and s.stage in there]
    seated = {p.stage: p for p in kept.whole.held.taken(kept.seated)}
    staying = [s for s in stages if kept_at(s, seated[s.stage])]
    count = Stay(len(staying), sum(s.keep.pinned for s in staying))
    plain = with_stay(problem(choices, all_stay=False), count)
    told = at_once(kept.whole.selection, kept.seated, PROOF).objective
    assert told == at_once(plain.selection, None, PROOF).objective


def test_one_stage_that_cannot_stay_sets_no_other_free():
    choices = choose(
        [stays("S1", "North", 0, pinned=True), stays("S2", "North", 0), stays("S3", "South", 0)],
        [
            *(at(stage, "North", cell) for stage in ("S1", "S2") for cell in (0, 1, 2)),
            *(at("S3", "South", cell) for cell in (0, 1, 2)),
        ],
    )
    kept = keep_together(choices, engine("highs"))
    assert [len(kept.whole.held.of_stage[s]) for s in ("S1", "S2", "S3")] == [1, 3, 1]


def test_where_either_of_two_can_stay_the_price_decides():
    choices = choose(
        [stays("S1", "North", 0), stays("S2", "North", 0)],
        [
            at("S1", "North", 0, cents=1000),
            at("S1", "North", 1, cents=9000),
            at("S2", "North", 0, cents=1000),
            at("S2", "North", 1, cents=1500),
        ],
    )
    kept = keep_together(choices, engine("highs"))
    assert [len(kept.whole.held.of_stage[s]) for s in ("S1", "S2")] == [2, 2]
    found = at_once(kept.whole.selection, kept.seated, PROOF)
    assert [(p.stage, p.start) for p in kept.whole.held.taken(found.picked)] == [
        ("S1", 0),
        ("S2", 1),
    ]


@pytest.fixture
def left_and_taken_up_again():
    """S1 stays with North from the first half-day, and comes back in the third or the fifth; S2
    would need both."""
    ways = [in_two(at("S1", "North", 0, *back), back[0]) for back in ((2, 3), (4, 5))]
    return choose(
        [stays("S1", "North", 0), to_place("S2")],
        [
            *ways,
            at("S2", "North", 2, 3, 4, 5, cents=100),
            at("S2", "North", 2, 3, cents=5000),
            at("S2", "South", 4, 5, cents=5000),
        ],
    )


def test_what_no_way_of_it_leaves_room_for_is_out_and_the_relaxation_knows(left_and_taken_up_again):
    kept = keep_together(left_and_taken_up_again, engine("highs"))
    whole = kept.whole
    bare = problem(left_and_taken_up_again)
    counted = with_stay(bare, Stay(1, 0))
    best = at_once(whole.selection, kept.seated, PROOF).objective
    assert best == at_once(counted.selection, None, PROOF).objective
    assert relax(whole.selection, PROOF).bound == pytest.approx(best)
    assert relax(counted.selection, PROOF).bound < best - 1000
    (out,) = [
        row for row in whole.rows if row.rule == keep_rule.NAME and row.upper == 0 and row.lower < 0
    ]
    assert [whole.held.placements[c].cells for c in out.columns.tolist()] == [(2, 3, 4, 5)]


def test_short_visits_beside_a_short_visit_that_stays_are_not_out():
    choices = choose(
        [stays("S1", "North", 0), to_place("S2"), to_place("S3")],
        [
            at("S1", "North", 0, short_h=1.5),
            at("S2", "North", 0, short_h=1.5),
            at("S3", "North", 0, 1),
        ],
    )
    whole = keep_together(choices, engine("highs")).whole
    rows = [r for r in whole.rows if r.rule == keep_rule.NAME and r.upper == 0]
    out = [whole.held.placements[c].stage for row in rows for c in row.columns.tolist()]
    assert out == ["S3"]
