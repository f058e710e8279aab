"""What if: two plans of one small invented week. No outside source; relations that must hold."""

from dataclasses import replace
from datetime import date

import pytest
from builders import NOW
from lending_week import lending_branch
from small_week import MONDAY, TUESDAY, placement, small_branch

from crewplan.model.limit_row import Limit
from crewplan.model.plan_row import PlanRow
from crewplan.model.whatif import Supposition, Wanted
from crewplan.publishing.whatif_json import whatif_json
from crewplan.publishing.whatif_text import whatif_text
from crewplan.running.clock import Clock
from crewplan.running.since_published import since_published
from crewplan.running.supposed_limit import LimitFault, supposed_limit
from crewplan.running.supposing import ANOTHER, supposed_branch, what_if
from crewplan.running.week import plan_week
from crewplan.scheduling.wanting import ELSEWHERE, NOT_THERE

CLOCK = Clock(NOW, "set by hand")


def ask(supposition, tables=None):
    return what_if(tables or small_branch(), CLOCK, supposition)


def free_branch():
    return replace(small_branch(), plan=(), present=small_branch().present - {"plan"})


def test_forcing_what_the_plan_does_anyway_costs_and_moves_nothing():
    week = plan_week(free_branch(), CLOCK)
    for planned in week.plan.planned:
        there = planned.placement
        day = week.plan.horizon.day_of(there.start)
        answer = ask(Supposition(Wanted(there.stage, day, there.crew)), free_branch()).comparison
        assert not answer.refused
        assert abs(answer.cents_more) <= answer.unproven_cents
        assert answer.moves == ()


def test_a_stage_forced_to_another_day_stands_there_and_its_price_is_the_whole_plans():
    later = date(2026, 5, 12)
    answer = ask(Supposition(Wanted("S1", later)), free_branch()).comparison
    move = next(move for move in answer.moves if move.stage == "S1")
    assert move.after.start_on == later
    assert move.customer_hears
    assert answer.cents_more > 0
    after = sum(cents for _, cents in answer.parts.values())
    before = sum(cents for cents, _ in answer.parts.values())
    assert (before, after) == (answer.before_cents, answer.after_cents)
    assert {ELSEWHERE, NOT_THERE}.isdisjoint(answer.parts)
    # promised by 8 May: the forced day breaks it, and what follows the roof with it
    assert {"S1", "S2"} <= {promise.stage for promise in answer.broken}


def test_a_stage_that_waits_for_its_permit_cannot_be_forced_and_says_so():
    answer = ask(Supposition(Wanted("S7", TUESDAY)), free_branch()).comparison
    assert {reason.kind for reason in answer.refused} == {"readiness"}
    assert answer.cents_more == 0
    assert answer.moves == ()


def test_a_stage_published_for_a_frozen_day_is_not_forced_elsewhere():
    frozen = placement(plan_week(small_branch(), CLOCK).plan, "S3")
    assert frozen.crew == "South"
    answer = ask(Supposition(Wanted("S3", date(2026, 5, 8)))).comparison
    assert [reason.kind for reason in answer.refused] == ["pin"]
    assert "frozen" in answer.refused[0].detail


def test_two_roofs_that_want_the_one_boom_cannot_both_be_had():
    """S3 stands on Monday and Tuesday with the only boom, and S1 needs it."""
    answer = ask(Supposition(Wanted("S1", MONDAY))).comparison
    assert "boom" in " ".join(reason.detail for reason in answer.refused)


def test_fewer_people_never_make_a_plan_cheaper_and_more_never_dearer():
    crews = [ask(Supposition(without_crews=(crew,))).comparison for crew in ("North", "South")]
    away = [ask(Supposition(away=(person,))).comparison for person in ("Ada", "Di")]
    for answer in (*crews, *away):
        assert answer.cents_more >= -answer.unproven_cents
    more = ask(Supposition(another_like="North")).comparison
    assert more.cents_more <= more.unproven_cents


