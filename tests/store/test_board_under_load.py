"""A tenth of the load of tests/benchmarks/board_under_load.py: 20 people at a shared board."""

import sys
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

from board_under_load import run, table
from grown_demo import grown


def test_twenty_people_at_once_meet_no_error_and_lose_nothing(
    new_source: Callable[[], str],
) -> None:
    seen = run(new_source(), grown(7, 85), people=20, seconds=20)
    told = table(seen, 20, 20)
    assert seen.errors == [], told
    assert seen.lost == [], told
    assert sum(map(len, seen.seconds.values())) == 40  # each twice in 20 s
    # the whole load's bound is 0.5 s; other tests run beside this one
    assert seen.share(95) < 3, told
