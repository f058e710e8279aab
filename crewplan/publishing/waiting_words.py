"""What a stage waits for, and whom to chase, in words."""

from collections.abc import Mapping

from crewplan.model.job_rows import Job
from crewplan.model.waiting_rows import Requirement
from crewplan.publishing.day_words import day_words
from crewplan.readiness.givers import giver

_STATES: Mapping[str, str] = {
    "open": "has not been asked for",
    "asked": "is awaited",
    "granted": "is in hand",
    "refused": "was refused",
    "not_needed": "is not needed",
}


def plain(word: str) -> str:
    """A table's word for people to read."""
    return word.replace("_", " ")


def waiting_words(kind: str, row: Requirement | None) -> str:
    """'permit is awaited since Tue 14 Apr, expected Wed 6 May'. No row: open, or worked out."""
    if row is None:
        return f"{plain(kind)} is not in hand yet"
    words = f"{plain(kind)} {_STATES[row.state]}"
    if row.state == "asked" and row.asked_on is not None:
        words += f" since {day_words(row.asked_on)}"
    if row.state == "granted" and row.expires_on is not None:
        words += f" until {day_words(row.expires_on)}"
    if row.state in ("open", "asked") and row.expected_on is not None:
        words += f", expected {day_words(row.expected_on)}"
    return words


def chase(kind: str, job: Job) -> str:
    """One sentence: whom to ask."""
    name = {"authority": job.authority, "utility": job.utility}.get(giver(kind), "")
    if name:
        return f"Ask {name} for it."
    if kind == "kit":
        return "Ask the supplier when it comes, and put the kit together."
    if kind == "customer_confirmed":
        return f"Call {job.contact or job.customer or 'the customer'}" + (
            f" ({job.phone})." if job.phone else "."
        )
    return "Find out who has it, and ask."
