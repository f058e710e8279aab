"""A replay of past weather as a table for people, as JSON and as rows."""

from collections.abc import Sequence
from dataclasses import asdict
from statistics import mean
from typing import Any

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
    *_MEANS[9:],
)
"""Of the CSV: means over the seeds; the worst lateness of all; kept starts as shares."""

_SHOWN = {
    "policy": "who decides",
    "lost_h": "lost h",
    "stood_down_h": "stood down h",
    "jobs_done": "jobs done",
    "days_late": "days late",
    "worst_late_days": "worst",
    "trips": "trips",
    "open_days": "days open",
    "starts_kept_2": "starts kept, 2 days",
    "moves_told": "moves told",
    "money": "money",
}

NOTE = (
    "Lost: paid on site while nothing could be done. Stood down: told the evening before not to "
    "come; not in the money. Money: lost hours, drives, lateness; a job that is not done by the "
    "last day costs nothing before its promise. Forecasts are made from what came and from assumed "
    "errors; what steps really take is drawn."
)


def _values(scores: Sequence[Score]) -> dict[str, float | None]:
    found: dict[str, float | None] = {
        name: mean(float(getattr(one, name)) for one in scores) for name in _MEANS
    }
    found["worst_late_days"] = float(max(one.worst_late_days for one in scores))
    for at, days in enumerate(NOTICE_DAYS):
        shares = [one.starts_kept[at] for one in scores]
        told = [share for share in shares if share is not None]
        found[f"starts_kept_{days}"] = mean(told) if told else None
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
    if name.startswith("starts_kept"):
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
    return "\n".join([*lines, "", table_text(tuple(_SHOWN.values()), rows), "", NOTE])


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
        "clock": clock,
    }
