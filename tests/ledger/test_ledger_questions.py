"""Odd hours are asked about and counted all the same."""

from datetime import date
from decimal import Decimal

from ledger_cases import MONDAY, book_of, day, done, worked

from crewplan.ledger import hours_in_all, questions
from crewplan.model.ledger import Span
from crewplan.publishing.hours_text import question_sentences

ALL_DONE = (done("protect", 1.0), done("attach", 1.0, on=1))


WHOLE, LATER = Span(), day(30)


def kinds(book, today=LATER, span=WHOLE):
    return [(one.kind, one.day, one.person) for one in questions(book, span, today)]


def test_a_day_of_more_than_sixteen_hours_is_asked_about_over_all_stages():
    hours = (worked("Ann", 9), worked("Ann", 7.5, at="S3"), worked("Bo", 16))
    book = book_of(hours_worked=hours)
    assert kinds(book) == [("long day", MONDAY, "Ann")]
    assert hours_in_all(book, Span()).worked_h == 32.5


def test_hours_after_the_day_on_which_a_stage_was_finished_are_asked_about():
    hours = (worked("Ann", 2, on=1), worked("Ann", 2, on=2), worked("Ann", 2, at="S2", on=2))
    assert kinds(book_of(hours_worked=hours, progress=ALL_DONE)) == [
        ("finished stage", day(2), "Ann")
    ]


def test_a_stage_whose_progress_was_taken_back_is_not_finished():
    progress = (*ALL_DONE, done("attach", 0.9, on=2))
    assert kinds(book_of(hours_worked=(worked("Ann", 2, on=2),), progress=progress)) == []


def test_hours_before_the_jobs_earliest_day_are_asked_about():
    """builders.job may start on Monday 4 May."""
    assert kinds(book_of(hours_worked=(worked("Bo", 3, on=-1), worked("Bo", 3)))) == [
        ("before the job", date(2026, 5, 3), "Bo")
    ]


def test_hours_of_days_to_come_are_asked_about():
    assert kinds(book_of(hours_worked=(worked("Cy", 3, on=4),)), today=day(3)) == [
        ("after today", day(4), "Cy")
    ]


def test_several_entries_for_the_very_same_are_asked_about_and_all_count():
    lost = {"cause": "return_trip", "about": "rail"}
    same = (worked("Ann", 4), worked("Ann", 3.5), worked("Bo", 2, **lost), worked("Bo", 1, **lost))
    others = (
        worked("Ann", 1, step="protect"), worked("Ann", 1, on=1), worked("Ann", 1, at="S3"),
        worked("Ann", 1, **lost), worked("Bo", 1, cause="return_trip", about="end clamp"),
    )  # fmt: skip
    book = book_of(hours_worked=(*same, *others))
    found = [(one.kind, one.person, one.hours, one.limit) for one in questions(book, WHOLE, LATER)]
    assert found == [("several times", "Ann", Decimal("7.5"), 2), ("several times", "Bo", 3, 2)]
    assert hours_in_all(book, WHOLE).worked_h == Decimal("15.5")


def test_hours_before_the_stage_that_comes_first_was_finished_are_asked_about():
    """ledger_cases: S2 comes after S1, which is done on Tuesday."""
    early, late = worked("Cy", 3, at="S2"), worked("Cy", 3, at="S2", on=1)
    [asked] = questions(book_of(hours_worked=(early, late), progress=ALL_DONE), WHOLE, LATER)
    assert (asked.kind, asked.day, asked.limit, asked.before) == (
        "before its turn", MONDAY, day(1), "S1",
    )  # fmt: skip
    assert list(question_sentences([asked])) == [
        "Cy has 3 h on 2026-05-04 on S2, which comes after S1, finished no sooner than 2026-05-05;"
        " is that right?"
    ]


def test_a_stage_that_is_not_finished_to_this_day_keeps_the_next_from_beginning():
    book = book_of(hours_worked=(worked("Cy", 3, at="S2", on=1),), progress=ALL_DONE[:1])
    [asked] = questions(book, WHOLE, day(9))
    assert (asked.kind, asked.limit, asked.before) == ("before its turn", day(9), "S1")


def test_where_nobody_reports_progress_nobody_is_asked_about_turns():
    assert kinds(book_of(hours_worked=(worked("Cy", 3, at="S2"),))) == []


def test_only_hours_of_the_span_are_asked_about():
    book = book_of(hours_worked=(worked("Ann", 17), worked("Ann", 17, on=7)))
    assert kinds(book, span=Span(day(1), None)) == [("long day", day(7), "Ann")]


def test_a_sentence_names_person_hours_day_and_what_it_is_held_against():
    book = book_of(hours_worked=(worked("Ann", 2, on=2),), progress=ALL_DONE)
    assert list(question_sentences(questions(book, Span(), day(9)))) == [
        "Ann has 2 h on 2026-05-06 on S1, which was reported finished on 2026-05-05; is that right?"
    ]


def test_many_alike_are_told_by_a_few_and_their_number():
    book = book_of(hours_worked=tuple(worked("Ann", 17, on=at) for at in range(9)))
    told = list(question_sentences(questions(book, Span(), day(30))))
    assert len(told) == 4
    assert told[-1].startswith("long day: 6 more")
