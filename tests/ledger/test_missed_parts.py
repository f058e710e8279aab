"""What was missing lately, as whoever loads the truck is told it. Days from ledger_cases."""

from ledger_cases import book_of, day
from test_what_to_change import noted

from crewplan.ledger import findings
from crewplan.ledger.findings import WEEKS
from crewplan.ledger.missed_parts import missed_parts, since
from crewplan.model.finding import MissedPart
from crewplan.publishing.missed_text import missed_words

LAST = day(60)


def found(*rows, last=LAST):
    book = book_of(hours_worked=rows)
    return missed_parts(book.branch, book.branch.hours_worked, last)


def test_a_crew_that_stands_together_is_one_case_and_the_drive_back_counts_too():
    rows = (
        noted("missing_tool_or_part", "no End Clamps left", on=50),
        noted("missing_tool_or_part", "no end clamps left", on=50, who="Bo"),
        noted("return_trip", "back for end clamps", on=51, at="S3"),
        noted("missing_tool_or_part", "rail too short", on=52),
    )
    assert found(*rows) == (
        MissedPart("end clamp", 2, day(51)),
        MissedPart("rail", 1, day(52)),
    )
    (of_clamps,) = (one for one in findings(book_of(hours_worked=rows), LAST) if one.cases == 2)
    assert of_clamps.subject == "end clamp"  # as the owner's page counts it


def test_other_causes_other_weeks_and_what_nobody_named_do_not_count():
    before = (since(LAST) - day(0)).days - 1
    assert (LAST - since(LAST)).days == 7 * WEEKS - 1
    rows = (
        noted("waiting_for_material", "rail", on=50),
        noted("missing_tool_or_part", "rail", on=before),
        noted("missing_tool_or_part", "rail", on=61),
        noted("missing_tool_or_part", "something", on=50),
    )
    assert found(*rows) == ()
    assert found(noted("missing_tool_or_part", "rail", on=before + 1)) == (
        MissedPart("rail", 1, since(LAST)),
    )


def test_the_most_often_missing_comes_first_and_a_long_list_is_cut_with_its_length():
    parts = [MissedPart(f"part {at}", 9 - at, day(at)) for at in range(8)]
    assert missed_words([], 8) == ""
    assert missed_words(parts[:1], 8) == (
        "Count these first; they were missing on site in the last 8 weeks: part 0"
        " (9 times, last on Mon 4 May)."
    )
    assert "part 5 (4 times" in missed_words(parts, 8)
    assert missed_words(parts, 8).endswith("; and 2 more.")
    assert "part 8 (once, on" in missed_words([MissedPart("part 8", 1, day(0))], 8)
