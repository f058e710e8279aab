"""2,000 requirements with 20,000 past records: `python tests/benchmarks/readiness_speed.py`."""

import sys
import time
from pathlib import Path

import scipy.stats  # noqa: F401  loaded before the clock starts, as in a running board

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

from builders import NOW
from readiness_speed import JOBS, KINDS, RECORDS, invented

from crewplan.running.clock import Clock
from crewplan.running.readying import ask_ready

MOST_S = 2.0
"""Of the processor; the aim is 1 s on a machine of its own, and CI's share their cores."""
TRIES = 3
"""Whoever else is on the cores makes it longer and never shorter: one good try shows it."""


def test_the_whole_answer_of_2000_requirements_takes_a_second_or_two():
    assert (JOBS * len(KINDS), RECORDS) == (2000, 20_000)
    folder = invented()
    took = []
    while not took or (min(took) >= MOST_S and len(took) < TRIES):
        begin = time.process_time()
        view = ask_ready(folder, Clock(NOW, "set by hand"))
        took.append(time.process_time() - begin)
        assert len(view.stages) == JOBS
    assert min(took) < MOST_S, took
