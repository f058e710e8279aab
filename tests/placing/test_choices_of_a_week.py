"""Placements of a small week by hand: a crew of two, half-days of 4.25 h, no drive."""

from dataclasses import replace

import numpy as np
import pytest
from builders import job, stage
from one_crew_week import CREW_A, TWO_PEOPLE, by_clock, choose, day, left, said, spans, weather_of

from crewplan.model.material_rows import Equipment
from crewplan.model.people_rows import Absence, Certificate, Crew, Person

LONG = {"S1": left(("roof", 16.0))}  # two people: 8 h, one day from am


def test_work_that_fits_a_half_day_takes_one_from_every_start():
    choices, to_place = choose()  # 8 person-hours: 4 of 4.25 h
    assert spans(choices) == [("A", cell, 1) for cell in range(10)]
    assert to_place.reasons == ()
    assert all(p.p_go == p.p_finish == 1.0 and p.lost_h == 0.0 for p in choices.placements)


def test_a_day_of_work_that_starts_at_noon_ends_at_noon():
    choices, _ = choose(hours=LONG)
    assert spans(choices) == [("A", cell, 2) for cell in range(9)]
    assert choices.placements[1].cells == (1, 2)


def test_spread_makes_a_tight_half_day_two():
    # 8 h median, spread 0.3: three of five durations fit 8.5 h (x 0.69, 0.86, 1, 1.17, 1.46)
    choices, _ = choose(hours={"S1": left(("roof", 8.0), spread=0.3)})
    assert {n for _, _, n in spans(choices)} == {2}


def test_a_crew_in_a_higher_gear_needs_less_time():
    fast = (TWO_PEOPLE[0], Person("Ivo", "A", "installer", 30.0, pace=1.5))
    # 10.5 / 2.5 = 4.2 h, in 4.25
    choices, _ = choose(hours={"S1": left(("roof", 10.5))}, people=fast)
    assert {n for _, _, n in spans(choices)} == {1}


def test_a_calm_gap_at_noon_in_a_windy_day_lets_a_lift_in():
    # lift open 10 to 14 only: 2 h of rails from 7, shut till 10, lift 3 h with the break to 13:30
    steps = {"S1": left(("roof", 4.0), ("lift", 6.0))}
    gap = by_clock(lambda _, at: 3 if 10 <= at.hour < 14 else 2)
    choices, _ = choose(hours=steps, weather_at=gap)
    first = choices.placements[0]
    assert (first.start, len(first.cells)) == (0, 2)
    assert first.lost_h == pytest.approx(2.0)  # 9 to 10, two people


def test_ground_work_fills_the_hours_that_are_shut_for_the_roof():
    steps = left(("roof", 2.0), ("ground", 2.0))
    side_by_side = replace(steps, steps=tuple(replace(s, after=()) for s in steps.steps))
    windy = by_clock(lambda _, at: 1 if at.hour == 7 else 3)
    filled, _ = choose(hours={"S1": side_by_side}, weather_at=windy)
    in_order, _ = choose(hours={"S1": steps}, weather_at=windy)
    assert filled.placements[0].lost_h == 0.0
    assert in_order.placements[0].lost_h == pytest.approx(2.0)


def test_p_go_is_the_share_of_members_in_which_all_is_done():
    # two of ten members have no open hour: 0.8, and a level of 0.7 is met
    weather = by_clock(lambda m, _: 0 if m < 2 else 3, members=10)
    choices, _ = choose(weather_at=weather)
    assert choices.placements[0].p_go == pytest.approx(0.8)
    # those two members wait out the half-day: 0.2 x 8.5 person-hours
    assert choices.placements[0].lost_h == pytest.approx(1.7)


def test_too_few_calm_members_are_a_reason_of_weather_that_names_the_exposure():
    weather = by_clock(lambda m, _: 1 if m < 6 else 3, members=10)
    choices, to_place = choose(hours={"S1": left(("lift", 8.0))}, weather_at=weather)
    assert choices.placements == ()
    assert said(to_place, "weather") == [("lift: P(go) at most 0.40, 0.70 needed", day(4), day(8))]


def test_work_longer_than_the_horizon_is_a_reason_of_the_horizon():
    choices, to_place = choose(hours={"S1": left(("roof", 200.0))})
    assert choices.placements == ()
    assert [reason.kind for reason in to_place.reasons] == ["horizon"]


