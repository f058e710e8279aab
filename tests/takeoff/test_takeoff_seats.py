from itertools import pairwise

import pytest
from builders import module, plane, racking
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from crewplan.takeoff.array import KnownRafters, Stretch, seat_array
from crewplan.takeoff.plane import take_off_plane
from crewplan.takeoff.rail import attachments_by_formula, spaces_per_span
from crewplan.takeoff.seats import Rafters, good_first_places_mm, seat_rail

lengths = st.integers(1_300, 16_000)
pitches = st.sampled_from([400, 406, 600, 610, 813])
spaces_in_a_span = st.integers(1, 4)
cantilevers = st.integers(100, 900)
ROUNDING_MM = 1e-5


def fewest_by_trying(
    length: float, rafters: list[float], span: float, cantilever: float
) -> int | None:
    """Slow twin: from each rafter in reach of the left end, always the farthest one in a span."""
    best = None
    for start in (r for r in rafters if 0 <= r <= cantilever):
        here, count = start, 1
        while here < length - cantilever or count < 2:
            ahead = [r for r in rafters if here < r <= min(here + span, length)]
            if not ahead:
                break
            here, count = ahead[-1], count + 1
        else:
            best = count if best is None else min(best, count)
    return best


@settings(deadline=None)
@given(lengths, pitches, spaces_in_a_span, cantilevers, st.integers(0, 812))
def test_every_attachment_is_on_a_rafter_within_span_and_cantilever(
    length, pitch, spaces, cantilever, offset
):
    first = offset % pitch
    seats = seat_rail(length, Rafters(first, pitch, 10_000), spaces, cantilever)
    if seats is None:
        assert (length - first) / pitch < 1  # fewer than two rafters below
        return
    places = seats.places_mm
    assert all((place - first) % pitch == 0 for place in places)
    assert all(0 < b - a <= spaces * pitch for a, b in pairwise(places))
    assert places[0] >= 0
    assert places[-1] <= length
    worst_end = max(places[0], length - places[-1])
    assert seats.excess_mm == pytest.approx(max(0, worst_end - cantilever), abs=ROUNDING_MM)


@settings(deadline=None)
@given(lengths, pitches, spaces_in_a_span, cantilevers, st.integers(0, 812))
def test_no_other_choice_of_rafters_needs_fewer_attachments(
    length, pitch, spaces, cantilever, offset
):
    first = offset % pitch
    seats = seat_rail(length, Rafters(first, pitch, 10_000), spaces, cantilever)
    rafters = [first + k * pitch for k in range(100)]
    fewest = fewest_by_trying(length, rafters, spaces * pitch, cantilever)
    if fewest is None:
        assert seats is None or seats.excess_mm > 0
    else:
        assert seats is not None
        assert (len(seats.places_mm), seats.excess_mm) == (fewest, 0)


@settings(deadline=None)
@given(lengths, pitches, spaces_in_a_span, cantilevers)
def test_the_formula_is_the_count_at_the_best_place_of_the_array(length, pitch, spaces, cantilever):
    count = attachments_by_formula(length, spaces * pitch, cantilever)
    ranges = good_first_places_mm(length, pitch, spaces, cantilever, count)
    tries = [seat_rail(length, Rafters(f, pitch, 10_000), spaces, cantilever) for f in range(pitch)]
    kept = [len(seats.places_mm) for seats in tries if seats and not seats.excess_mm]
    assert bool(kept) == bool(ranges)
    if kept:
        assert min(kept) == count


@settings(deadline=None)
@given(lengths, pitches, spaces_in_a_span, cantilevers, st.integers(0, 812))
def test_the_note_tells_exactly_where_the_formula_holds(length, pitch, spaces, cantilever, offset):
    first = offset % pitch
    count = attachments_by_formula(length, spaces * pitch, cantilever)
    ranges = good_first_places_mm(length, pitch, spaces, cantilever, count)
    seats = seat_rail(length, Rafters(first, pitch, 10_000), spaces, cantilever)
    enough = seats is not None and not seats.excess_mm and len(seats.places_mm) <= count
    places = range(first, cantilever + 1, pitch)
    assert enough == any(low <= place <= high for place in places for low, high in ranges)


