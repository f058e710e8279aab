"""Lost hours by authority, supplier, limit and part: told where it is known, never guessed."""

import pytest
from builders import job
from ledger_cases import book_of, day, worked

from crewplan.ledger import findings, hours_by
from crewplan.model.ledger import Span
from crewplan.model.material_rows import Arrival, Item

TABLES = {
    "jobs": (job("J1", authority="Hill", utility="Grid"), job("J2")),
    "arrivals": (
        Arrival("end clamp", 5, day(3), "Sun Supply"),
        Arrival("rail", 5, day(3), "Sun Supply"),
        Arrival("rail", 5, day(4), "Other Supply"),
    ),
    "items": (Item("box of end clamps", "end clamp"),),
}
LOST = [
    # by, cause, about, note, stage, group
    ("authority", "waiting_for_permit", "", "", "S1", "Hill"),
    ("authority", "waiting_for_permit", "grid", "", "S1", "Grid"),
    ("authority", "failed_inspection", "the shed", "", "S1", "Hill"),
    ("authority", "waiting_for_permit", "", "", "S3", "not told"),
    ("authority", "weather", "", "", "S1", "other causes"),
    ("authority", "rework", "HILL", "", "S3", "Hill"),
    ("authority", "", "Hill", "", "S1", "productive"),
    ("supplier", "waiting_for_material", "sun  supply", "", "S1", "Sun Supply"),
    ("supplier", "waiting_for_material", "End_Clamp", "", "S1", "Sun Supply"),
    ("supplier", "waiting_for_material", "", "end clamps late", "S1", "Sun Supply"),
    ("supplier", "waiting_for_material", "rail", "", "S1", "not told"),
    ("supplier", "waiting_for_material", "a cousin", "", "S1", "not told"),
    ("supplier", "missing_tool_or_part", "end clamp", "", "S1", "other causes"),
    ("limit", "weather", "Gust", "", "S1", "gust"),
    ("limit", "weather", "temperature_low", "", "S1", "temperature low"),
    ("limit", "weather", "", "gusts all day", "S1", "not told"),
    ("limit", "rework", "", "", "S1", "other causes"),
    ("part", "missing_tool_or_part", "end clamp", "no rail", "S1", "end clamp"),
    ("part", "missing_tool_or_part", "Sun Supply", "no rail", "S1", "rail"),
    ("part", "return_trip", "Ratchet Strap", "", "S1", "Ratchet Strap"),
    ("part", "return_trip", "two end clamps", "", "S1", "end clamp"),
    ("part", "missing_tool_or_part", "", "the blue thing", "S1", "not told"),
    ("part", "weather", "strap", "", "S1", "other causes"),
]


@pytest.mark.parametrize(("by", "cause", "about", "note", "stage", "group"), LOST)
def test_an_hour_is_told_where_it_belongs(by, cause, about, note, stage, group):
    row = worked("Ann", 2, at=stage, cause=cause, about=about, note=note)
    (line,) = hours_by(book_of(**TABLES, hours_worked=(row,)), by, Span())
    assert (line.name, line.worked_h) == (group, 2)


def test_free_words_that_only_differ_in_letters_and_blanks_are_one_part():
    rows = tuple(
        worked("Ann", 1, on=on, cause="missing_tool_or_part", about=about)
        for on, about in enumerate(["strap", "Strap ", "STRAP"])
    )
    (line,) = hours_by(book_of(hours_worked=rows), "part", Span())
    assert (line.name, line.worked_h) == ("STRAP", 3)  # the first by code point


@pytest.mark.parametrize(
    ("cause", "about", "kind", "subject"),
    [
        ("weather", "gust", "limit", "gust"),
        ("waiting_for_material", "Other Supply", "supplier", "Other Supply"),
        ("waiting_for_material", "end clamp", "part", "end clamp"),
        ("waiting_for_permit", "Grid", "authority", "Grid"),
        ("rework", "gust", "crew", "Alder"),
    ],
)
def test_what_to_change_goes_by_what_hours_were_about_before_their_note(
    cause, about, kind, subject
):
    row = worked("Ann", 2, cause=cause, about=about, note="rail")
    (found,) = findings(book_of(**TABLES, hours_worked=(row,)), day(5))
    assert (found.subject_kind, found.subject) == (kind, subject)
