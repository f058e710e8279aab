"""Intake and take-off have nothing to say against the demo, and its mark is its own."""

from demo_tables import FOLDER

from crewplan.intake import read_folder
from crewplan.intake.demo_mark import MARK, tables_digest
from crewplan.takeoff import TAKEOFF_ITEMS, take_off_all


def test_the_mark_beside_the_tables_is_their_digest():
    assert (FOLDER / MARK).read_text(encoding="ascii").split() == [tables_digest(FOLDER)]


def test_the_demo_has_no_fault_and_no_warning():
    assert read_folder(FOLDER).warnings == ()


def test_no_roof_of_the_demo_breaks_a_setback_or_a_cantilever():
    planes = [p for job in take_off_all(read_folder(FOLDER)).values() for p in job.planes]
    assert not [plane.problems for plane in planes if plane.problems]


def test_the_store_keeps_an_item_for_every_word_of_the_take_off():
    assert {item.takeoff_item for item in read_folder(FOLDER).items} == set(TAKEOFF_ITEMS)
