"""Sentences of the office's page."""

from datetime import datetime

from crewplan.readiness.ready_view import ReadyView
from dashboard.tables.awaited import AwaitedJob
from dashboard.text.chances import count_words
from dashboard.text.tomorrow_words import time_words

NO_CALLS = "Nobody has to be called today: what is awaited is likely enough there by its day."
NOTHING_AWAITED = "No job waits for anything: all that open stages need is in hand on their days."
OF_ANOTHER_DAY = (
    "These calls were worked out on an earlier day, or the connection is lost. Load the page again"
    " before you call; on tables without a database, start the board again first."
)


def failed_words(asked_at: datetime) -> list[str]:
    """The failed state: what is missing, of which data, and what to do."""
    return [
        "What the jobs wait for, and whom to call, could not be worked out from the tables as of"
        f" {time_words(asked_at)}.",
        "Call by your own list today. Whoever runs the board finds the reason in its log;"
        " the next look, after a change of the tables or a new start of the board, tries again.",
    ]


def waiting_summary(ready: ReadyView, jobs: tuple[AwaitedJob, ...]) -> str:
    """How many calls there are, and how many jobs wait."""
    open_jobs = len({stage.job.job for stage in ready.stages})
    called = (
        f"{count_words(len(ready.calls), 'call')} to make today, the dearest delay first."
        if ready.calls
        else NO_CALLS
    )
    if not jobs:
        return NOTHING_AWAITED if not ready.calls else called
    waits = "waits" if len(jobs) == 1 else "wait"
    told = f"{len(jobs)} of {count_words(open_jobs, 'open job')} {waits} for something."
    return f"{called} {told}"