def test_work_on_the_ground_alone_does_not_wait_for_a_forecast():
    none = lambda hours, places: [weather_of(np.zeros((3, len(hours))), known=False)] * len(places)
    ground, _ = choose(hours={"S1": left(("ground", 8.0))}, weather_at=none)
    roof, to_place = choose(weather_at=none)
    assert len(ground.placements) == 10
    assert {(p.p_go, p.p_finish) for p in ground.placements} == {(1.0, 1.0)}
    assert said(to_place, "weather") == [("roof: no forecast", day(4), day(8))]
    assert roof.placements == ()


def test_a_stage_without_hours_is_a_visit_of_one_half_day():
    choices, _ = choose(hours={"S1": left()}, stages=(stage(kind="commissioning"),))
    assert {n for _, _, n in spans(choices)} == {1}
    assert choices.placements[0].short_h == 0.0


def test_days_that_the_customer_does_not_allow_are_skipped_and_no_start():
    only = job(customer_days=((day(5), day(5)), (day(7), day(7))))
    choices, to_place = choose(hours=LONG, jobs=(only,))
    assert [p.cells for p in choices.placements] == [(2, 3), (3, 6), (6, 7)]
    texts = [text for text, _, _ in said(to_place, "customer")]
    assert texts == ["the customer allows 2026-05-05; 2026-05-07"]


def test_no_stage_starts_before_the_jobs_earliest_day():
    choices, to_place = choose(jobs=(job(earliest_on=day(7)),))
    assert min(p.start for p in choices.placements) == 6
    assert said(to_place, "customer") == [("earliest day is 2026-05-07", day(4), day(6))]


def test_a_placement_goes_on_after_a_day_on_which_the_whole_crew_is_away():
    gone = tuple(Absence(p.person, day(5), day(5), "course") for p in TWO_PEOPLE)
    choices, to_place = choose(hours=LONG, absences=gone)
    assert (1, 4) in [p.cells for p in choices.placements]
    assert said(to_place, "people") == [("nobody of crew A is there", day(5), day(5))]


