"""Prices and thresholds of planning chosen on some replays, and told on others.

    python tests/benchmarks/replay_tuning.py [--first 2013-02-04] [--last 2013-04-26]

Each candidate changes one figure of `crewplan/placing/prices.py`, or the setting
`go_probability`. Chosen on one station and two seeds, by money and what a day moved at two working
days' notice is worth to people (assumed, below); told on the two other stations and other seeds,
where nothing was chosen. Work limits, no clock: the same table on every machine.
"""

import argparse
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[1] / "replay"))

import numpy as np
from replay_cases import company, weather_of

from crewplan.model.replay_score import Score
from crewplan.placing.prices import AMOUNT
from crewplan.replay import POLICIES, Stream, jobs_of, replay, score

CHOSEN_ON = (("EWR", 21), ("EWR", 22))
TOLD_ON = (("JFK", 23), ("LGA", 24))
BROKEN_DAY = 100.0
"""What a job's first day that did not stand at two working days' notice counts. Assumed."""


@dataclass(frozen=True)
class Candidate:
    """Figures in place of today's."""

    words: str
    amounts: Mapping[str, float]
    go_probability: float = 0.7


CANDIDATES = (
    Candidate("as it is", {}),
    Candidate("a move 250, half of it at 2 days", {"move": 250.0, "move fades": 2.0}),
    Candidate("a move 800", {"move": 800.0}),
    Candidate("an open day 15", {"waiting": 15.0}),
    Candidate("an open day 60", {"waiting": 60.0}),
    Candidate("late days squared 12", {"late day squared": 12.0}),
    Candidate("go_probability 0.5", {}, 0.5),
    Candidate("go_probability 0.3", {}, 0.3),
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
    base = replace(base, settings=replace(base.settings, go_probability=one.go_probability))
    sold = jobs_of(base, Stream(jobs_a_week=6.0), first, last, seed)
    with priced(one.amounts):
        done = replay(base, sold, weather_of(station), POLICIES["planned"], first, last, seed=seed)
    return score(base, done)


def worth(scores: Sequence[Score]) -> float:
    """Money and broken days, mean; the less the better."""
    return float(np.mean([s.money + BROKEN_DAY * s.jobs_done * _broken(s) for s in scores]))


def _broken(one: Score) -> float:
    kept = one.first_days_kept[1]
    return 0.0 if kept is None else 1.0 - kept


def line(words: str, scores: Sequence[Score]) -> str:
    """Of the table."""
    kept = np.mean([1 - _broken(one) for one in scores])
    return (
        f"| {words} | {worth(scores):,.0f} | {np.mean([s.money for s in scores]):,.0f} "
        f"| {np.mean([s.lost_h for s in scores]):,.0f} | {kept:.0%} "
        f"| {max(s.worst_late_days for s in scores)} |"
    )


def main() -> None:
    """Print both tables."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--first", type=date.fromisoformat, default=date(2013, 2, 4))
    words.add_argument("--last", type=date.fromisoformat, default=date(2013, 4, 26))
    asked = words.parse_args()
    head = (
        "| planned with | worth | money | lost h | first days kept, 2 days | worst lateness |\n"
        "|---|---|---|---|---|---|"
    )
    chosen: list[float] = []
    print(f"Chosen on {CHOSEN_ON}, {asked.first} to {asked.last}:\n\n{head}", flush=True)
    for one in CANDIDATES:
        scores = [found(one, *where, asked.first, asked.last) for where in CHOSEN_ON]
        chosen.append(worth(scores))
        print(line(one.words, scores), flush=True)
    best = CANDIDATES[int(np.argmin(chosen))]
    print(f"\nTold on {TOLD_ON}:\n\n{head}", flush=True)
    for one in (*CANDIDATES[:2], *([best] if best not in CANDIDATES[:2] else [])):
        print(
            line(one.words, [found(one, *where, asked.first, asked.last) for where in TOLD_ON]),
            flush=True,
        )


if __name__ == "__main__":
    main()
