"""Crews lent between neighbouring branches: what is paid, who is free, and who is no neighbour."""

import sys
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from builders import NOW

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

from invented_weeks import bare_week, choose

from crewplan.running.branch_task import Asked, plan_branch
from crewplan.running.clock import Clock
from crewplan.running.crew_loans import (
    LOAN,
    Member,
    lend,
    neighbours,
    next_borrowers,
    offer,
    priced,
    with_offers,
)
from crewplan.running.workers import OneAfterAnother
from crewplan.scheduling.checker.loans import loans_at_fault

CLOCK = Clock(NOW, "set by hand")
ASKED = Asked(days=5, steps=300)
PER_DAY = 100.0


def with_settings(branch, **changes):
    return replace(branch, settings=replace(branch.settings, **changes))


@cache
def alone(crews, stages, seed):
    branch = bare_week(crews, stages, seed)
    return branch, plan_branch(branch, CLOCK, ASKED)


def member(name, crews, stages, seed, **changes):
    """A branch with its plan alone; the settings that are changed are not in that plan's way."""
    branch, made = alone(crews, stages, seed)
    changes = {"crew_lent_per_day": PER_DAY, "name": name} | changes
    return Member(name, name, with_settings(branch, **changes), CLOCK, made)


def together(*members):
    return {one.key: one for one in members}


BUSY = ("Busy", 1, 15, 3)
BUSY_TOO = ("Busy too", 1, 12, 4)
IDLE = ("Idle", 2, 3, 5)


@pytest.fixture(scope="module")
def three():
    members = together(member(*BUSY), member(*BUSY_TOO), member(*IDLE))
    return members, lend(members, ASKED, OneAfterAnother())