def test_an_absent_lead_keeps_the_crew_off_and_is_named():
    people = (*TWO_PEOPLE, Person("Uma", "A", "trainee", 20.0))
    choices, to_place = choose(people=people, absences=(Absence("Lea", day(6), day(6)),))
    assert {p.start // 2 for p in choices.placements} == {0, 1, 3, 4}
    assert said(to_place, "people") == [("no lead in crew A: Lea away", day(6), day(6))]


def test_one_lead_is_there_on_every_day_two_in_turn_are_not_enough():
    people = (*TWO_PEOPLE, Person("Lin", "A", "lead", 40.0))
    absences = (Absence("Lea", day(5), day(5)), Absence("Lin", day(6), day(6)))
    # on each of these two days two people: 8.5 h from Tuesday am fit, from Tuesday pm do not
    choices, to_place = choose(hours=LONG, people=people, absences=absences)
    assert [p.lead for p in choices.placements if p.start == 2] == ["Lin"]
    assert [p.lead for p in choices.placements if p.start == 4] == ["Lea"]
    assert not [p for p in choices.placements if p.start == 3]
    assert said(to_place, "people") == [
        ("no lead of crew A is there on every day of it", day(5), day(5))
    ]


def test_nobody_is_alone_on_a_roof():
    choices, to_place = choose(people=TWO_PEOPLE[:1])
    assert choices.placements == ()
    assert said(to_place, "people") == [("2 people needed, fewer in crew A", day(4), day(8))]


def test_a_certificate_that_runs_out_mid_week_is_good_on_its_last_day():
    held = Certificate("Ivo", "roof_anchor", day(6))
    choices, to_place = choose(
        hours=LONG, certificates=(held,), stages=(stage(certificates=("roof_anchor",)),)
    )
    assert [p.start for p in choices.placements] == [0, 1, 2, 3, 4]
    text = "roof_anchor: in crew A only Ivo until 2026-05-06; nobody there holds it on each day"
    assert said(to_place, "certificate") == [(text, day(6), day(8))]


def test_a_certificate_that_nobody_has_names_the_crews_without_it():
    crews = (CREW_A, Crew("B", 46.8, -92.1))
    people = (*TWO_PEOPLE, Person("Bo", "B", "lead", 40.0), Person("Bea", "B", "trainee", 20.0))
    choices, to_place = choose(
        crews=crews, people=people, stages=(stage(certificates=("electrician",)),)
    )
    assert choices.placements == ()
    assert said(to_place, "certificate") == [
        ("electrician: nobody in crew A and B", day(4), day(8))
    ]


def test_people_are_those_there_on_at_least_one_day_of_it():
    people = (*TWO_PEOPLE, Person("Uma", "A", "trainee", 20.0))
    absences = (Absence("Uma", day(4), day(4)),)
    choices, _ = choose(hours={"S1": left(("roof", 20.0))}, people=people, absences=absences)
    first = choices.placements[0]
    assert first.cells == (0, 1, 2)
    assert first.people == ("Lea", "Ivo", "Uma")


def test_equipment_is_the_crews_own_or_borrowed_or_a_reason():
    crews = (CREW_A, Crew("B", 46.8, -92.1, ("boom",)))
    people = (*TWO_PEOPLE, Person("Bo", "B", "lead", 40.0), Person("Bea", "B", "trainee", 20.0))
    tables = {"crews": crews, "people": people, "stages": (stage(equipment=("boom",)),)}
    lent, to_place = choose(equipment=(Equipment("boom", 1, 200.0),), **tables)
    assert to_place.shared_equipment == {"A": ("boom",)}
    prices = {p.crew: p.cost.get("equipment", 0) for p in lent.placements}
    assert prices == {"A": 20000, "B": 0}
    alone, to_place = choose(**tables)
    assert {p.crew for p in alone.placements} == {"B"}
    assert said(to_place, "equipment") == [
        ("boom: not owned by crew A, none shared", day(4), day(8))
    ]


def test_a_site_out_of_reach_of_the_working_day_is_a_reason():
    choices, to_place = choose(crews=(Crew("A", 52.0, -92.1),))
    assert choices.placements == ()
    assert [reason.kind for reason in to_place.reasons] == ["capacity"]


def test_crews_that_differ_in_nothing_get_the_same_placements():
    crews = (CREW_A, Crew("B", 46.8, -92.1))
    people = (*TWO_PEOPLE, *(replace(p, person=f"{p.person} B", crew="B") for p in TWO_PEOPLE))
    choices, _ = choose(hours=LONG, crews=crews, people=people)
    by_crew = {c: [p.cells for p in choices.placements if p.crew == c] for c in "AB"}
    assert by_crew["A"] == by_crew["B"]


def test_an_inspection_of_an_hour_may_share_its_half_day():
    tables = {"stages": (stage(kind="inspection"),), "crews": (Crew("A", 46.85, -92.1),)}
    short, _ = choose(hours={"S1": left(("ground", 3.0))}, **tables)
    # 0.05 degrees x 111.195 km x 1.3 / 50 km/h = 0.14456 h each way, 3 person-hours by two
    assert short.placements[0].short_h == pytest.approx(1.5 + 2 * 0.14456, abs=1e-4)
    long, _ = choose(hours={"S1": left(("ground", 5.0))}, **tables)
    assert long.placements[0].short_h is None
    roof, _ = choose(hours={"S1": left(("ground", 3.0))}, crews=tables["crews"])
    assert roof.placements[0].short_h is None


def test_a_done_stage_is_named_and_binds_nobody():
    rows = (stage("S1"), stage("S2", after=("S1",)), stage("S3", after=("S2",), gap_days=1))
    hours = {
        "S1": left(("roof", 8.0), done=True),
        "S2": left(("roof", 8.0), stage="S2"),
        "S3": left(("roof", 8.0), stage="S3"),
    }
    choices, second = choose(stages=rows, hours=hours)
    assert choices.done == ("S1",)
    assert second.after == ()
    assert choices.stages[1].after == ("S2",)
    assert choices.stages[1].gap_days == 1


def test_a_promise_within_the_horizon_is_marked():
    assert choose(jobs=(job(due_on=day(8)),))[1].promised
    assert not choose(jobs=(job(due_on=day(9)),))[1].promised


def test_leaving_a_stage_is_dearer_than_any_of_its_placements():
    weather = by_clock(lambda m, _: 1 if m < 2 else 3, members=10)
    choices, to_place = choose(
        hours={"S1": left(("roof", 24.0), spread=0.3)},
        weather_at=weather,
        crews=(Crew("A", 47.2, -92.1),),
        jobs=(job(due_on=day(1)),),
    )
    assert choices.placements
    assert max(p.cents for p in choices.placements) < sum(to_place.unplaced_cost.values())