@settings(deadline=None)
@given(
    st.lists(lengths, min_size=1, max_size=3),
    pitches,
    cantilevers,
    st.integers(0, 812),
    st.integers(0, 250),
)
def test_no_shift_within_the_tolerance_saves_more_penetrations(
    row_lengths, pitch, cantilever, offset, tolerance
):
    known = KnownRafters(5_000, offset % pitch, pitch, 10_000)
    rows = [Stretch(number, 0.0, length) for number, length in enumerate(row_lengths)]
    array = seat_array(rows, known, 2, cantilever, (-tolerance, tolerance))
    assert abs(array.shift_mm) <= tolerance
    assume(all(seats is not None and seats.excess_mm == 0 for seats in array.lower))
    total = sum(len(seats.places_mm) for seats in array.lower)
    for shift in range(-tolerance, tolerance + 1, 7):
        rows = [seat_rail(row, known.under(shift), 2, cantilever) for row in row_lengths]
        if all(seats is not None and seats.excess_mm == 0 for seats in rows):
            assert sum(len(seats.places_mm) for seats in rows) >= total


def test_an_array_moves_within_the_tolerance_to_save_penetrations():
    # by hand: L 5771.6 and rafters every 610: 9 spaces leave 281.6 for both ends, 8 would leave
    # 891.6, more than two cantilevers of 406; so 6 a rail where a rafter lies 0 to 281.6 mm in
    row = plane(rows=(5,), array_left_mm=1000.0, first_rafter_mm=690.0)
    tight = take_off_plane(row, module(), racking(tolerance_mm=0), None)
    moved = take_off_plane(row, module(), racking(tolerance_mm=50), None)
    # the first rafter under the array lies at 690 + 610 - 1000 = 300 mm: 18.4 mm too far right
    assert "over the cantilever" in tight.problems[0]
    assert moved.problems == ()
    assert moved.shift_mm == pytest.approx(300 - 281.6, abs=0.01)
    assert moved.attachments_per_rail == (6,)


def test_no_rafter_left_of_the_first_or_past_the_plane_is_used():
    row = plane(rows=(2,), array_left_mm=0.0, first_rafter_mm=500.0, width_mm=2600.0)
    counted = take_off_plane(row, module(), racking(), None)
    assert min(counted.seats_mm[0]) == 500.0  # over the cantilever, and said so
    assert counted.problems == (
        "plane south: row 1 is over the cantilever of 406 mm by 94 mm on these rafters",
    )


def test_a_row_with_one_rafter_below_is_a_problem_not_a_crash():
    row = plane(rows=(1,), array_left_mm=0.0, first_rafter_mm=1000.0)
    counted = take_off_plane(row, module(), racking(), None)
    assert counted.problems == ("plane south: row 1 has fewer than two rafters under it",)
    assert counted.attachments == 4


def test_a_span_below_the_rafter_spacing_is_a_problem_with_its_shortfall():
    counted = take_off_plane(plane(), module(), racking(max_span_mm=500.0), None)
    assert counted.problems == (
        "plane south: span of 500 mm is below the rafter spacing by 110 mm",
    )
    assert counted.attachment_spacing_mm == 610


def test_spacing_is_the_largest_multiple_of_the_rafter_spacing_within_the_span():
    assert spaces_per_span(609.6, 1219.2) == 2  # 24 and 48 in after conversion
    assert spaces_per_span(610.0, 1219.2) == 1  # 0.8 mm too long is too long
    assert spaces_per_span(400.0, 1830.0) == 4


def test_unmeasured_rafters_keep_the_formulas_count_and_say_where_it_holds():
    counted = take_off_plane(plane(rows=(7,)), module(), racking(), None)
    assert counted.attachments_per_rail == (7,)
    assert counted.seats_mm == ()
    # by hand: L 8052.3; 12 spaces of 610 leave 732.3, of which 406 at most on one side
    assert "7 attachments a rail where a rafter lies 326 to 406 mm" in counted.notes[1]


def test_a_cantilever_that_fits_no_rafters_is_noted():
    counted = take_off_plane(plane(rows=(1,)), module(), racking(cantilever_mm=10.0), None)
    assert "keep the cantilever of 10 mm nowhere" in counted.notes[1]
