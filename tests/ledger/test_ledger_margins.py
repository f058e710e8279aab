"""From price to margin. Expected figures are by hand from ledger_cases and the tables here."""

import math
from dataclasses import replace

import pytest
from builders import job, module, plane
from hypothesis import given
from hypothesis import strategies as st
from ledger_cases import (
    CREWS,
    PEOPLE,
    RATES,
    STEPS,
    book_of,
    day,
    done,
    small_branch,
    some_hours,
    some_progress,
    worked,
)

from crewplan.labour import combine
from crewplan.ledger import hours_by, job_losses, job_margins
from crewplan.model.ledger import Span, Undefined
from crewplan.model.material_rows import Equipment, Item
from crewplan.model.people_rows import Person
from crewplan.model.work_rows import Rate, Step

ITEMS = (
    Item("M400", "module", 1, 100.0),
    Item("box of mid clamps", "mid clamp", 25, 50.0),
)

WITH_RETURN = tuple(
    replace(row, kind="return") if row.stage == "S2" else row for row in small_branch().stages
)


def test_a_job_that_nobody_began_has_its_price_now_and_its_plan_at_completion():
    """60 h of the table's work at (40 + 30.5 + 41.25) / 3 an hour, all at a pace of 1."""
    margin = job_margins(book_of(), day(0))["J1"]
    assert margin.planned.labour == round(60 * (40 + 30.5 + 41.25) / 3 * 100)
    assert margin.now.margin == margin.now.price == 1_000_000
    assert margin.at_completion == margin.planned


def test_slower_people_make_an_hour_of_the_tables_work_dearer():
    people = (Person("Ann", "Alder", "lead", 30.0, 0.5),)
    margin = job_margins(book_of(people=people), day(0))["J1"]
    assert margin.planned.labour == 60 * 60_00


def test_the_rest_goes_on_at_the_pace_and_cost_so_far_and_lost_hours_stand_apart():
    """Ann: 20 h productive, 4 h lost, 30 of 60 h earned: index 1.25, 48 h in all, 24 h to come."""
    book = book_of(
        hours_worked=(worked("Ann", 20), worked("Ann", 4, on=1, cause="weather")),
        progress=(done("attach", 1.0),),
    )
    margin = job_margins(book, day(5))["J1"]
    assert margin.share_done == pytest.approx(0.5)
    assert (margin.now.labour, margin.now.lost) == (800_00, 160_00)
    assert margin.now.margin == 10_000_00 - 800_00 - 160_00
    assert margin.at_completion.labour == 800_00 + 24 * 40_00
    assert margin.at_completion.lost == 160_00


def test_a_finished_job_makes_at_completion_what_it_makes_now():
    progress = (done("protect", 1.0), done("attach", 1.0), done("wire", 1.0, at="S2"))
    book = book_of(hours_worked=(worked("Cy", 70),), progress=progress)
    margin = job_margins(book, day(5))["J1"]
    assert margin.at_completion == margin.now
    assert margin.now.labour == 70 * 41_25


def test_hours_without_any_progress_leave_the_rest_as_planned_and_say_so():
    margin = job_margins(book_of(hours_worked=(worked("Ann", 10),)), day(5))["J1"]
    assert margin.at_completion.labour == 400_00 + margin.planned.labour
    assert any("as planned" in note for note in margin.notes)


def test_material_is_the_take_off_by_pack_and_is_spent_once_the_roof_was_begun():
    """19 modules in rows of 7, 7 and 5 take 2 x (6 + 6 + 4) mid clamps of 2 each."""
    tables = {"planes": (plane(),), "items": ITEMS, "modules": (module(),)}
    whole = 19 * 100_00 + 32 * 200
    before = job_margins(book_of(**tables), day(0))["J1"]
    assert (before.planned.material, before.now.material) == (whole, 0)
    assert any("flashing" in note for note in before.notes)
    begun = job_margins(book_of(**tables, hours_worked=(worked("Ann", 1),)), day(0))["J1"]
    assert (begun.now.material, begun.at_completion.material) == (whole, whole)


def test_of_two_roof_stages_the_one_begun_has_spent_its_share_of_the_material():
    small = small_branch()
    stages = (*small.stages, replace(small.stages[0], stage="S5", share=0.25))
    tables = {"planes": (plane(),), "items": ITEMS, "modules": (module(),), "stages": stages}
    margin = job_margins(book_of(**tables, hours_worked=(worked("Ann", 1, at="S5"),)), day(0))["J1"]
    assert margin.now.material == round((19 * 100_00 + 32 * 200) * 0.25)


def test_shared_equipment_costs_its_days_on_site_and_a_crews_own_nothing():
    small = small_branch()
    stages = (replace(small.stages[0], equipment=("boom",)), *small.stages[1:])
    tables = {"stages": stages, "equipment": (Equipment("boom", 1, 380.0),)}
    hours = (worked("Ann", 8), worked("Bo", 8), worked("Ann", 2, on=1))
    margin = job_margins(book_of(**tables, hours_worked=hours), day(5))["J1"]
    # 40 h planned are two days of three people at eight hours; none of it is earned yet
    assert (margin.planned.equipment, margin.now.equipment) == (2 * 380_00, 2 * 380_00)
    assert margin.at_completion.equipment == 4 * 380_00
    own = (replace(CREWS[0], equipment=("boom",)), CREWS[1])
    brought = job_margins(book_of(**tables, crews=own, hours_worked=hours), day(5))["J1"]
    assert brought.now.equipment == 0


def test_equipment_and_people_without_a_price_are_named():
    small = small_branch()
    stages = (replace(small.stages[0], equipment=("crane",)), *small.stages[1:])
    margin = job_margins(book_of(stages=stages, hours_worked=(worked("Gone", 3),)), day(0))["J1"]
    assert any("crane" in note for note in margin.notes)
    assert any(note.startswith("3 h are of people") for note in margin.notes)