def worked(plan, crew):
    """Crew's days in a plan, recounted from its rows."""
    found = [p.placement for p in plan.planned if p.placement.crew == crew]
    return [plan.horizon.days[cell // 2] for p in found for cell in p.cells]


def test_who_is_in_need_borrows_and_is_better_off_with_all_that_it_pays(three):
    members, lent = three
    assert lent.borrowed
    for key, borrowed in lent.borrowed.items():
        plan = borrowed.made.plan
        assert plan.objective < members[key].plan.objective
        assert sum(plan.parts.values()) == plan.objective
        half_days = sum(len(worked(plan, loan.crew)) for loan in borrowed.loans)
        assert plan.parts[LOAN] == half_days * PER_DAY * 100 / 2
        assert sum(loan.cents for loan in borrowed.loans) == plan.parts[LOAN]
    assert not lent.errors


def test_a_crew_is_sent_on_days_on_which_its_own_branch_has_nothing_for_it_and_to_one_branch(three):
    members, lent = three
    sent = []
    for borrowed in lent.borrowed.values():
        for loan in borrowed.loans:
            assert loan.lender == "Idle"
            assert loan.crew == f"{loan.own_name} of Idle"
            days = set(worked(borrowed.made.plan, loan.crew))
            assert days == set(loan.days)
            assert not days & set(worked(members["Idle"].plan, loan.own_name))
            sent += [(loan.own_name, day) for day in days]
    assert len(sent) == len(set(sent))


def test_who_comes_first_is_told_by_the_plans_and_not_by_who_was_ready_first(three):
    members, lent = three
    again = lend(dict(reversed(members.items())), ASKED, OneAfterAnother())
    assert {k: b.loans for k, b in again.borrowed.items()} == {
        k: b.loans for k, b in lent.borrowed.items()
    }


def test_a_crew_that_is_too_dear_stays_at_home():
    members = together(member(*BUSY), member(*IDLE, crew_lent_per_day=1_000_000.0))
    assert lend(members, ASKED, OneAfterAnother()).borrowed == {}


@pytest.mark.parametrize(
    ("changes", "are"),
    [
        ({}, True),
        ({"crew_lent_per_day": None}, False),
        ({"latitude": 48.8}, False),
        ({"latitude": 48.8, "crew_lent_within_km": 300.0}, False),
        ({"currency": "CAD"}, False),
    ],
)
def test_both_must_want_it_be_near_for_both_and_pay_in_the_same_money(changes, are):
    here, there = member(*BUSY).branch, member(*IDLE, **changes).branch
    assert neighbours(here, there) is are
    assert neighbours(there, here) is are


def test_nobody_goes_before_a_branch_in_greater_need_that_might_want_the_same_crews(three):
    members, _ = three
    order = sorted(members.values(), key=lambda m: -m.in_need)
    assert list(next_borrowers(members, set())) == [order[0].key]
    assert list(next_borrowers(members, {order[0].key})) == [order[1].key]


def test_where_nobody_is_near_nobody_is_asked():
    far = member(*IDLE, latitude=10.0)
    assert next_borrowers(together(member(*BUSY), far), set()) == {}


def test_a_crew_of_others_comes_whole_works_alone_and_stays_until_a_stage_is_done():
    lender = offer(member(*IDLE), ())
    other, mate = lender.crews[0].crew, lender.people[0].person
    theirs = tuple(row.person for row in lender.people if row.crew == other)
    helped = with_offers(member(*BUSY).branch, [lender], alone(*BUSY[1:])[1].plan.horizon.days)
    choices = choose(helped, 5)
    own = next(p for p in choices.placements if p.crew == "C1")
    whole = replace(own, crew=other, people=theirs, cells=(0, 1, 2))
    with_a_stranger = replace(own, people=(*own.people, mate))
    with_one_of_ours = replace(whole, people=(*theirs, own.people[0]))
    home_between = replace(whole, cells=(0, 1, 6))
    offered = (own, whole, with_a_stranger, with_one_of_ours, home_between)
    found = priced(replace(choices, placements=offered), [lender]).placements
    assert [(p.crew, p.cells) for p in found] == [("C1", own.cells), (other, (0, 1, 2))]
    assert found[0].cost == own.cost
    assert found[1].cost == {**own.cost, LOAN: round(3 * PER_DAY * 100 / 2)}


def spoilt(three, change):
    members, lent = three
    plans = {key: one.plan for key, one in members.items()}
    plans |= {key: one.made.plan for key, one in lent.borrowed.items()}
    loans = {key: one.loans for key, one in lent.borrowed.items()}
    per_day = dict.fromkeys(plans, round(PER_DAY * 100))
    change(plans, loans, per_day)
    return " ".join(loans_at_fault(plans, loans, per_day))


def first(loans):
    return next(iter(loans))


def other_days(plans, loans, per_day):
    key = first(loans)
    loans[key] = (replace(loans[key][0], days=loans[key][0].days[1:]), *loans[key][1:])


def work_at_home(plans, loans, per_day):
    key = first(loans)
    loan = loans[key][0]
    plans[loan.lender] = replace(
        plans[key],
        planned=tuple(
            replace(p, placement=replace(p.placement, crew=loan.own_name))
            for p in plans[key].planned
            if p.placement.crew == loan.crew
        ),
    )


def sent_twice(plans, loans, per_day):
    key = first(loans)
    plans["third"], loans["third"], per_day["third"] = plans[key], loans[key], 0


def cheaper(plans, loans, per_day):
    key = first(loans)
    loans[key] = (replace(loans[key][0], cents=loans[key][0].cents - 1), *loans[key][1:])


def untold(plans, loans, per_day):
    loans[first(loans)] = ()


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda *_: None, ""),
        (other_days, "works on other days"),
        (work_at_home, "has work at home"),
        (sent_twice, "is sent to 2 branches"),
        (cheaper, "another amount"),
        (untold, "than its loans add up to"),
    ],
)
def test_the_check_of_loans_finds_what_is_wrong_with_them(three, change, said):
    found = spoilt(three, change)
    assert said in found
    assert bool(found) is bool(said)
