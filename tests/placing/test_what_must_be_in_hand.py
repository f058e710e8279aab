"""Requirements, kit, notice, frozen days and what was published; by hand on a small week."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from builders import job, stage
from one_crew_week import (
    CREW_A,
    TWO_PEOPLE,
    WEEK,
    by_clock,
    choose,
    day,
    left,
    ready,
    said,
    spans,
)

from crewplan.model.people_rows import Absence, Person
from crewplan.model.plan_row import PlanRow
from crewplan.model.readiness import Supply
from crewplan.model.waiting_rows import Authority

FROZEN = (day(3), day(4), day(5))
LONG = {"S1": left(("roof", 16.0))}


def waiting(*needs):
    return {"S1": ready(WEEK, *needs)}


def test_an_open_permit_takes_every_start_away():
    choices, to_place = choose(readiness=waiting(("permit", "open", 0)))
    assert choices.placements == ()
    assert said(to_place, "readiness") == [("permit: open", day(4), day(8))]
    assert to_place.awaited == ("permit",)


def test_an_asked_permit_says_how_likely_it_is_there():
    _, to_place = choose(readiness=waiting(("permit", "asked", 0.2), ("survey", "granted", 1)))
    assert said(to_place, "readiness") == [("permit: asked, 20 % by 2026-05-08", day(4), day(8))]
    assert to_place.awaited == ("permit",)


def test_likely_enough_is_placed_beyond_the_frozen_days_only():
    choices, to_place = choose(readiness=waiting(("permit", "asked", 0.85)), frozen=FROZEN)
    assert {p.start for p in choices.placements} == set(range(4, 10))
    assert {(p.p_ready, p.granted) for p in choices.placements} == {(0.85, False)}
    assert "not ready" in choices.placements[0].cost
    assert said(to_place, "readiness") == [("permit: asked, 85 % by 2026-05-05", day(4), day(5))]


def test_the_frozen_days_ask_for_the_gates_probability():
    # 0.8 of members: enough for planning (0.7), not for the gate (0.9)
    weather = by_clock(lambda m, _: 0 if m < 2 else 3, members=10)
    choices, to_place = choose(weather_at=weather, frozen=FROZEN)
    assert {p.start for p in choices.placements} == set(range(4, 10))
    assert said(to_place, "weather") == [("roof: P(go) at most 0.80, 0.90 needed", day(4), day(5))]


def test_kit_that_arrives_on_thursday_opens_thursday():
    supply = Supply({"rail": 4.0}, {"rail": ((day(7), 6.0),)}, True)
    choices, to_place = choose(kits={"S1": {"rail": 10.0}}, supply=supply)
    assert {p.start for p in choices.placements} == {6, 7, 8, 9}
    assert said(to_place, "material") == [
        ("rail: 10 needed, 4 in stock or arriving by then", day(4), day(6))
    ]
    assert to_place.kit == {"rail": 10.0}


def test_on_a_frozen_day_only_what_is_on_hand_counts():
    supply = Supply({}, {"rail": ((day(4), 10.0),)}, True)
    choices, _ = choose(kits={"S1": {"rail": 10.0}}, supply=supply, frozen=FROZEN)
    assert {p.start for p in choices.placements} == set(range(4, 10))


def test_material_that_is_not_judged_stops_nothing_and_is_said():
    supply = Supply({}, {}, False, ("material not judged",))
    choices, to_place = choose(supply=supply)
    assert len(choices.placements) == 10
    assert choices.notes == ("material not judged",)
    assert to_place.kit == {}


def test_an_inspection_keeps_the_authoritys_notice_unless_published_there():
    tables = {
        "jobs": (job(authority="Town"),),
        "stages": (stage(kind="inspection"),),
        "authorities": (Authority("Town", inspections_per_day=2, notice_days=3),),
        "hours": {"S1": left(("ground", 2.0))},
    }
    # now is Sunday the 3rd: the third working day after it is Wednesday
    choices, to_place = choose(**tables)
    assert {p.start for p in choices.placements} == set(range(4, 10))
    assert said(to_place, "inspections") == [("Town asks for 3 days of notice", day(4), day(5))]
    assert choices.inspections_per_day == {"Town": 2}
    published, _ = choose(plan=(PlanRow("S1", "A", day(4)),), **tables)
    assert {p.start for p in published.placements} == {0, *range(4, 10)}


def test_a_half_day_that_has_begun_takes_no_start_but_the_published_one():
    noon = datetime(2026, 5, 4, 17, 0, tzinfo=UTC)  # 12:00 in Chicago
    choices, _ = choose(now=noon)
    assert min(p.start for p in choices.placements) == 2
    published, _ = choose(now=noon, plan=(PlanRow("S1", "A", day(4), "pm"),))
    assert min(p.start for p in published.placements) == 1


def test_a_pinned_row_keeps_crew_and_start_and_all_others_are_moves():
    choices, to_place = choose(plan=(PlanRow("S1", "A", day(7), "pm", pinned=True),))
    assert (to_place.keep.crew, to_place.keep.start, to_place.keep.pinned) == ("A", 7, True)
    unmoved = [p for p in choices.placements if "move" not in p.cost]
    assert [(p.crew, p.start) for p in unmoved] == [("A", 7)]


def test_what_is_published_on_a_frozen_day_stays():
    choices, to_place = choose(plan=(PlanRow("S1", "A", day(5)),), frozen=FROZEN)
    assert ("A", 2, 1) in spans(choices)
    assert (to_place.keep.start, to_place.keep.pinned) == (2, False)


def test_what_is_published_later_may_move_at_a_price():
    choices, to_place = choose(plan=(PlanRow("S1", "A", day(7)),), frozen=FROZEN)
    assert to_place.keep is None
    assert to_place.published
    costs = {p.start: p.cost.get("move", 0) for p in choices.placements}
    assert costs[6] == 0
    assert min(cost for start, cost in costs.items() if start != 6) > 0


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"readiness": waiting(("permit", "asked", 0.9))}, "permit: asked"),
        ({"absences": (Absence("Lea", day(5), day(5)),)}, "Lea away"),
        (
            {"weather_at": by_clock(lambda m, at: 0 if at.day == 5 else 3)},
            "P(go) at most 0.00 on the first day",
        ),
        (
            {"absences": tuple(Absence(p.person, day(5), day(5)) for p in TWO_PEOPLE)},
            "nobody of crew A is there",
        ),
    ],
)
def test_a_frozen_placement_that_breaks_leaves_with_the_reason(changes, words):
    choices, to_place = choose(plan=(PlanRow("S1", "A", day(5)),), frozen=FROZEN, **changes)
    assert to_place.keep is None
    assert choices.placements
    ((text, first, last),) = said(to_place, "pin")
    assert words in text
    assert (first, last) == (day(5), day(5))


def test_a_pin_on_a_day_off_says_so():
    days = (*WEEK, day(11))
    choices, to_place = choose(days=days, plan=(PlanRow("S1", "A", day(9), pinned=True),))
    assert said(to_place, "pin") == [
        ("published with crew A on 2026-05-09 am, a day off", day(9), day(9))
    ]
    assert choices.placements


def test_a_pin_after_the_days_planned_keeps_the_stage_out_of_them():
    choices, to_place = choose(plan=(PlanRow("S1", "A", day(12), pinned=True),))
    assert choices.placements == ()
    assert said(to_place, "pin") == [
        ("pinned to 2026-05-12, after the days planned", day(4), day(8))
    ]
    assert not to_place.published


def test_a_week_that_the_customer_shuts_says_nothing_of_drives():
    choices, to_place = choose(jobs=(job(customer_days=((day(20), day(21)),)),))
    assert choices.placements == ()
    assert {reason.kind for reason in to_place.reasons} == {"customer"}


def test_work_that_began_before_the_horizon_goes_on_at_its_first_half_day():
    # from Thursday pm, six half-days: Thu pm, Fri, Mon, and Tue am
    row = PlanRow("S1", "A", day(7), "pm", half_days=6)
    days = (day(11), day(12), day(13))
    hours = {"S1": left(("roof", 8.0), begun=True)}
    choices, to_place = choose(hours=hours, days=days, plan=(row,))
    assert ("A", 0, 1) in spans(choices)
    assert to_place.keep.start == 0


def test_work_going_on_is_kept_though_todays_half_day_has_begun():
    mid_morning = datetime(2026, 5, 11, 15, 0, tzinfo=UTC)  # 10:00 in Chicago
    row = PlanRow("S1", "A", day(8), "am", half_days=3)
    choices, to_place = choose(days=(day(11), day(12)), now=mid_morning, plan=(row,))
    assert to_place.keep.start == 0
    # the morning goes on, the afternoon begins at 11:45
    assert spans(choices) == [("A", start, 1) for start in (0, 1, 2, 3)]


def test_only_who_is_published_there_is_at_work_in_a_half_day_that_has_begun():
    noon = datetime(2026, 5, 4, 17, 0, tzinfo=UTC)  # 12:00 in Chicago
    row = PlanRow("S1", "A", day(4))
    others = (Person("Bea", "B", "lead", 40.0), Person("Oto", "B", "installer", 30.0))
    crews = (CREW_A, replace(CREW_A, crew="B"))
    choices, to_place = choose(
        now=noon, plan=(row,), frozen=FROZEN, crews=crews, people=TWO_PEOPLE + others
    )
    assert to_place.keep.start == 0
    assert [p.crew for p in choices.placements if p.start == 0] == ["A"]


def test_work_that_should_have_ended_before_the_horizon_is_free_again():
    row = PlanRow("S1", "A", day(7), "pm", half_days=3)  # Thursday pm and Friday
    choices, to_place = choose(days=(day(11), day(12)), plan=(row,))
    assert to_place.keep is None
    assert to_place.published
    assert len(choices.placements) == 4


def test_of_a_stage_in_parts_the_part_that_is_next_counts():
    rows = (
        PlanRow("S1", "A", day(7), half_days=2, part=1),
        PlanRow("S1", "A", day(12), half_days=2, part=2),
    )
    _, to_place = choose(
        hours=LONG, days=(day(11), day(12)), frozen=(day(12),), plan=(rows[1], rows[0])
    )
    assert to_place.keep.start == 2


def test_where_a_permit_is_refused_the_lead_away_on_one_day_is_not_told():
    _, to_place = choose(
        readiness=waiting(("permit", "refused", 0)), absences=(Absence("Lea", day(6), day(6)),)
    )
    assert {reason.kind for reason in to_place.reasons} == {"readiness"}
