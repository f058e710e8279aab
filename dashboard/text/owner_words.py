"""Sentences of the owner's page about what was made and lost."""

from crewplan.model.ledger import Span
from crewplan.model.owner import JobPace, OwnerView
from crewplan.publishing.day_words import long_day_words
from crewplan.publishing.reader import decimal
from crewplan.publishing.waiting_words import plain
from dashboard.text.chances import count_words

_MOST_NAMED = 4
"""Jobs that stand out, named in a sentence each. Assumed."""
BEING_READ = "The record is being added up. Open this again in a moment."
BEHIND = "What was written down just now is not in these figures yet. Open this again in a moment."

NOTHING_KEPT_HERE = (
    "Nothing can be said yet. What a plan expects is kept from the first one on that is published"
    " into a database."
)


def added_up_from(version: int) -> str:
    """Which state of the database the figures are of."""
    return f"Added up from version {version}."


def span_sentence(span: Span) -> str:
    """Which days are shown."""
    match span.first, span.last:
        case None, None:
            return "All days that hours were written down for."
        case None, last if last:
            return f"Days up to {long_day_words(last)}."
        case first, None if first:
            return f"Days from {long_day_words(first)}."
        case first, last:
            assert first is not None
            assert last is not None
            return f"Days from {long_day_words(first)} to {long_day_words(last)}."


def money_words(look: OwnerView, currency: str) -> str:
    """What the jobs were to make, and make at completion."""
    fall, jobs = look.at_completion, len(look.record.margins)
    if not jobs:
        return "No job has hours in these days."
    back = f", return stages {decimal(fall.returns / 100, 0)}" if fall.returns else ""
    return (
        f"{count_words(jobs, 'job')} with hours: {decimal(fall.price / 100, 0)} {currency} of price"
        f" make {decimal(fall.margin / 100, 0)} at completion,"
        f" {decimal(look.planned.margin / 100, 0)} were planned."
        f" Lost hours took {decimal(fall.lost / 100, 0)} so far{back}."
    )


def dearest_words(look: OwnerView, currency: str) -> str:
    """Which jobs lost most, and what drove it."""
    losses = look.record.losses
    if not losses:
        return "No hours were written down as lost in these days."
    named = ", ".join(
        f"{one.job} ({decimal(one.cost, 0)} {currency}, most of it {plain(one.driver.cause)})"
        for one in losses[:3]
    )
    return f"Most was lost on {named}."


def pace_words(look: OwnerView) -> str:
    """Which jobs stand out, or that none can be told yet."""
    if not look.paces:
        return "No work with hours was reported done yet, so that no job can be held to its plan."
    if not look.paces_told:
        return (
            f"{count_words(len(look.paces), 'job')} with work done and hours: too few to say which"
            " stands out."
        )
    far = [one for one in look.paces if one.outlier]
    if not far:
        return "No job stands out from the others."
    rest = len(far) - _MOST_NAMED
    more = [f"{count_words(rest, 'more job')} stand{'s' * (rest == 1)} out."] if rest > 0 else []
    return " ".join([*map(_pace, far[:_MOST_NAMED]), *more])


def _pace(one: JobPace) -> str:
    word = "over" if one.outlier == "over" else "under"
    return (
        f"{one.job} stands out, far {word} the others: {decimal(one.worked_h, 1)} h worked for"
        f" {decimal(one.earned_h, 1)} planned ({decimal(one.times, 1)} times)."
    )
