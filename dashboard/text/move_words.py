"""A stage where somebody wants it: price, moves and broken promises in words."""

from collections.abc import Iterable

from crewplan.model.branch import Branch
from crewplan.model.whatif import BrokenPromise, Comparison, Wanted
from crewplan.publishing.day_words import day_words, long_day_words
from crewplan.publishing.reader import decimal
from crewplan.publishing.whatif_text import parts_words
from dashboard.text.week_words import REASON_WORDS, reason_words


def wanted_words(wanted: Wanted) -> str:
    """'S12 on Monday 4 May 2026 with Alder', or 'S12 not on Monday 4 May 2026'."""
    if wanted.off:
        return f"{wanted.stage} not on {long_day_words(wanted.day)}"
    crew = f" with {wanted.crew}" if wanted.crew else ""
    return f"{wanted.stage} from {long_day_words(wanted.day)} on{crew}"


def price_words(found: Comparison, currency: str) -> list[str]:
    """What it costs more, and by which part."""
    more = found.cents_more / 100
    if found.cents_more == 0:
        said = ["It costs nothing more."]
    elif more > 0:
        said = [f"It costs {decimal(more, 2)} {currency} more."]
    else:
        said = [f"It costs {decimal(-more, 2)} {currency} less."]
    said += parts_words(found)
    if 0 < abs(found.cents_more) < found.unproven_cents:
        left = decimal(found.unproven_cents / 100, 2)
        said.append(f"That is less than the {left} {currency} that the solver left unproven.")
    return said


def refused_words(found: Comparison) -> list[str]:
    """The rules that speak against it; empty: none does."""
    return [f"{REASON_WORDS[one.kind]}: {reason_words(one)}" for one in found.refused]


def broken_words(branch: Branch, broken: Iterable[BrokenPromise]) -> list[str]:
    """Promises that it breaks, or breaks by more."""
    customers = {job.job: job.customer or job.job for job in branch.jobs}
    said = []
    for one in broken:
        after = "is left out" if one.ends_on is None else f"ends on {day_words(one.ends_on)}"
        before = "" if one.ended_on is None else f", before on {day_words(one.ended_on)}"
        said.append(
            f"{one.stage} at {customers.get(one.job, one.job)} {after}{before};"
            f" promised by {day_words(one.due_on)}"
        )
    return said
