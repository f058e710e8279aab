from datetime import date

import pytest
from builders import NOW, branch, job, settings, stage

from crewplan.labour import stage_hours_all
from crewplan.model.plan_row import PlanRow
from crewplan.model.waiting_rows import Authority, Requirement
from crewplan.model.work_rows import Progress
from crewplan.readiness import needs, readiness
from crewplan.takeoff import take_off_all

DAYS = (date(2026, 5, 4), date(2026, 5, 5))
KINDS = ("roof", "electrical", "inspection", "commissioning", "return")
STAGES = tuple(stage(kind, kind=kind) for kind in KINDS)


def asked(kind, **tables):
    return needs(branch(stages=STAGES, **tables), kind)


def ready(name, *rows, **tables):
    folder = branch(stages=STAGES, requirements=rows, **tables)
    hours = stage_hours_all(folder, take_off_all(folder), date(2026, 5, 3))
    return readiness(folder, hours, DAYS, NOW)[name]


@pytest.mark.parametrize(
    ("kind", "expected"),
    [  # DESIGN: needs by default
        ("roof", ("permit", "survey", "kit")),
        ("electrical", ("permit", "survey", "kit", "utility_approval")),
        ("inspection", ()),
        ("commissioning", ("permission_to_operate", "inspection_passed")),
        ("return", ()),
    ],
)
def test_each_kind_of_stage_waits_for_its_own_requirements(kind, expected):
    assert asked(kind) == expected


def test_what_the_authority_asks_for_holds_building_only():
    town = (Authority("Town", ("structural_letter", "permit")),)
    tables = {"jobs": (job(authority="Town"),), "authorities": town}
    assert asked("roof", **tables) == ("permit", "survey", "kit", "structural_letter")
    assert asked("electrical", **tables)[-1] == "structural_letter"
    assert asked("commissioning", **tables) == ("permission_to_operate", "inspection_passed")


def test_an_override_stands_in_place_of_the_defaults_but_not_of_the_authority():
    tables = {
        "settings": settings(requirements={"roof": ("permit", "deposit")}),
        "jobs": (job(authority="Town"),),
        "authorities": (Authority("Town", ("structural_letter",)),),
    }
    assert asked("roof", **tables) == ("permit", "deposit", "structural_letter")
    assert "survey" in asked("electrical", **tables)


def test_a_further_word_with_a_row_holds_building_of_that_job():
    rows = (Requirement("J1", "association_consent", "open"),)
    assert "association_consent" in asked("roof", requirements=rows)
    assert "association_consent" in asked("electrical", requirements=rows)
    assert asked("return", requirements=rows) == ()


def test_a_word_that_belongs_to_another_kind_of_stage_does_not_hold_the_roof():
    rows = (Requirement("J1", "utility_approval", "open"),)
    assert asked("roof", requirements=rows) == ("permit", "survey", "kit")


def test_customer_confirmed_never_stops_a_stage():
    rows = (Requirement("J1", "customer_confirmed", "open"),)
    assert "customer_confirmed" not in asked("roof", requirements=rows)


def test_a_stage_published_inside_the_frozen_days_is_a_call_to_make():
    plan = (PlanRow("roof", "A", date(2026, 5, 4)), PlanRow("electrical", "A", date(2026, 5, 20)))
    assert ready("roof", plan=plan).calls == ("customer_confirmed",)
    assert ready("electrical", plan=plan).calls == ()
    confirmed = Requirement("J1", "customer_confirmed", "granted")
    assert ready("roof", confirmed, plan=plan).calls == ()
    assert ready("roof").calls == ()


def test_commissioning_waits_for_its_inspection():
    may_operate = Requirement("J1", "permission_to_operate", "granted")
    waiting = ready("commissioning", may_operate)
    assert set(waiting.holds) == {"inspection_passed"}
    assert waiting.states[1].note == "inspection not passed"
    visited = (Progress(date(2026, 5, 1), "inspection", "inspection_visit", 1.0),)
    assert ready("commissioning", may_operate, progress=visited).granted.all()
    passed = Requirement("J1", "inspection_passed", "granted")
    assert ready("commissioning", may_operate, passed).granted.all()


def test_a_failed_inspection_is_not_passed_by_having_been_visited():
    rows = (
        Requirement("J1", "permission_to_operate", "granted"),
        Requirement("J1", "inspection_passed", "refused"),
    )
    visited = (Progress(date(2026, 5, 1), "inspection", "inspection_visit", 1.0),)
    assert not ready("commissioning", *rows, progress=visited).p.any()


def test_a_job_without_an_inspection_stage_needs_the_row():
    folder = branch(
        stages=(stage("C", kind="commissioning"),),
        requirements=(Requirement("J1", "permission_to_operate", "granted"),),
    )
    hours = stage_hours_all(folder, take_off_all(folder), date(2026, 5, 3))
    assert set(readiness(folder, hours, DAYS, NOW)["C"].holds) == {"inspection_passed"}


def test_kit_is_the_stores_business_unless_a_row_states_it():
    in_hand = [Requirement("J1", kind, "granted") for kind in ("permit", "survey")]
    assert ready("roof", *in_hand).granted.all()
    stated = ready("roof", *in_hand, Requirement("J1", "kit", "open"))
    assert set(stated.holds) == {"kit"}
