"""A replay of past weather as a table for people, as JSON and as rows."""

from collections.abc import Sequence
from dataclasses import asdict
from statistics import mean, median
from typing import Any

from crewplan.model.bootstrap import interval
from crewplan.model.distance_closed import Closed, closed
from crewplan.model.replay_score import NOTICE_DAYS, Replays, Score
from crewplan.publishing.day_words import day_words
from crewplan.publishing.terminal import table_text

_MEANS = (
    "lost_h",
    "stood_down_h",
    "idle_h",
    "driven_h",
    "jobs_done",
    "days_late",
    "trips",
    "open_days",
    "moves_told",
    "waited_days",
    "lost_cost",
    "driven_cost",
    "late_cost",
    "money",
)
COLUMNS = (
    "policy",
    *_MEANS[:6],
    "worst_late_days",
    *_MEANS[6:9],
    *(f"starts_kept_{days}" for days in NOTICE_DAYS),
    *(f"first_days_kept_{days}" for days in NOTICE_DAYS),
    *_MEANS[9:],
)
"""Of the CSV: means over the seeds; the worst lateness of all; kept starts as shares."""

_SHOWN = {
    "policy": "who decides",
    "lost_h": "lost h",
    "stood_down_h": "stood down h",
    "jobs_done": "jobs done",
    "waited_days": "days waited",
    "days_late": "days late",
    "worst_late_days": "worst",
    "trips": "trips",
    "open_days": "days open",
    "first_days_kept_2": "first days kept, 2 days",
    "moves_told": "moves told",
    "money": "money",
}

NOTE = (
    "Lost: paid on site while nothing could be done. Stood down: told the evening before not to "
    "come; not in the money. Days waited: from ready to done, over all jobs. Money: lost hours, "
    "drives, lateness; a job that is not done by the "
    "last day costs nothing before its promise. Forecasts are made from what came and from assumed "
    "errors; what steps really take is drawn."
)


def _values(scores: Sequence[Score]) -> dict[str, float | None]:
    found: dict[str, float | None] = {
        name: mean(float(getattr(one, name)) for one in scores) for name in _MEANS
    }
    found["worst_late_days"] = float(max(one.worst_late_days for one in scores))
    for kind in ("starts_kept", "first_days_kept"):
        for at, days in enumerate(NOTICE_DAYS):
            shares = [getattr(one, kind)[at] for one in scores]
            told = [share for share in shares if share is not None]
            found[f"{kind}_{days}"] = mean(told) if told else None
    return found


def replay_rows(replays: Replays) -> list[list[str]]:
    """One row a policy, in the order of COLUMNS."""
    rows = []
    for name, scores in replays.scores.items():
        values = _values(scores)
        cells = ["" if values[c] is None else f"{values[c]:.3f}" for c in COLUMNS[1:]]
        rows.append([name, *cells])
    return rows


def _cell(name: str, value: float | None) -> str:
    if value is None:
        return "-"
    if "_kept_" in name:
        return f"{value:.0%}"
    return f"{value:,.1f}" if name == "open_days" else f"{value:,.0f}"


def replay_text(replays: Replays, currency: str, mark: str) -> str:
    """Who decides, and what came of it."""
    seeds = len(replays.jobs)
    where = f" at {replays.place}" if replays.place else ""
    span = f"{day_words(replays.first)} {replays.first.year} to {day_words(replays.last)}"
    title = (
        f"{span} {replays.last.year}{where}: {mean(replays.jobs):.0f} jobs"
        f"{f', means of {seeds} seeds' if seeds > 1 else ''}; money in {currency}."
    )
    rows = []
    for name, scores in replays.scores.items():
        values = _values(scores)
        shown = [_cell(key, values[key]) for key in _SHOWN if key != "policy"]
        rows.append([replays.words[name], *shown])
    lines = [mark, title] if mark else [title]
    table = table_text(tuple(_SHOWN.values()), rows)
    supposed = _supposed(replays, currency) if replays.supposing else []
    return "\n".join([*lines, "", table, "", *_closed(replays), *supposed, *_kept(replays), NOTE])


def _with_interval(values: Sequence[float], unit: str) -> str:
    if len(values) == 1:
        return f"{values[0]:+,.0f} {unit}"
    low, high = interval(values)
    return f"{mean(values):+,.0f} {unit} ({low:+,.0f} to {high:+,.0f})"


def share_words(one: Closed | None) -> str:
    """A share of the distance with its interval, where there is one."""
    if one is None:
        return "nothing, for there is no distance"
    if one.cases == 1:
        return f"{one.share:.0%}"
    return f"{one.share:.0%} ({one.low:.0%} to {one.high:.0%})"


def _closed(replays: Replays) -> list[str]:
    """How far planning goes from always going to knowing the weather."""
    ends = [replays.scores.get(name) for name in ("always_go", "planned", "knowing")]
    if None in ends:
        return []
    money, hours = (
        share_words(closed(*([getattr(one, of) for one in scores or ()] for scores in ends)))
        for of in ("money", "lost_h")
    )
    brackets = " In brackets: 90 % interval over seeds." if len(replays.jobs) > 1 else ""
    return [
        "Of the distance from always going to knowing the weather this program closes "
        f"{money} in money and {hours} in lost hours.{brackets}",
        "",
    ]


def _supposed(replays: Replays, currency: str) -> list[str]:
    """What it saves and what it costs itself, by policy."""
    lines = [f"Supposing {replays.supposing}:"]
    for name, before in replays.scores.items():
        after = replays.supposed[name]
        hours = [a.lost_h - b.lost_h for b, a in zip(before, after, strict=True)]
        done = mean(a.jobs_done - b.jobs_done for b, a in zip(before, after, strict=True))
        lines.append(
            f"  {replays.words[name]}: saves {_with_interval(replays.saved(name), currency)}, "
            f"costs {_with_interval(replays.costs(name), currency)} itself; "
            f"{_with_interval(hours, 'lost h')}, {done:+.1f} jobs done."
        )
    if len(replays.jobs) > 1:
        lines.append("  In brackets: 90 % interval of the mean over seeds (bootstrap).")
    else:
        lines.append("  One seed tells no interval: --seeds 5.")
    return [*lines, ""]


def _kept(replays: Replays) -> list[str]:
    kept = max((one.kept_evenings for of in replays.scores.values() for one in of), default=0)
    if not kept:
        return []
    return [f"Kept forecasts were told on {kept} of {replays.evenings} evenings.", ""]


def evening_lines(replays: Replays) -> list[str]:
    """How long deciding took; for the side, since it is another each time."""
    return [
        f"An evening's deciding, {replays.words[name]}: {median(seconds):.2f} s in the median, "
        f"{max(seconds):.2f} s at most, {len(seconds)} evenings."
        for name, seconds in replays.evening_s.items()
        if seconds
    ]


def replay_json(replays: Replays, clock: str) -> dict[str, Any]:
    """All scores, seed by seed."""
    return {
        "from": replays.first.isoformat(),
        "to": replays.last.isoformat(),
        "place": replays.place,
        "jobs": list(replays.jobs),
        "policies": [
            {
                "policy": name,
                "words": replays.words[name],
                "scores": [asdict(one) | {"money": one.money} for one in scores],
            }
            for name, scores in replays.scores.items()
        ],
        "evenings": replays.evenings,
        "supposing": replays.supposing,
        "supposed": [
            {
                "policy": name,
                "saves": list(replays.saved(name)),
                "costs": list(replays.costs(name)),
                "scores": [asdict(one) | {"money": one.money} for one in scores],
            }
            for name, scores in replays.supposed.items()
        ],
        "clock": clock,
    }
