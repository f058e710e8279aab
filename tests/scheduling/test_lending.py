"""People lent between crews: what becomes possible, what it takes, and what the checker refuses."""

import random
from dataclasses import replace
from datetime import date, timedelta

import pytest
from builders import NOW
from lending_week import COST, checked_plan, lending_branch, lending_plan, moved
from small_week import PROOF, choose, placement, with_placement

from crewplan.model.people_rows import Absence
from crewplan.placing import lent_choices
from crewplan.publishing.lent_words import lent_lines, lent_of
from crewplan.publishing.plan_rows import plan_rows
from crewplan.scheduling import check_plan, schedule


def test_stages_that_no_crew_could_do_alone_are_done_with_somebody_lent():
    _, alone = checked_plan(lending_branch(None))
    _, plan = lending_plan()
    assert {out.stage for out in alone.unplaced} == {"S2", "S4", "S5", "S7"}
    assert not plan.unplaced
    assert placement(plan, "S2").joined
    both = placement(plan, "S7")
    assert len(both.people) >= 4
    assert both.joined


def test_lending_costs_by_person_and_day_apart_from_the_placements():
    _, plan = lending_plan()
    home = {person.person: person.crew for person in lending_branch().people}
    lent = {
        (person, day)
        for planned in plan.planned
        for person in planned.placement.people
        if home[person] != planned.placement.crew
        for day in planned.placement.days
    }
    assert lent
    assert plan.parts["lending"] == round(COST * 100) * len(lent)
    assert all("lending" not in planned.placement.cost for planned in plan.planned)


def test_dear_lending_leaves_the_plan_as_it_is_without():
    _, alone = checked_plan(lending_branch(None))
    _, plan = checked_plan(lending_branch(1_000_000.0))
    assert plan.objective == alone.objective
    assert not any(planned.placement.joined for planned in plan.planned)


def test_each_placement_is_what_the_tables_say_with_those_people_in_the_crew():
    tables = lending_branch()
    others = [p for p in choose(tables).placements if p.joined or p.lent_away]
    assert any(p.lent_away for p in others)
    assert any(len(p.joined) == 2 for p in others)
    looked_at = random.Random(3).sample(others, 12)
    for lent in looked_at:
        alike = [
            replace(p, people=tuple(sorted(p.people)))
            for p in choose(moved(tables, lent)).placements
            if (p.stage, p.crew, p.start) == (lent.stage, lent.crew, lent.start)
        ]
        people = tuple(sorted(lent.people))
        assert [replace(lent, people=people, joined=(), lent_away=())] == alike


def test_a_crew_without_one_of_its_people_takes_longer():
    choices = choose(lending_branch())
    whole = {
        (p.stage, p.start): p
        for p in choices.placements
        if p.crew == "North" and not p.joined and not p.lent_away
    }
    fewer = [p for p in choices.placements if p.crew == "North" and p.lent_away]
    pairs = [(p, whole[p.stage, p.start]) for p in fewer if (p.stage, p.start) in whole]
    assert all(p.end >= full.end for p, full in pairs)
    assert any(p.end > full.end for p, full in pairs)


def test_only_the_nearest_crews_are_offered_a_stage_without_one_of_theirs(monkeypatch):
    north, south = lending_branch().crews
    tables = replace(lending_branch(), crews=(replace(north, base_latitude=46.9), south))
    far = choose(tables)
    assert {p.crew for p in far.placements if p.lent_away} == {"North"}
    monkeypatch.setattr(lent_choices, "MOST_LENDERS", 1)
    # nobody of South is wanted elsewhere; all else is the same, in the same order
    left = tuple(p for p in far.placements if not p.lent_away)
    assert choose(tables).placements == left
    assert choose(lending_branch()).placements == lending_plan()[0].placements


def test_nobody_is_alone_on_a_roof_however_many_are_lent():
    for p in choose(lending_branch()).placements:
        if p.stage in ("S1", "S3", "S7"):
            assert len(p.people) >= 2


@pytest.mark.parametrize("seed", range(6))
def test_over_random_weeks_lending_never_makes_the_price_worse(seed):
    tables, rng = lending_branch(), random.Random(seed)
    days = [date(2026, 5, 4) + timedelta(days=n) for n in range(12)]
    away = tuple(
        Absence(person.person, day, day + timedelta(days=rng.randint(0, 2)))
        for person in tables.people
        for day in days
        if rng.random() < 0.12
    )
    held = tuple(row for row in tables.certificates if rng.random() < 0.8)
    week = replace(tables, absences=away, certificates=held)
    alone = replace(week, settings=replace(week.settings, lending_cost_per_day=None))
    assert checked_plan(week)[1].objective <= checked_plan(alone)[1].objective


