from datetime import date

import pytest
from builders import branch, module, plane, stage

from crewplan.labour import stage_hours_all
from crewplan.model.material_rows import Arrival, Item, Stock
from crewplan.model.waiting_rows import Requirement
from crewplan.model.work_rows import Progress
from crewplan.readiness import kit, supply
from crewplan.takeoff import TAKEOFF_ITEMS, take_off_all

CLAMPS = Item("clamp box", "mid clamp", pack=10)


def draws(name="S1", **tables):
    folder = branch(**tables)
    takeoffs = take_off_all(folder)
    return kit(folder, takeoffs, stage_hours_all(folder, takeoffs, date(2026, 5, 4)), name)


def test_a_kit_is_rounded_up_to_stocked_units():
    # 32 mid clamps (rows of 7, 7, 5), ten to a box
    assert draws(items=(CLAMPS,), stock=()) == {"clamp box": 4}


def test_a_kit_that_just_fills_its_packs_takes_no_more():
    assert draws(items=(Item("clamp box", "mid clamp", pack=16),), stock=()) == {"clamp box": 2}


def test_a_word_of_the_take_off_may_stand_in_stock_by_itself():
    assert draws(stock=(Stock("end clamp", 100),)) == {"end clamp": 12}


def test_words_that_the_store_does_not_keep_are_left_out_and_said():
    found = supply(branch(items=(CLAMPS,), stock=(Stock("end clamp", 1),)))
    assert found.judged
    said = found.notes[0]
    assert said.startswith("not kept in the store, so not judged: module, attachment")
    assert "clamp" not in said


def test_a_store_that_keeps_everything_has_nothing_to_say():
    rows = tuple(Stock(word, 1) for word in TAKEOFF_ITEMS)
    assert supply(branch(stock=rows)).notes == ()


def test_without_stock_and_arrivals_material_is_not_judged():
    found = supply(branch(items=(CLAMPS,)))
    assert not found.judged
    assert found.notes == ("material not judged: neither stock nor arrivals",)
    assert draws(items=(CLAMPS,)) == {}


def test_arrivals_alone_are_judged():
    due = (Arrival("clamp box", 3, date(2026, 5, 7)), Arrival("clamp box", 2, date(2026, 5, 5)))
    found = supply(branch(items=(CLAMPS,), arrivals=due))
    assert found.judged
    assert found.on_hand == {}
    assert found.arrivals == {"clamp box": ((date(2026, 5, 5), 2), (date(2026, 5, 7), 3))}


def test_several_rows_of_stock_add_up():
    rows = (Stock("clamp box", 3), Stock("clamp box", 2))
    assert supply(branch(items=(CLAMPS,), stock=rows)).on_hand == {"clamp box": 5}


def test_each_roof_stage_draws_by_its_share():
    stages = (stage("A", share=0.75), stage("B"))
    tables = {"items": (CLAMPS,), "stock": (), "stages": stages}
    assert draws("A", **tables) == {"clamp box": 3}  # 24 of 32
    assert draws("B", **tables) == {"clamp box": 1}  # 8 of 32


BY_FIFTEEN = Item("clamp box", "mid clamp", pack=15)


def test_two_halves_of_a_job_one_after_the_other_draw_no_more_than_the_whole():
    """32 clamps in boxes of 15 are 2.13 boxes: three for the job, not two for each half."""
    wiring = stage("wiring", kind="electrical", after=("A",))
    tables = {"items": (BY_FIFTEEN,), "stock": ()}
    stages = (stage("A"), wiring, stage("B", after=("wiring",)))
    assert draws("A", **tables, stages=stages) == {"clamp box": 2}  # 1.07
    assert draws("B", **tables, stages=stages) == {"clamp box": 1}  # what A left over, and one


def test_halves_of_an_odd_number_of_modules_draw_it_whole():
    """19 modules: ten and nine, also once the first half has been taken to the site."""
    tables = {"stock": (Stock("module", 9),), "stages": (stage("A"), stage("B", after=("A",)))}
    begun = (Progress(date(2026, 5, 1), "A", "rails", 0.5),)
    assert draws("A", **tables)["module"] == 10
    assert draws("B", **tables) == draws("B", **tables, progress=begun) == {"module": 9}


def test_a_box_that_was_opened_on_site_before_is_not_counted_on():
    tables = {"items": (BY_FIFTEEN,), "stock": (), "stages": (stage("A"), stage("B", after=("A",)))}
    begun = (Progress(date(2026, 5, 1), "A", "rails", 0.5),)
    assert draws("B", **tables) == {"clamp box": 1}
    assert draws("B", **tables, progress=begun) == {"clamp box": 2}


def test_stages_in_any_order_cannot_count_on_what_the_other_leaves_over():
    tables = {"items": (BY_FIFTEEN,), "stock": ()}
    halves = (stage("A"), stage("B"))
    assert draws("A", **tables, stages=halves) == {"clamp box": 2}
    assert draws("B", **tables, stages=halves) == {"clamp box": 2}
    both_after_a = (stage("A"), stage("B", after=("A",)), stage("C", after=("A",)))
    assert draws("C", **tables, stages=both_after_a) == {"clamp box": 1}  # 0.71


@pytest.mark.parametrize("kind", ["electrical", "inspection", "commissioning", "return"])
def test_only_roof_stages_draw(kind):
    assert draws(items=(CLAMPS,), stock=(), stages=(stage(kind=kind),)) == {}


def test_a_begun_stage_has_its_kit_on_site():
    begun = (Progress(date(2026, 5, 1), "S1", "rails", 0.5),)
    assert draws(items=(CLAMPS,), stock=(), progress=begun) == {}


def test_a_kit_row_stands_in_place_of_the_store():
    for state in ("granted", "open"):
        rows = (Requirement("J1", "kit", state),)
        assert draws(items=(CLAMPS,), stock=(), requirements=rows) == {}


def test_modules_are_drawn_by_their_own_kind():
    tables = {
        "modules": (module("M400"), module("M430")),
        "planes": (plane("a", rows=(6,)), plane("b", rows=(4,), module="M430")),
        "stock": (),
    }
    both = (Item("M400", "module"), Item("M430", "module", pack=2))
    assert draws(items=both, **tables) == {"M400": 6, "M430": 2}
    pallet = (Item("pallet", "module", pack=10),)
    assert draws(items=pallet, **tables) == {"pallet": 1}


def test_a_store_with_other_kinds_of_module_only_lacks_this_one():
    tables = {"modules": (module("M400"), module("M430")), "stock": (Stock("M430", 99),)}
    assert draws(items=(Item("M430", "module"),), **tables) == {"M400": 19}
