"""How each crew stands at the end of a day."""

from collections.abc import Collection
from datetime import date

from crewplan.ledger.adding import added_up
from crewplan.ledger.book import Book
from crewplan.ledger.entries import hours_of
from crewplan.ledger.standing import Standings, spent_in, stand
from crewplan.ledger.views import crew_name, crew_weights, crews_of_hours
from crewplan.model.ledger import Span, Standing


def crew_standings(
    book: Book, day: date, standings: Standings, only: Collection[str]
) -> dict[str, Standing]:
    """By crew; one that is not known is empty.

    A stage counts for the crews in the parts of its productive hours so far; without any, for the
    crew that it is published with; without that, for nobody's. Hours worked are each crew's own.

    Args:
        book: the record.
        day: everything after it is left out.
        standings: of the same book and day.
        only: crews that are asked for.
    """
    entries = book.entries.within(Span(None, day))
    weights = crew_weights(book, entries)
    crew_at = {row.crew: place for place, row in enumerate(book.branch.crews)}
    published = {row.stage: crew_at[row.crew] for row in book.branch.plan}
    many = book.no_crew + 1
    added = added_up(book, entries, crews_of_hours(book, entries), many)
    budget, promised, earned, promised_earned = ([0.0] * many for _ in range(4))
    for place, row in enumerate(book.branch.stages):
        parts = weights.get(place) or {published.get(row.stage, book.no_crew): 1}
        whole, one = sum(parts.values()), standings.planned(place)
        for crew, part in parts.items():
            share = part / whole
            budget[crew] += one.budget * share
            earned[crew] += one.earned * share
            if one.promised is not None:
                promised[crew] += one.promised * share
                promised_earned[crew] += one.earned * share
    name = crew_name(book)
    return {
        name(crew): stand(
            budget[crew] / 1e6,
            promised[crew] / 1e6,
            earned[crew] / 1e6,
            promised_earned[crew] / 1e6,
            float(hours_of(added.worked[crew])),
            spent_in(added, [crew], standings.table_hour),
        )
        for crew in range(many)
        if name(crew) in only
    }