def _refused(tables, plan, words, choices=None):
    told = check_plan(tables, choices or lending_plan()[0], plan, NOW)
    assert any(words in sentence for sentence in told), told


def test_the_checker_refuses_a_person_in_two_crews_on_one_day():
    _, plan = lending_plan()
    one = next(p.placement for p in plan.planned if p.placement.joined)
    other = next(
        p.placement
        for p in plan.planned
        if p.placement.crew == one.crew and p.placement is not one and not p.placement.joined
    )
    home = {person.person: person.crew for person in lending_branch().people}
    twice = with_placement(
        plan,
        other.stage,
        crew=home[one.joined[0]],
        cells=one.cells,
        people=(*other.people, one.joined[0]),
    )
    _refused(lending_branch(), twice, f"{one.joined[0]} is with crews North, South")


def test_the_checker_refuses_lending_where_the_branch_lends_nobody():
    choices, plan = lending_plan()
    _refused(lending_branch(None), plan, "the branch lends nobody", choices)


def test_the_checker_refuses_somebody_lent_who_is_away():
    choices, plan = lending_plan()
    tables = lending_branch()
    one = next(p.placement for p in plan.planned if p.placement.joined)
    gone = Absence(one.joined[0], date(2026, 5, 1), None)
    _refused(replace(tables, absences=(*tables.absences, gone)), plan, "is away on", choices)


def test_the_checker_refuses_people_who_stay_away_and_are_lent_to_nobody():
    _, plan = lending_plan()
    alone = next(
        p.placement
        for p in plan.planned
        if p.placement.crew == "North" and not p.placement.joined and not p.placement.lent_away
    )
    fewer = tuple(name for name in alone.people if name != "Eli")
    idle = with_placement(plan, alone.stage, people=fewer, lent_away=("Eli",))
    _refused(lending_branch(), idle, "lacks Eli, who is not lent")


def test_the_checker_refuses_a_price_without_the_cost_of_lending():
    _, plan = lending_plan()
    cents = plan.parts["lending"]
    parts = {name: amount for name, amount in plan.parts.items() if name != "lending"}
    free = replace(plan, objective=plan.objective - cents, bound=0, parts=parts)
    _refused(lending_branch(), free, "price:")


def test_both_engines_lend_alike():
    choices, plan = lending_plan()
    assert schedule(choices, engine="cp-sat", stop=PROOF).objective == plan.objective


def _published(tables, plan, frozen):
    """The tables with a plan published, and its first days frozen."""
    return replace(
        tables,
        present=tables.present | {"plan"},
        plan=plan_rows(plan),
        settings=replace(tables.settings, freeze_days=frozen),
    )


def test_who_is_lent_on_a_frozen_day_stays_lent_as_published():
    _, plan = lending_plan()
    week = _published(lending_branch(), plan, 6)
    lent = {row.stage: row.lent for row in week.plan if row.lent}
    assert lent
    choices, again = checked_plan(week)
    kept = {stage.stage for stage in choices.stages if stage.keep is not None}
    assert kept & set(lent)
    for stage in kept & set(lent):
        assert set(placement(again, stage).joined) == set(lent[stage])
    assert not any(p.left_its_place for p in again.planned)


def test_who_was_lent_and_falls_ill_is_told_where_the_stage_stood():
    _, plan = lending_plan()
    week = _published(lending_branch(), plan, 6)
    row = next(row for row in week.plan if row.lent)
    ill = tuple(Absence(name, date(2026, 5, 1), None) for name in row.lent)
    _, again = checked_plan(replace(week, absences=(*week.absences, *ill)))
    told = [p.left_its_place for p in again.planned if p.placement.stage == row.stage]
    told += [out.reasons for out in again.unplaced if out.stage == row.stage]
    assert any(reason.kind == "pin" for reasons in told for reason in reasons)


def test_the_plan_in_words_says_who_goes_with_which_crew():
    _, plan = lending_plan()
    lines = lent_lines(lending_branch(), plan)
    one = next(p.placement for p in plan.planned if p.placement.joined)
    who = f"{one.joined[0]} of crew "
    assert any(who in line and f"goes with crew {one.crew} (" in line for line in lines)
    assert lent_of(lending_branch(), one)[0][0] == "Lent to the crew"
