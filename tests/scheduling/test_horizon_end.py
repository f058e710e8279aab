"""The end of the days planned does not reach back to their start (the benchmark does ten weeks)."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

from horizon_end import changed
from small_week import PROOF


def test_a_horizon_twice_as_long_changes_one_in_twenty_of_the_first_two_days_at_most():
    counted = [changed(6, 30, seed, PROOF) for seed in (0, 1)]
    other, soon = (sum(column) for column in list(zip(*counted, strict=True))[:2])
    assert soon >= 6
    assert other <= 0.05 * soon