def test_a_branch_without_people_or_a_price_still_has_margins_and_says_what_lacks():
    notes = job_margins(book_of(people=(), jobs=(job("J1"), job("J2"))), day(0))["J1"].notes
    assert any("no price" in note for note in notes)
    assert any("nobody is in people" in note for note in notes)


def test_all_that_a_return_stage_takes_stands_apart_and_the_parts_still_add_up():
    """S5, a return of 5 h: Ann's 3 h worked and 1 h lost there are returns, 2 h on S1 labour."""
    small = small_branch()
    back = replace(small.stages[0], stage="S5", kind="return", equipment=("boom",))
    tables = {
        "stages": (*small.stages, back),
        "steps": (*STEPS, Step("go back", "return", "ground", "stage")),
        "rates": (*RATES, Rate("go back", "stage", 5.0, source="by hand")),
        "equipment": (Equipment("boom", 1, 380.0),),
    }
    hours = (
        worked("Ann", 2),
        worked("Ann", 3, at="S5", on=1),
        worked("Ann", 1, at="S5", on=1, cause="rework"),
    )
    margin = job_margins(book_of(**tables, hours_worked=hours), day(5))["J1"]
    table_hour = (40 + 30.5 + 41.25) / 3
    assert margin.planned.returns == round(5 * table_hour * 100) + 380_00
    assert margin.planned.labour == round(60 * table_hour * 100)
    now = margin.now
    assert (now.labour, now.lost, now.returns) == (80_00, 0, 4 * 40_00 + 380_00)
    assert now.equipment == 0
    for fall in (margin.planned, now, margin.at_completion):
        spent = fall.labour + fall.material + fall.equipment + fall.lost + fall.returns
        assert fall.price - spent == fall.margin


@given(st.lists(some_hours, max_size=25), some_progress)
def test_what_was_spent_on_labour_so_far_is_the_ledgers_cost_to_the_cent_of_each_part(hours, seen):
    book = book_of(stages=WITH_RETURN, hours_worked=tuple(hours), progress=tuple(seen))
    lines = {line.name: line for line in hours_by(book, "job", Span())}
    for name, margin in job_margins(book, day(40)).items():
        spent = margin.now.labour + margin.now.lost + margin.now.returns
        whole = lines[name].cost * 100 if name in lines else 0
        assert abs(spent - whole) <= 2  # four parts, each rounded to the cent


def test_jobs_are_ranked_by_what_they_lost_each_with_its_dearest_cause_first():
    hours = (
        worked("Bo", 9, cause="weather"),
        worked("Ann", 1, cause="rework"),
        worked("Cy", 10, at="S3", cause="travel"),
        worked("Cy", 30, at="S3"),
    )
    losses = job_losses(hours_by(book_of(hours_worked=hours), "job", Span()))
    assert [(one.job, float(one.cost)) for one in losses] == [("J2", 412.5), ("J1", 314.5)]
    assert [part.cause for part in losses[1].lost] == ["weather", "rework"]
    assert losses[1].driver.cause == "weather"


def test_a_waterfall_adds_up_in_cents():
    hours = tuple(worked(person.person, 1.37, on=at) for at, person in enumerate(PEOPLE))
    for margin in job_margins(book_of(hours_worked=hours), day(9)).values():
        for fall in (margin.planned, margin.now, margin.at_completion):
            spent = fall.labour + fall.material + fall.equipment + fall.lost
            assert fall.margin + spent == fall.price
            assert isinstance(fall.margin, int)


def test_the_margin_at_completion_has_a_range_as_wide_as_its_rest_is_uncertain():
    """Nothing begun: 60 h at (40 + 30.5 + 41.25) / 3 an hour. One of ten such rests takes less
    than exp(-1.2816 s) times that, and nine of ten less than exp(1.2816 s), s of the log-normal."""
    book = book_of()
    margin = job_margins(book, day(0))["J1"]
    steps = [(float(hours), spread) for hours, spread in ((10, 0.3), (30, 0.3), (20, 0.3))]
    sigma = math.sqrt(math.log1p(combine(steps).spread ** 2))
    rest = margin.at_completion.labour
    assert margin.low == pytest.approx(
        margin.at_completion.margin - rest * (math.exp(1.2816 * sigma) - 1), abs=60
    )
    assert margin.high == pytest.approx(
        margin.at_completion.margin + rest * (1 - math.exp(-1.2816 * sigma)), abs=60
    )
    assert margin.low < margin.at_completion.margin < margin.high


def test_a_finished_job_has_no_range_and_tells_its_margin_by_crew_day_and_by_watt():
    progress = (done("protect", 1.0), done("attach", 1.0), done("wire", 1.0, at="S2"))
    hours = (worked("Cy", 30), worked("Cy", 20, at="S2"), worked("Ann", 20, on=1))
    tables = {"planes": (plane(),), "modules": (module(),), "items": ()}
    margin = job_margins(book_of(**tables, hours_worked=hours, progress=progress), day(5))["J1"]
    assert margin.low == margin.high == margin.at_completion.margin
    # Birch on one day, on two stages of the job; Alder on another
    assert margin.crew_days == 2
    assert margin.per_crew_day == pytest.approx(margin.at_completion.margin / 100 / 2)
    assert margin.per_watt == pytest.approx(margin.at_completion.margin / 100 / (19 * 400))


def test_what_a_job_that_goes_on_makes_by_crew_day_is_not_told_yet():
    margin = job_margins(book_of(hours_worked=(worked("Ann", 8),)), day(5))["J1"]
    assert isinstance(margin.per_crew_day, Undefined)
    assert isinstance(margin.per_watt, Undefined)
