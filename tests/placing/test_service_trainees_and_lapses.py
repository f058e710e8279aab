"""Equipment away for service, trainees, and grants that lapse during the work."""

from dataclasses import replace

import numpy as np
from builders import settings, stage
from one_crew_week import CREW_A, WEEK, choose, day, left, ready, said, spans

from crewplan.model.material_rows import Equipment
from crewplan.model.people_rows import Person

BOOM = (stage(equipment=("boom",)),)
FOUR_HALVES = {"S1": left(("roof", 32.0))}
"""Two people for two days: 32 person-hours fill four half-days of 4.25 h."""


def starts(choices):
    return {start for _, start, _ in spans(choices)}


def test_a_shared_piece_is_not_used_past_the_day_on_which_its_service_is_due():
    shared = (Equipment("boom", 1, service_due_on=day(5)),)
    choices, to_place = choose(stages=BOOM, equipment=shared)
    assert starts(choices) == {0, 1, 2, 3}
    assert said(to_place, "equipment") == [("boom: service due on 2026-05-05", day(6), day(8))]


def test_work_that_would_still_need_it_after_that_day_does_not_start():
    shared = (Equipment("boom", 1, service_due_on=day(6)),)
    choices, _ = choose(stages=BOOM, equipment=shared, hours=FOUR_HALVES)
    assert {(start, length) for _, start, length in spans(choices)} == {(0, 4), (1, 4), (2, 4)}


def test_a_piece_that_is_away_for_two_days_is_missed_on_these_only():
    shared = (Equipment("boom", 2, in_service=((day(5), day(6)),)),)
    choices, to_place = choose(stages=BOOM, equipment=shared)
    assert starts(choices) == {0, 1, 6, 7, 8, 9}
    assert said(to_place, "equipment") == [("boom: away 2026-05-05..2026-05-06", day(5), day(6))]


def test_a_crews_own_piece_has_the_crews_own_service_day():
    own = replace(CREW_A, equipment=("boom",), equipment_due_on=day(4))
    choices, to_place = choose(stages=BOOM, crews=(own,))
    assert starts(choices) == {0, 1}
    assert said(to_place, "equipment")[0][0] == "boom: own of crew A, service due 2026-05-04"


def test_what_a_stage_does_not_ask_for_may_be_away():
    shared = (Equipment("boom", 1, service_due_on=day(1)),)
    assert len(spans(choose(equipment=shared)[0])) == 10


LEAD_AND_TRAINEE = (Person("Lea", "A", "lead", 40.0), Person("Tim", "A", "trainee", 20.0))


def test_a_trainee_is_the_second_on_a_roof_by_default():
    assert len(spans(choose(people=LEAD_AND_TRAINEE)[0])) == 10


def test_where_trainees_do_not_count_a_lead_with_one_does_not_go_onto_a_roof():
    careful = settings(trainees_count=False)
    choices, to_place = choose(people=LEAD_AND_TRAINEE, settings=careful)
    assert spans(choices) == []
    assert said(to_place, "people") == [
        ("2 people needed, trainees apart, fewer in crew A", WEEK[0], WEEK[-1])
    ]


def test_a_trainee_who_does_not_count_still_works_and_costs():
    careful = settings(trainees_count=False)
    three = (*LEAD_AND_TRAINEE, Person("Ivo", "A", "installer", 30.0))
    choices, _ = choose(people=three, settings=careful)
    assert choices.placements[0].people == ("Lea", "Tim", "Ivo")


def permit_until(last):
    waits = ready(WEEK, ("permit", "granted", 1.0))
    good = np.array([d <= last for d in WEEK])
    (need,) = waits.states
    need = need._replace(p=good.astype(float), good_until=last, note=f"good until {last}")
    holds = tuple("" if ok else "permit" for ok in good)
    return {"S1": replace(waits, p=need.p, granted=good, states=(need,), holds=holds)}


def test_no_work_goes_on_after_the_last_day_of_its_permit():
    choices, to_place = choose(readiness=permit_until(day(6)), hours=FOUR_HALVES)
    assert starts(choices) == {0, 1, 2}
    # the afternoon of the 5th would end on the 7th
    assert said(to_place, "readiness") == [
        ("permit: granted (good until 2026-05-06)", day(5), day(8))
    ]


def test_a_permit_that_is_good_for_all_of_the_work_takes_nothing_away():
    choices, _ = choose(readiness=permit_until(day(8)), hours=FOUR_HALVES)
    assert starts(choices) == starts(choose(hours=FOUR_HALVES)[0])
