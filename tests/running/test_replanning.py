"""Planning again after an event: as good as planning afresh, with no more moves, and checked."""

import sys
from dataclasses import replace
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "placing"))
sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

from invented_weeks import NOW, TODAY, bare_week
from test_memory_of_the_last_look import (
    a_day_is_shut,
    a_job_comes_in,
    a_permit_slips,
    equipment_breaks,
)

from crewplan.model.people_rows import Absence
from crewplan.placing.memory import Memory
from crewplan.publishing.plan_rows import plan_rows
from crewplan.running import replanning
from crewplan.running.clock import Clock
from crewplan.running.replanning import repair_published, replan
from crewplan.running.week import plan_week
from crewplan.scheduling import Stop
from crewplan.scheduling.comparing import slots

CLOCK = Clock(NOW, "set by hand")
PROOF = Stop(seconds=60, gap=0.0)
NEAR = 1.001
"""Of the price of a plan made afresh and proven the best."""


@pytest.fixture(scope="module")
def last():
    """A week, proven the cheapest, and what placing found for it."""
    memory = Memory()
    tables = replace(bare_week(5, 21, seed=2), plan=())
    return plan_week(tables, CLOCK, stop=PROOF, memory=memory), memory


def a_crew_is_ill(week):
    crew = week.plan.planned[2].placement.crew
    ill = [row.person for row in week.branch.people if row.crew == crew]
    gone = tuple(Absence(person, TODAY, None) for person in ill[:2])
    return replace(week.branch, absences=(*week.branch.absences, *gone))


def _of_branch(event):
    def of_week(week):
        return event(week.branch)

    return pytest.param(of_week, id=event.__name__)


EVENTS = [
    a_crew_is_ill,
    *map(_of_branch, (a_permit_slips, a_job_comes_in, a_day_is_shut, equipment_breaks)),
]


def moved(before, after):
    """Stages that had a place before and do not begin there with that crew any more."""
    is_now = slots(after)
    return {
        stage
        for stage, was in slots(before).items()
        if (now := is_now.get(stage)) is None
        or (now.crew, now.start_on, now.start_half) != (was.crew, was.start_on, was.start_half)
    }


@pytest.mark.parametrize("event", EVENTS)
def test_after_an_event_the_plan_is_as_good_as_one_made_afresh_with_no_more_moves(last, event):
    week, memory = last
    tables = event(week)
    afresh = plan_week(tables, CLOCK, stop=PROOF).plan
    again = replan(week, memory, tables, CLOCK, seconds=60, gap=0.0)
    assert again.lost
    assert again.thorough
    assert again.week.plan.objective <= NEAR * afresh.objective
    assert again.week.plan.bound <= afresh.objective
    ours = moved(week.plan, again.week.plan)
    assert len(ours) <= len(moved(week.plan, afresh))
    assert ours <= {move.stage for move in again.moves}
    # the repair alone, which large weeks have for local events, is near and moves little more
    repaired = replan(week, memory, tables, CLOCK, thorough=False, beside=False)
    assert afresh.objective <= repaired.week.plan.objective <= 1.08 * afresh.objective
    assert len(moved(week.plan, repaired.week.plan)) <= len(moved(week.plan, afresh)) + 1


def test_a_repair_does_not_hang_on_the_clock(last, monkeypatch):
    week, memory = last
    tables = a_crew_is_ill(week)
    by_both = replan(week, memory, tables, CLOCK, thorough=False, beside=False).week.plan
    by_nodes = replace(replanning._A_REPAIR, seconds=None)
    monkeypatch.setattr(replanning, "_A_REPAIR", by_nodes)
    alone = replan(week, memory, tables, CLOCK, thorough=False, beside=False).week.plan
    assert [p.placement.key for p in alone.planned] == [p.placement.key for p in by_both.planned]


def test_where_nothing_happened_nothing_moves(last):
    week, memory = last
    for thorough in (False, True):
        again = replan(week, memory, week.branch, CLOCK, thorough=thorough)
        assert (again.lost, again.moves, again.thorough) == ((), (), thorough)
        assert again.week.plan.objective == week.plan.objective
        assert again.week.plan.unplaced == week.plan.unplaced or thorough


def test_a_thorough_search_after_the_repair_is_no_dearer_and_proves_something(last):
    week, memory = last
    tables = a_crew_is_ill(week)
    quick = replan(week, memory, tables, CLOCK, thorough=False).week.plan
    long = replan(week, memory, tables, CLOCK, thorough=True).week.plan
    assert long.objective <= quick.objective + 100 * len(week.plan.planned)
    assert quick.bound < long.bound <= long.objective
    assert (quick.rule_of_thumb, long.rule_of_thumb) == (None, None)


def test_what_still_stands_of_the_published_plan_is_kept(last):
    tables = last[0].branch
    rows = plan_rows(plan_week(tables, CLOCK, stop=PROOF, publishing=True).plan, ())
    published = replace(tables, present=tables.present | {"plan"}, plan=tuple(rows))
    same = repair_published(published, CLOCK)
    assert [move for move in same.moves if move.before is not None] == []
    slipped = a_permit_slips(published)
    after = repair_published(slipped, CLOCK)
    gone = {move.stage for move in after.moves if move.before is not None}
    job = next(r.job for r in published.requirements if r.kind == "permit")
    assert gone
    assert {stage.job for stage in slipped.stages if stage.stage in gone} >= {job}
    assert len(gone) <= 6