def test_a_crew_that_is_away_has_no_placement_and_another_has_people_of_its_own():
    answer = ask(Supposition(without_crews=("North",)), free_branch()).comparison
    assert all(move.after is None or move.after.crew != "North" for move in answer.moves)
    week = plan_week(small_branch(), CLOCK)
    with_another = supposed_branch(
        small_branch(), Supposition(another_like="North"), week.plan.horizon
    )
    joined = [row for row in with_another.people if row.crew == ANOTHER + "North"]
    assert [row.person for row in joined] == [ANOTHER + "Ada", ANOTHER + "Bo"]
    assert any(row.person == ANOTHER + "Bo" for row in with_another.certificates)


def test_a_stricter_limit_never_makes_a_plan_cheaper_and_a_looser_one_is_not_asked():
    tables = free_branch()
    strict = supposed_limit(tables, "gust_mps=3.5")
    assert strict == Limit("lift", "gust", 3.5, "m/s", source="gust_mps=3.5")
    # every hour has a gust of 4 m/s
    answer = ask(Supposition(limits=(strict,)), tables).comparison
    assert answer.cents_more > 0
    assert {move.stage for move in answer.moves if move.after is None} >= {"S1", "S3"}
    with pytest.raises(LimitFault, match="looser"):
        supposed_limit(tables, "gust_mph=30")


@pytest.mark.parametrize(
    "text", ["gust", "gust_mph", "gust_mph=", "gust_mph=nan", "thunder=1", "sea.gust_mph=3", "x=1"]
)
def test_a_limit_that_cannot_be_read_is_told(text):
    with pytest.raises(LimitFault):
        supposed_limit(small_branch(), text)


def test_a_plan_published_as_it_is_made_again_changes_nothing():
    week = plan_week(free_branch(), CLOCK)
    horizon = week.plan.horizon
    rows = tuple(
        PlanRow(
            p.placement.stage,
            p.placement.crew,
            horizon.day_of(p.placement.start),
            horizon.half_of(p.placement.start),
            1,
            len(p.placement.cells),
        )
        for p in week.plan.planned
    )
    again = plan_week(
        replace(small_branch(), plan=rows, present=small_branch().present | {"plan"}), CLOCK
    )
    assert since_published(again.branch, again.plan) == ()


def test_what_leaves_its_published_day_is_told_with_both_days():
    """S1 was published for Monday with North; the boom is on S3 by then, which is pinned there."""
    rows = (
        PlanRow("S3", "South", MONDAY, "am", 1, 4, pinned=True),
        PlanRow("S1", "North", MONDAY, "am", 1, 4),
    )
    week = plan_week(replace(small_branch(), plan=rows), CLOCK)
    moves = since_published(week.branch, week.plan)
    told = next(move for move in moves if move.stage == "S1")
    assert told.before.start_on == MONDAY
    assert told.after is None or told.after.start_on > MONDAY
    assert "S3" not in {move.stage for move in moves}


def test_people_who_would_be_lent_to_another_crew_are_named_and_both_crews_hear_of_it():
    asked = Supposition(away=("Di",))
    tables = lending_branch()
    found = ask(asked, tables)

    def loans(plan):  # counted by hand from the placements
        return {
            (plan.horizon.days[day], person, planned.placement.crew)
            for planned in plan.planned
            for person in planned.placement.joined
            for day in planned.placement.days
        }

    home = {person.person: person.crew for person in tables.people}
    before, after = loans(found.week.plan), loans(found.other.plan)
    changes = found.comparison.lent
    assert changes
    assert {(c.day, c.person, c.before) for c in changes if c.before != c.home} == before - after
    assert {(c.day, c.person, c.after) for c in changes if c.after != c.home} == after - before
    assert all(change.home == home[change.person] for change in changes)

    text = whatif_text(tables, asked, found.comparison, "")
    assert "Crews to be told of people lent" in text
    told = whatif_json(asked, found.comparison, "set by hand")["lent"]
    assert [(one["day"], one["person"]) for one in told] == [
        (change.day.isoformat(), change.person) for change in changes
    ]
