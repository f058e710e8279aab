"""From price to margin job by job, and which jobs lost most: terminal text, rows of a table."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal

from crewplan.model.ledger import (
    Figure,
    HoursRecord,
    JobLoss,
    JobMargin,
    LostHours,
    Undefined,
    Waterfall,
)
from crewplan.publishing.figure_text import figure_text
from crewplan.publishing.sheets import Sheet, cell_text
from crewplan.publishing.terminal import table_text
from crewplan.publishing.waiting_words import plain

WATERFALL = (
    ("price", "price"),
    ("labour", "labour"),
    ("material", "material"),
    ("equipment", "equipment"),
    ("lost", "lost"),
    ("returns", "return stages"),
    ("margin", "margin"),
)
"""Parts of a waterfall, and their words: the first less all between is the last."""
_LESS = ("at completion P10", "P90", "a watt", "a crew day")
_TEXT_COLUMNS = ("job", "as of", *(words for _, words in WATERFALL), *_LESS)
_SHOWN_CAUSES = 3
STATES = (("planned", "planned"), ("now", "now"), ("at_completion", "at completion"))
MARGIN_COLUMNS = (
    "job", *(f"{state}_{part}" for state, _ in STATES for part, _ in WATERFALL),
    "at_completion_p10", "at_completion_p90", "power_w", "crew_days", "share_done", "per_watt",
    "per_crew_day", "lost_h", "lost_cost", "lost_most_to", "lost_most_to_cost",
)  # fmt: skip
Cell = str | Decimal | float | None
"""None: undefined."""


def _cents(cents: int) -> Decimal:
    return Decimal(cents) / 100


def _or_none(figure: Figure) -> float | None:
    return None if isinstance(figure, Undefined) else figure


def margin_rows(margins: Iterable[JobMargin], losses: Iterable[JobLoss]) -> list[tuple[Cell, ...]]:
    """A row a job in the order of MARGIN_COLUMNS: who lost most first, then the others."""
    lost = {one.job: one for one in losses}
    by_job = {one.job: one for one in margins}
    order = [*(job for job in lost if job in by_job), *(job for job in by_job if job not in lost)]
    return [_row(by_job[job], lost.get(job)) for job in order]


def _row(margin: JobMargin, loss: JobLoss | None) -> tuple[Cell, ...]:
    parts = (
        _cents(getattr(getattr(margin, state), part))
        for state, _ in STATES
        for part, _ in WATERFALL
    )
    lost: tuple[Cell, ...] = (Decimal(0), Decimal(0), "", None)
    if loss is not None:
        lost = (loss.hours, loss.cost, loss.driver.cause, loss.driver.cost)
    return (
        margin.job,
        *parts,
        _cents(margin.low),
        _cents(margin.high),
        margin.power_w,
        Decimal(margin.crew_days),
        _or_none(margin.share_done),
        _or_none(margin.per_watt),
        _or_none(margin.per_crew_day),
        *lost,
    )


def margins_sheet(record: HoursRecord) -> Sheet:
    """Margins as a table, who lost most first."""
    rows = margin_rows(record.margins.values(), record.losses)
    words = frozenset({"job", "lost_most_to"})
    cells = [tuple(map(cell_text, row)) for row in rows]
    return Sheet("from price to margin", MARGIN_COLUMNS, cells, words)


def _fall(job: str, word: str, fall: Waterfall) -> tuple[str, ...]:
    return (job, word, *(f"{getattr(fall, part) / 100:,.2f}" for part, _ in WATERFALL))


def _margins(margins: Mapping[str, JobMargin]) -> Iterator[tuple[str, ...]]:
    nothing = ("",) * len(_LESS)
    for margin in margins.values():
        yield (*_fall(margin.job, "planned", margin.planned), *nothing)
        yield (*_fall("", "now", margin.now), *nothing)
        yield (
            *_fall("", "at completion", margin.at_completion),
            f"{margin.low / 100:,.2f}",
            f"{margin.high / 100:,.2f}",
            figure_text(margin.per_watt, 3),
            figure_text(margin.per_crew_day),
        )


def _notes(margins: Mapping[str, JobMargin]) -> Iterator[str]:
    """What margins do not count, each once with the jobs that it concerns."""
    jobs: dict[str, list[str]] = {}
    for margin in margins.values():
        for note in margin.notes:
            jobs.setdefault(note, []).append(margin.job)
    for note, names in jobs.items():
        yield f"{', '.join(names)}: {note}."


def margins_text(margins: Mapping[str, JobMargin]) -> str:
    """Three rows a job; below, what is not counted."""
    return "\n".join(
        [
            "From price to margin; now: the whole price less what was spent so far. Nine of ten"
            " jobs like this one end above P10, one of ten above P90. A crew day is told once a job"
            " is finished.",
            table_text(_TEXT_COLUMNS, _margins(margins)),
            *_notes(margins),
        ]
    )


def _causes(parts: Sequence[LostHours]) -> str:
    return ", ".join(f"{plain(part.cause)} {part.cost:,.0f}" for part in parts[:_SHOWN_CAUSES])


def losses_text(losses: Sequence[JobLoss]) -> str:
    """Jobs by what was lost, then causes by what they cost with the jobs that they drove."""
    rows = [(one.job, f"{one.hours:,.2f}", f"{one.cost:,.2f}", _causes(one.lost)) for one in losses]
    lines = [
        "Jobs by what was lost, the dearest first:",
        table_text(("job", "lost h", "lost", "what cost most"), rows),
        "What drove it, the dearest first:",
    ]
    driven = driven_by(losses)
    rows = [
        (plain(cause), str(len(jobs)), f"{sum(one.cost for one in jobs):,.2f}", _few(jobs))
        for cause, jobs in driven
    ]
    lines.append(table_text(("cause", "jobs that it cost most", "lost in all", "jobs"), rows))
    return "\n".join(lines)


def _few(jobs: Sequence[JobLoss]) -> str:
    more = len(jobs) - _SHOWN_CAUSES
    return ", ".join(one.job for one in jobs[:_SHOWN_CAUSES]) + (f" and {more} more" * (more > 0))


def driven_by(losses: Sequence[JobLoss]) -> list[tuple[str, list[JobLoss]]]:
    """Jobs by the cause that cost each of them most; causes by what their jobs lost in all."""
    found: dict[str, list[JobLoss]] = {}
    for one in losses:
        found.setdefault(one.driver.cause, []).append(one)
    return sorted(found.items(), key=lambda pair: (-sum(one.cost for one in pair[1]), pair[0]))
