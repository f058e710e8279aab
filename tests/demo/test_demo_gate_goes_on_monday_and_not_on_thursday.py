"""The demo's own week through the gate: what its README promises a person will see."""

from datetime import date

import pytest
from demo_tables import FOLDER

from crewplan.intake import read_folder
from crewplan.weather.gate import day_verdicts


@pytest.mark.parametrize(
    ("day", "word"),
    [(4, "go"), (6, "go"), (7, "no-go"), (12, "no-go")],
    ids=["calm Monday", "the gap at noon", "windy Thursday", "wet Tuesday"],
)
def test_lifting_is_answered_as_the_day_was_made(day, word):
    branch = read_folder(FOLDER)
    (lift,) = day_verdicts(
        branch,
        date(2026, 5, day),
        branch.settings.demo.now,
        exposures=("lift",),
        clock="set by hand",
    )
    assert lift.verdict == word
    if day == 6:
        (window,) = lift.windows
        assert (window.start.hour, window.end.hour) == (11, 14)
