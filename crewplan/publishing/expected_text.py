"""What planning expected against what happened, as text, JSON and rows."""

from typing import Any

from crewplan.model.expected import ChanceBin, ChanceOf, ExpectedAndHappened
from crewplan.publishing.sheets import Sheet, cell_text
from crewplan.publishing.terminal import table_text

EXPECTED_COLUMNS = (
    "chance_of", "from", "to", "cases", "told", "happened", "share", "low", "high", "enough",
)  # fmt: skip
EXPECTED_WORDS = frozenset({"chance_of", "enough"})
TEXT_COLUMNS = ("chance of", "told", "placements", "mean told", "happened", "90 % interval", "")
_OF: dict[ChanceOf, str] = {
    "go": "weather lets it",
    "finish": "done by its last day",
    "ready": "all in hand",
}
NOTHING_KEPT = (
    "What plans expect is only kept where a branch has a database (crewplan import FOLDER makes"
    " it), from each plan that is published into it. This folder has none, so there is nothing to"
    " hold against what happened."
)


_LOSING = {
    "agrees": "which agrees",
    "too few to conclude": "too few to conclude",
    "told too high": "more than was told",
    "told too low": "fewer than was told",
}
"""Verdicts on the chance that weather lets it, said of losing the visit."""
HOW_HELD = (
    "Each visit by the newest plan before it began. 'Weather lets it' did not happen where hours"
    " were lost to weather and the stage was not done by its last day; 'all in hand' did not where"
    " hours were lost waiting for a permit or material. Visits that a later plan took away in time"
    " are not in it, so that bad chances look a little better than they were."
)


def _told(one: ChanceBin) -> str:
    if one.low == one.high:
        return "certain"
    return f"{100 * one.low:.0f}% to {100 * one.high:.0f}%"


def _verdict(one: ChanceBin) -> str:
    if not one.enough:
        return "too few to conclude"
    if one.holds:
        return "agrees"
    return "told too high" if one.mean > one.interval[1] else "told too low"


def bin_cells(one: ChanceBin) -> tuple[str, ...]:
    """In the order of TEXT_COLUMNS."""
    low, high = one.interval
    return (
        _OF[one.of],
        _told(one),
        str(one.cases),
        f"{100 * one.mean:.0f}%",
        f"{one.happened} ({100 * one.share:.0f}%)",
        f"{100 * low:.0f}% to {100 * high:.0f}%",
        _verdict(one),
    )


def expected_text(found: ExpectedAndHappened, title: str, least: int, mark: str) -> str:
    """A row a bin of chances; then hours; then what was not judged, and how all of it was held."""
    lines = [mark] if mark else []
    lines.append(
        f"{title}: what {found.plans} published plans expected, against what was written down until"
        f" {found.as_of}."
    )
    if found.bins:
        lines.append(table_text(TEXT_COLUMNS, map(bin_cells, found.bins)))
        hours = found.hours
        too_few = "" if hours.enough else f" (fewer than {least}, so nothing follows)"
        lines.append(
            f"Hours lost to weather: {hours.expected_h:,.1f} expected, {hours.lost_h:,.1f} lost, in"
            f" {hours.cases} placements{too_few}."
        )
    else:
        lines.append("No placement of theirs is over yet with anything written down.")
    return "\n".join([*lines, *chance_sentences(found), not_judged(found), HOW_HELD])


def chance_sentences(found: ExpectedAndHappened) -> list[str]:
    """Was the chance of losing a visit to weather right? A sentence a bin of chances below 1."""
    return [
        f"Told a chance of {100 - 100 * one.high:.0f} to {100 - 100 * one.low:.0f}% of losing a"
        f" visit to weather ({100 - 100 * one.mean:.0f}% on average): {one.cases - one.happened} of"
        f" {one.cases} were lost ({100 - 100 * one.share:.0f}%), {_LOSING[_verdict(one)]}."
        for one in reversed(found.bins)
        if one.of == "go" and one.low < one.high
    ]


def not_judged(found: ExpectedAndHappened) -> str:
    """What the answer leaves out."""
    return (
        f"Not judged: {found.not_written} placements on whose days nothing was written down, and"
        f" {found.to_come} still to come."
    )


def expected_cells(found: ExpectedAndHappened) -> list[tuple[str | float, ...]]:
    """A row a bin of chances, in the order of EXPECTED_COLUMNS."""
    return [
        (
            one.of, one.low, one.high, one.cases, one.mean, one.happened, one.share,
            *one.interval, "yes" if one.enough else "no",
        )
        for one in found.bins
    ]  # fmt: skip


def expected_sheet(found: ExpectedAndHappened) -> Sheet:
    """The bins as a table."""
    rows = [tuple(map(cell_text, row)) for row in expected_cells(found)]
    return Sheet("expected", EXPECTED_COLUMNS, rows, EXPECTED_WORDS)


def expected_json(found: ExpectedAndHappened, clock: str) -> dict[str, Any]:
    """`enough` false: too few cases to conclude anything from."""
    hours = found.hours
    rows = [dict(zip(EXPECTED_COLUMNS, row, strict=True)) for row in expected_cells(found)]
    return {
        "as_of": found.as_of.isoformat(),
        "clock": clock,
        "plans": found.plans,
        "judged": found.judged,
        "not_written": found.not_written,
        "to_come": found.to_come,
        "chances": [{**row, "enough": row["enough"] == "yes"} for row in rows],
        "weather_hours": {
            "cases": hours.cases,
            "expected_h": hours.expected_h,
            "lost_h": float(hours.lost_h),
            "enough": hours.enough,
        },
    }
