"""Runs of hours in which the same members are good."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from crewplan.weather.windows import OpenHour, Run, row_bits, windows

H = 3600.0


def _hours(*good, usable=None):
    return [
        OpenHour(at * H, (at + 1) * H, usable is None or usable[at], bits)
        for at, bits in enumerate(good)
    ]


def test_of_runs_equally_long_the_earliest_is_taken():
    # hours 0 to 2 share row 0, hours 2 to 4 share row 1
    assert windows(_hours(0b01, 0b01, 0b11, 0b10, 0b10), 2, 0.5, 3 * H) == (Run(0, 2, 0.5),)


def test_the_longest_run_is_taken_even_where_it_starts_later():
    hours = _hours(0b01, 0b11, 0b10, 0b10)
    assert windows(hours, 2, 0.5, 2 * H) == (Run(1, 3, 0.5),)


def test_an_hour_that_is_not_usable_or_has_nothing_left_breaks_a_run():
    assert windows(_hours(1, 1, 1, usable=[True, False, True]), 1, 0.9, 2 * H) == ()
    gone = OpenHour(2 * H, 1 * H, True, 1)
    assert windows([gone, *_hours(1, 1)[1:]], 1, 0.9, 2 * H) == ()


def test_hours_that_do_not_follow_each_other_are_no_run():
    first, _, third = _hours(1, 1, 1)
    assert windows([first, third], 1, 0.9, 2 * H) == ()


def test_a_run_of_exactly_the_share_and_length_asked_for_is_a_window():
    assert windows(_hours((1 << 9) - 1, (1 << 9) - 1), 10, 0.9, 2 * H) == (Run(0, 1, 0.9),)
    assert windows(_hours((1 << 9) - 1, (1 << 9) - 1), 10, 0.91, 2 * H) == ()
    assert windows(_hours((1 << 9) - 1, (1 << 9) - 1), 10, 0.9, 2 * H + 1) == ()


@given(st.integers(1, 40), st.integers(1, 6), st.integers(0, 2**32))
def test_bits_of_an_hour_are_its_rows(rows, hours, seed):
    good = np.random.default_rng(seed).random((rows, hours)) < 0.5
    bits = row_bits(good)
    assert [one.bit_count() for one in bits] == good.sum(axis=0).tolist()
    both = (bits[0] & bits[-1]).bit_count()
    assert both == (good[:, 0] & good[:, -1]).sum()
