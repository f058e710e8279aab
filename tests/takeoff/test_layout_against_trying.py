"""A tenth of the planes of tests/benchmarks/layout_against_trying.py, and what stagger means."""

from itertools import pairwise

import numpy as np
import pytest
from builders import module, plane, racking
from layout_twin import best_by_trying, random_plane

from crewplan.takeoff.array import seat_array
from crewplan.takeoff.plane import take_off_plane

MEASURED = {"array_left_mm": 1000.0, "first_rafter_mm": 690.0}


@pytest.mark.parametrize("number", range(50))
def test_no_layout_keeps_more_rules_or_needs_fewer_penetrations(number):
    rng = np.random.default_rng(number)
    stretches, known, spaces, cantilever, tolerance = random_plane(rng)
    span, staggered = spaces * known.spacing_mm, number % 2 == 1
    array = seat_array(stretches, known, spaces, cantilever, (-tolerance, tolerance), staggered)
    rails = (*array.lower, *array.upper)
    seated = [seats for seats in rails if seats is not None]
    over = sum(seats.excess_mm > 0 for seats in seated)
    ours = (len(rails) - len(seated), over, array.shared)
    best = best_by_trying(stretches, known, span, cantilever, tolerance, staggered)
    assert ours == best[:3]
    if ours == (0, 0, 0):
        assert sum(len(seats.places_mm) for seats in seated) == best[3]


def inner_rafters(counted):
    """By rail from the eave up, the places of its inner attachments on the plane."""
    return [
        {round(rail.left_mm + at) for at in rail.seats_mm[1:-1]}
        for row in (1, 2, 3)
        for place in ("lower", "upper")
        for rail in counted.rails
        if (rail.row, rail.place) == (row, place)
    ]


def test_staggered_rails_put_inner_attachments_on_every_second_rail_of_a_rafter():
    roof = plane(rows=(7, 7, 6), **MEASURED)
    plain = take_off_plane(roof, module(), racking(cantilever_mm=600.0), None)
    spread = take_off_plane(roof, module(), racking(cantilever_mm=600.0, staggered=True), None)
    assert spread.problems == ()
    assert not any(a & b for a, b in pairwise(inner_rafters(spread)))
    assert any(a & b for a, b in pairwise(inner_rafters(plain)))
    assert spread.attachments >= plain.attachments
    spans = [b - a for rail in spread.rails for a, b in pairwise(rail.seats_mm)]
    assert max(spans) <= 1220


def test_rails_are_as_they_were_where_stagger_is_not_asked_for():
    counted = take_off_plane(plane(**MEASURED), module(), racking(), None)
    lower = [rail.seats_mm for rail in counted.rails if rail.place == "lower"]
    upper = [rail.seats_mm for rail in counted.rails if rail.place == "upper"]
    assert lower == upper


def test_stagger_on_rafters_that_one_span_just_bridges_is_refused_with_its_shortfall():
    # by hand: two spaces of 610 mm are 1220, the span of 1000 is short of that by 220
    told = "plane south: stagger broken on {} rafters, the span of 1000 mm is short of two rafter"
    rails = racking(max_span_mm=1000.0, cantilever_mm=600.0, staggered=True)
    counted = take_off_plane(plane(**MEASURED), module(), rails, None)
    assert len(counted.problems) == 1
    shared = sum(len(a & b) for a, b in pairwise(inner_rafters(counted)))
    assert counted.problems[0] == f"{told.format(shared)} spaces by 220 mm"
    unmeasured = take_off_plane(plane(), module(), rails, None)
    assert unmeasured.problems == (
        "plane south: stagger needs a span over two rafter spaces, and 1000 mm is short of that by"
        " 220 mm",
    )
