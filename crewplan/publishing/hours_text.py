"""Hours, standings and margins as text for a terminal."""

from collections.abc import Callable, Iterator, Sequence

from crewplan.model.ledger import (
    HoursLine,
    HoursRecord,
    Question,
    QuestionKind,
    Span,
)
from crewplan.publishing.figure_text import figure_text
from crewplan.publishing.margins_text import losses_text, margins_text
from crewplan.publishing.standings_text import standings_text
from crewplan.publishing.terminal import table_text

_UNKNOWN_NAME = "not known"
_HOURS_COLUMNS = ("worked h", "productive h", "lost h", "earned h", "earned/worked", "cost", "lost")
_FEW = 3
"""Cases of one kind of question that are told one by one; the JSON has all."""

_ASKED: dict[QuestionKind, str] = {
    "long day": "{person} has {hours} h on {day}, more than {limit:g} h; is that right?",
    "same again": "{person} has {limit:g} h on {day} on {stage} already, and now {hours} h for the "
    "same; is that right?",
    "several times": "{person} has {hours} h on {day} on {stage} in {limit} entries for the same; "
    "is that right?",
    "finished stage": "{person} has {hours} h on {day} on {stage}, which was reported finished on "
    "{limit}; is that right?",
    "before the job": "{person} has {hours} h on {day} on {stage}, whose job begins no earlier "
    "than {limit}; is that right?",
    "before its turn": "{person} has {hours} h on {day} on {stage}, which comes after {before}, "
    "finished no sooner than {limit}; is that right?",
    "closed month": "{person} has {hours} h on {day} on {stage}, in a month that was closed on "
    "{limit}; is it a correction?",
    "after today": "{person} has {hours} h on {day} on {stage}, a day after today, {limit}; "
    "is that right?",
}


def question_words(question: Question, sentence: Callable[[str], str] = str) -> str:
    """One question in a sentence; `sentence` gives it in another language, gaps open."""
    return sentence(_ASKED[question.kind]).format(
        person=question.person,
        hours=f"{question.hours.normalize():f}",
        day=question.day,
        stage=question.stage,
        limit=question.limit,
        before=question.before,
    )


def question_sentences(questions: Sequence[Question]) -> Iterator[str]:
    """A few of each kind in a sentence each, and how many more there are. All hours count."""
    for kind in _ASKED:
        cases = [one for one in questions if one.kind == kind]
        yield from map(question_words, cases[:_FEW])
        if len(cases) > _FEW:
            yield f"{kind}: {len(cases) - _FEW} more like these; --format json lists them all"


def unpriced_sentence(in_all: HoursLine) -> str:
    """Hours of people who have left; empty where there are none."""
    if not in_all.unpriced_h:
        return ""
    return (
        f"{in_all.unpriced_h.normalize():f} h are of people who are not in the table people: "
        "their cost is unknown and stands in no sum of money; their hours are kept"
    )


def _line(name: str, line: HoursLine) -> tuple[str, ...]:
    return (
        name,
        f"{line.worked_h:,.2f}",
        f"{line.productive_h:,.2f}",
        f"{line.lost_h:,.2f}",
        f"{line.earned_h:,.2f}",
        figure_text(line.hours_index),
        f"{line.cost:,.2f}",
        f"{line.lost_cost:,.2f}",
    )


def span_words(span: Span) -> str:
    """The days asked for."""
    match span.first, span.last:
        case None, None:
            return "the whole record"
        case None, last:
            return f"up to {last}"
        case first, None:
            return f"from {first}"
        case first, last:
            return f"{first} to {last}"


def hours_text(record: HoursRecord, title: str, currency: str, mark: str) -> str:
    """The lines and their total; then standings, and margins where lines are jobs."""
    parts = [mark] if mark else []
    span = span_words(record.span)
    parts.append(f"{title}: hours by {record.by}, {span}. Person-hours; money in {currency}.")
    rows = [_line(line.name or _UNKNOWN_NAME, line) for line in record.lines]
    columns = (record.by, *_HOURS_COLUMNS)
    parts.append(table_text(columns, [*rows, _line("in all", record.in_all)]))
    each = "each week, and in all of " if record.by == "week" else ""
    parts.append(f"Up to the end of {each}{record.as_of}, person-hours:")
    named = {name or _UNKNOWN_NAME: one for name, one in record.standings.items()}
    standings = {**named, "in all": record.standing_in_all}
    parts.append(standings_text(record.by, standings, currency))
    if record.margins:
        parts += ["", margins_text(record.margins)]
    if record.losses:
        parts += ["", losses_text(record.losses)]
    return "\n".join(parts)


def margins_answer(record: HoursRecord, title: str, currency: str, mark: str) -> str:
    """Only from price to margin, and which jobs lost most."""
    parts = [mark] if mark else []
    parts.append(
        f"{title}: margins of jobs with hours in {span_words(record.span)}, as of {record.as_of};"
        f" money in {currency}."
    )
    parts.append(margins_text(record.margins))
    if record.losses:
        parts += ["", losses_text(record.losses)]
    return "\n".join(parts)
