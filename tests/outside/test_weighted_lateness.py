"""Known least lateness of crews' weeks, found and proven through the scheduling core."""

import pytest
from weighted_lateness import (
    FILES,
    KNOWN,
    as_selection,
    by_hand,
    price,
    read_lateness,
    seated,
    seats_of,
)

from crewplan.scheduling.engines import engine
from crewplan.scheduling.stop import Stop

pytestmark = pytest.mark.skipif(
    not FILES.is_dir(), reason="the files of ../shared/benchmarks are not here"
)


@pytest.mark.parametrize(
    ("case", "name"), [("4x20", "highs"), ("4x20", "cp-sat"), ("12x60", "highs")]
)
def test_an_engine_finds_the_known_value_and_prove_it(case, name):
    problem = read_lateness(case)
    selection, columns = as_selection(problem)
    start = seated(columns, by_hand(problem))
    result = engine(name)(selection, start, Stop(seconds=None, gap=0.0, steps=1_000_000))
    known = KNOWN[case]
    assert (result.objective, result.bound, result.proven) == (known, known, True)
    assert price(problem, seats_of(columns, result.picked)) == known
