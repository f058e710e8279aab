"""A job that is left open is told on the sheet, in the evening note, on the board and in moves."""

from dataclasses import replace
from datetime import date, time

from builders import NOW, branch, job, stage
from builders import settings as branch_settings
from sheet_cases import ROOF, facts_of, sheet
from weather_cases import calm_rows, gate_branch

from crewplan.model.people_rows import Crew, Person
from crewplan.model.placement import Part
from crewplan.model.plan_row import PlanRow
from crewplan.model.whatif import Move, Slot
from crewplan.publishing.crew_sheet.as_json import sheet_json
from crewplan.publishing.crew_sheet.as_text import sheet_text
from crewplan.publishing.evening_note import evening_note
from crewplan.publishing.whatif_text import slot_words
from crewplan.running.published import left_until
from crewplan.weather import day_verdicts
from dashboard.tables.crew_day import part_words
from dashboard.text.week_words import halves_words

MONDAY, TUESDAY, THURSDAY = date(2026, 5, 4), date(2026, 5, 5), date(2026, 5, 7)


def in_two_parts(planned):
    """The placement with a first half-day on its own and the rest two days later."""
    whole = planned.placement
    first, rest = whole.cells[:1], tuple(cell + 4 for cell in whole.cells)
    half = whole.labour_p50_h / 2
    parts = (
        Part(first, whole.people, half, half, 0.0, {}),
        Part(rest, whole.people, half, half, whole.lost_h, whole.cost),
    )
    return replace(planned, placement=replace(whole, cells=(*first, *rest), parts=parts))


def test_the_sheet_says_when_the_crew_is_back_and_what_is_safe_before_it_leaves():
    facts = facts_of(ROOF)
    facts = replace(facts, planned=in_two_parts(facts.planned))
    text = " ".join(sheet_text(sheet(facts)).split())
    assert "Part 1 of 2" in text
    assert "every penetration flashed, every module that is set clamped" in text
    starts = sheet_json(facts)["part_starts"]
    assert len(starts) == 2
    assert starts[1][0] > starts[0][0]


def test_a_sheet_of_a_stage_in_one_go_tells_no_parts():
    assert "Part 1" not in sheet_text(sheet(facts_of(ROOF)))


def note(back_on):
    told = day_verdicts(gate_branch(calm_rows(10)), MONDAY, NOW)
    settings = branch_settings(units="metric", shift_start=time(7))
    return evening_note(settings, "Alder", told, None, back_on=back_on)


def test_the_evening_note_tells_that_the_job_is_left_open():
    [words] = [text for about, text in note(THURSDAY).lines if about == "left open"]
    assert words.startswith("This job is left open after today, back on Thu 7 May: every")
    assert not [text for about, text in note(None).lines if about == "left open"]


def published():
    rows = (
        PlanRow("S1", "A", MONDAY, "am", 1, 4),
        PlanRow("S1", "A", THURSDAY, "am", 2, 2),
    )
    return branch(
        people=(Person("Lea", "A", "lead", 40.0),),
        crews=(Crew("A", 46.8, -92.1),),
        jobs=(job(),),
        stages=(stage(),),
        plan=rows,
    )


def test_the_job_is_left_on_the_last_evening_of_its_first_part():
    assert left_until(published(), "A", "S1", MONDAY) is None
    assert left_until(published(), "A", "S1", TUESDAY) == THURSDAY
    assert left_until(published(), "A", "S1", THURSDAY) is None


def test_the_board_counts_parts_beside_days():
    facts = facts_of(ROOF)
    planned = in_two_parts(facts.planned)
    plan = type("P", (), {"horizon": facts.horizon})
    first, second = (facts.horizon.day_of(cell) for cell in planned.placement.part_starts)
    assert part_words(plan, planned, first) == "part 1 of 2"
    assert part_words(plan, planned, second) == "part 2 of 2"
    assert part_words(plan, facts.planned, first) == ""
    assert halves_words("am", 1, 3, "part 1 of 2") == "morning, day 1 of 3, part 1 of 2"


def test_a_move_of_the_second_part_alone_is_told_and_heard():
    before = Slot("A", MONDAY, "am", date(2026, 5, 8), THURSDAY)
    after = replace(before, back_on=date(2026, 5, 8))
    assert slot_words(before, "") == "A, 2026-05-04 am, back on 2026-05-07 to 2026-05-08"
    assert Move("S1", "J1", before, after, 0).customer_hears
