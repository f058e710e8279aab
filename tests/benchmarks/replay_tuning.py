"""Prices and thresholds of planning chosen on some replays, and told on others.

    python tests/benchmarks/replay_tuning.py [--first 2013-02-04] [--last 2013-04-26] [--workers 2]
        [--last-candidates N]

Each candidate changes figures of `crewplan/placing/prices.py`, the settings `go_probability` and
`open_day_cost`, or when a crew that is done early goes on. Chosen on one station and four seeds, by
money, days that customers wait and first days that did not stand at two working days' notice (their
worth is assumed, below); told on the two other stations and other seeds, where nothing was chosen:
today's and the best, or all where only the last candidates are asked for. Work limits, no clock:
the same table on every machine.
"""

import argparse
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import date
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[1] / "replay"))

import numpy as np
from replay_cases import company, weather_of

from crewplan.model.replay_score import Score
from crewplan.placing.prices import AMOUNT
from crewplan.replay import POLICIES, Stream, jobs_of, replay, score
from crewplan.replay.planned import FAIR_SHARE, planned

CHOSEN_ON = (("EWR", 21), ("EWR", 22), ("EWR", 23), ("EWR", 24))
TOLD_ON = (("JFK", 25), ("JFK", 26), ("LGA", 27), ("LGA", 28))
WAITED_DAY = 15.0
"""What a calendar day from a job's being ready to its end counts: without it, putting work off
until the weather is best would look free. Assumed."""
BROKEN_DAY = 100.0
"""What a job's first day that did not stand at two working days' notice counts. Assumed."""


@dataclass(frozen=True)
class Candidate:
    """Figures and settings in place of today's."""

    words: str
    amounts: Mapping[str, float] = field(default_factory=dict)
    settings: Mapping[str, float] = field(default_factory=dict)
    fair_share: float = FAIR_SHARE
    """From which a crew that is done early goes on to a begun or late job; over 1: never."""


CANDIDATES = (
    Candidate("as it is"),
    Candidate("a move 250, half of it at 2 days", {"move": 250.0, "move fades": 2.0}),
    Candidate("a move 800", {"move": 800.0}),
    Candidate("a day's waiting 15", {"waiting": 15.0}),
    Candidate("a day's waiting 60", {"waiting": 60.0}),
    Candidate("early work a quarter of waiting", {"early": 0.25}),
    Candidate("early work two fifths of waiting", {"early": 0.4}),
    Candidate("late days squared 36", {"late day squared": 36.0}),
    Candidate("a late day 60, squared 6", {"late day": 60.0, "late day squared": 6.0}),
    Candidate("a late day 240, squared 24", {"late day": 240.0, "late day squared": 24.0}),
    Candidate("a job left open 40 a day", settings={"open_day_cost": 40.0}),
    Candidate("a job left open 150 a day", settings={"open_day_cost": 150.0}),
    Candidate("go_probability 0.5", settings={"go_probability": 0.5}),
    Candidate("go_probability 0.3", settings={"go_probability": 0.3}),
    Candidate("a crew that is done early goes to no other job", fair_share=2.0),
    Candidate("it goes on whatever the weather", fair_share=0.0),
    Candidate("it goes on where 85 % of the afternoon is open", fair_share=0.85),
)


@contextmanager
def priced(amounts: Mapping[str, float]) -> Iterator[None]:
    """These figures instead, and those of before afterwards."""
    before = dict(AMOUNT)
    AMOUNT.update(amounts)
    try:
        yield
    finally:
        AMOUNT.update(before)


def found(one: Candidate, station: str, seed: int, first: date, last: date) -> Score:
    """One replay of the planner; counted by today's prices, whatever it planned with."""
    base = company(station)
    base = replace(base, settings=replace(base.settings, **one.settings))
    sold = jobs_of(base, Stream(jobs_a_week=6.0), first, last, seed)
    planner = replace(POLICIES["planned"], decide=partial(planned, fair_share=one.fair_share))
    with priced(one.amounts):
        done = replay(base, sold, weather_of(station), planner, first, last, seed=seed)
    return score(base, done)


def worth(scores: Sequence[Score]) -> float:
    """Money, waiting and broken days, mean; the less the better."""
    return float(
        np.mean(
            [
                s.money + WAITED_DAY * s.waited_days + BROKEN_DAY * s.jobs_done * _broken(s)
                for s in scores
            ]
        )
    )


def _broken(one: Score) -> float:
    kept = one.first_days_kept[1]
    return 0.0 if kept is None else 1.0 - kept


def line(words: str, scores: Sequence[Score]) -> str:
    """Of the table."""
    kept = np.mean([1 - _broken(one) for one in scores])
    return (
        f"| {words} | {worth(scores):,.0f} | {np.mean([s.money for s in scores]):,.0f} "
        f"| {np.mean([s.lost_h for s in scores]):,.0f} "
        f"| {np.mean([s.waited_days for s in scores]):,.0f} "
        f"| {np.mean([s.jobs_done for s in scores]):.0f} | {kept:.0%} "
        f"| {max(s.worst_late_days for s in scores)} |"
    )


def told(
    pool: ProcessPoolExecutor,
    candidates: Iterable[Candidate],
    where: Sequence[tuple[str, int]],
    first: date,
    last: date,
) -> list[float]:
    """Print a table, one line a candidate as it is known; what each is worth."""
    print(
        "| planned with | worth | money | lost h | days waited | jobs done "
        "| first days kept, 2 days | worst lateness |\n"
        "|---|---|---|---|---|---|---|---|",
        flush=True,
    )
    running = [
        (one.words, [pool.submit(found, one, *there, first, last) for there in where])
        for one in candidates
    ]
    worths = []
    for name, replays in running:
        scores = [one.result() for one in replays]
        worths.append(worth(scores))
        print(line(name, scores), flush=True)
    return worths


def main() -> None:
    """Print both tables."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--first", type=date.fromisoformat, default=date(2013, 2, 4))
    words.add_argument("--last", type=date.fromisoformat, default=date(2013, 4, 26))
    words.add_argument("--workers", type=int, default=2)
    words.add_argument("--last-candidates", type=int, help="these alone beside what it is today")
    asked = words.parse_args()
    some = CANDIDATES
    if asked.last_candidates is not None:
        some = (CANDIDATES[0], *CANDIDATES[-asked.last_candidates :])
    span = asked.first, asked.last
    with ProcessPoolExecutor(asked.workers) as pool:
        print(f"Chosen on {CHOSEN_ON}, {asked.first} to {asked.last}:\n", flush=True)
        best = some[int(np.argmin(told(pool, some, CHOSEN_ON, *span)))]
        print(f"\nTold on {TOLD_ON}:\n", flush=True)
        others = some[1:] if asked.last_candidates is not None else [best][: best != some[0]]
        told(pool, [some[0], *others], TOLD_ON, *span)


if __name__ == "__main__":
    main()
