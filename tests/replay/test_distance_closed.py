"""How much of the way from a rule of thumb to knowing the weather, and how sure that is."""

import numpy as np
import pytest

from crewplan.model.distance_closed import closed


def test_half_the_way_is_half_in_every_draw() -> None:
    found = closed([10.0, 20.0, 30.0], [7.5, 15.0, 22.5], [5.0, 10.0, 15.0])
    assert found is not None
    assert (found.share, found.low, found.high, found.cases) == (0.5, 0.5, 0.5, 3)


def test_of_one_case_nothing_is_known_but_itself() -> None:
    found = closed([10.0], [12.0], [6.0])
    assert found is not None
    assert (found.share, found.low, found.high) == (-0.5, -0.5, -0.5)


@pytest.mark.parametrize("knowing", [10.0, 11.0])
def test_where_there_is_no_distance_there_is_no_share(knowing: float) -> None:
    assert closed([10.0], [9.0], [knowing]) is None


def test_the_interval_is_about_that_of_a_ratio_of_means() -> None:
    """From outside: the delta method for a ratio of means (Cochran, 'Sampling Techniques', 3rd
    ed. 1977, section 2.11), 1.645 standard errors either side; from memory, unchecked."""
    draw = np.random.default_rng(4)
    distance = draw.normal(100.0, 10.0, 300)
    gone = 0.8 * distance + draw.normal(0.0, 5.0, 300)
    found = closed(list(distance), list(distance - gone), [0.0] * 300)
    assert found is not None
    residual = gone - found.share * distance
    half = 1.645 * residual.std(ddof=1) / np.sqrt(300) / distance.mean()
    assert (found.high - found.low) / 2 == pytest.approx(half, rel=0.1)
