"""That a month was closed, and what was entered for it since, in words and JSON."""

from collections.abc import Iterator
from typing import Any

from crewplan.model.closed import Closing, Correction


def closed_sentence(closing: Closing) -> str:
    """That the figures are those of then."""
    return (
        f"{closing.month} was closed by {closing.by} on {closing.at[:10]} (version"
        f" {closing.version}): its figures are as they were then."
    )


def correction_sentences(closing: Closing) -> Iterator[str]:
    """What was entered since, a sentence each; none of it is in the figures."""
    count = len(closing.corrections)
    if count:
        noun = "correction" if count == 1 else "corrections"
        yield f"{count} {noun} since closing, in none of these figures:"
    yield from map(_words, closing.corrections)


def _words(one: Correction) -> str:
    what = f"{one.was or 'nothing'} -> {one.now or 'nothing'}"
    return f"{one.at[:10]} {one.by} (version {one.version}), {one.table}: {what}"


def closing_json(closing: Closing | None) -> dict[str, Any] | None:
    """None: the days are no month that was closed."""
    if closing is None:
        return None
    return {
        "month": closing.month,
        "by": closing.by,
        "at": closing.at,
        "version": closing.version,
        "corrections": [
            {
                "version": one.version,
                "by": one.by,
                "at": one.at,
                "table": one.table,
                "was": one.was,
                "now": one.now,
            }
            for one in closing.corrections
        ],
    }
