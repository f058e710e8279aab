"""Odd hours are asked about and counted all the same."""

from datetime import date

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
