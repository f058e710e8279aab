"""Learned rates and paces as text for a terminal."""

from collections.abc import Iterator

from crewplan.labour.learned_source import read_source
from crewplan.model.learned import LearnedRate, LearnedRates, LeftOut, Unused
from crewplan.publishing.terminal import table_text

_RATE_COLUMNS = (
    "step", "for each", "table h", "learned h", "90 % interval", "stages", "from data", "spread",
    "learned spread", "",
)  # fmt: skip
_CREW_COLUMNS = ("crew", "pace", "90 % interval", "stages")
_MOST_NAMED = 20
"""Hours left out that are named one by one; the JSON has all."""
_UNUSED = {
    "hours after the last progress": "{:.1f} h on unfinished stages after their last progress: "
    "they count once progress is reported.",
    "hours without progress": "{:.1f} h on steps without progress: nobody can say of how much "
    "work they were.",
    "steps without hours": "{:.0f} steps are done and have no hours, beside steps that have.",
}


def _rate(row: LearnedRate) -> tuple[str, ...]:
    return (
        row.step,
        row.driver,
        f"{row.prior:.3f}",
        f"{row.learned:.3f}",
        f"{row.low:.3f} to {row.high:.3f}",
        str(row.stages),
        f"{100 * row.evidence:.0f}%",
        f"{row.prior_spread:.2f}",
        f"{row.spread:.2f}",
        "" if row.stages else _no_hours(row.source),
    )


def _no_hours(source: str) -> str:
    """A table's row may itself have been learned: its hours do not count again."""
    said = read_source(source)
    since = "yet" if said is None else f"since {said.until}"
    return f"no hours {since}: the table's"


def left_out_sentence(one: LeftOut) -> str:
    """Who or what it is, and why nothing is learned from it."""
    if one.kind == "long day":
        return (
            f"{one.person} has {one.hours_h:g} h on {one.day}, more than {one.high_h:g} h: "
            "nothing is learned from the steps of that day."
        )
    work = f"{one.stage} {one.step}" if one.step else f"{one.stage} as a whole"
    return (
        f"{work}: {one.hours_h:.1f} h of the table's pace where about {one.expected_h:.1f} h were "
        f"to be expected ({one.low_h:.1f} to {one.high_h:.1f} are believed): left out."
    )


def unused_sentence(one: Unused) -> str:
    """What could not be used."""
    return _UNUSED[one.kind].format(one.amount)


def _left_out(learned: LearnedRates) -> Iterator[str]:
    for one in learned.left_out[:_MOST_NAMED]:
        yield f"  {left_out_sentence(one)}"
    if len(learned.left_out) > _MOST_NAMED:
        yield f"  {len(learned.left_out) - _MOST_NAMED} more; --format json lists them all."


def rates_text(learned: LearnedRates, title: str, mark: str) -> str:
    """A row a rate and a crew; then what was left out, by name."""
    lines = [mark] if mark else []
    lines += [
        f"{title}: rates learned from {learned.stages} stages until {learned.as_of}. "
        "Person-hours of the table's pace.",
        table_text(_RATE_COLUMNS, map(_rate, learned.rates)),
    ]
    if learned.crews:
        rows = [
            (crew.crew, f"{crew.pace:.2f}", f"{crew.low:.2f} to {crew.high:.2f}", str(crew.stages))
            for crew in learned.crews
        ]
        lines += [
            "Table hours that a crew does in an hour, beyond its people's own paces:",
            table_text(_CREW_COLUMNS, rows),
        ]
    if learned.left_out:
        lines += ["Left out:", *_left_out(learned)]
    return "\n".join(lines + [f"note: {unused_sentence(one)}" for one in learned.unused])
