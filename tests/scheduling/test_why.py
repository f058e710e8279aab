"""Why a stage is there, and what another place would cost or break."""

import pytest
from tiny_choices import at, choose, to_place

from crewplan.model.placement import Keep
from crewplan.scheduling import Stop, schedule, why

PROOF = Stop(seconds=None, gap=0.0, steps=100_000)


def test_a_placed_stage_tells_its_price_and_its_next_best_places():
    choices = choose(
        [to_place("S1"), to_place("S2", after=("S1",))],
        [
            at("S1", "North", 0, cents=1000),
            at("S1", "South", 1, cents=1500),
            at("S1", "North", 2, cents=1200),
            at("S1", "South", 4, cents=1100),
            at("S2", "North", 2, cents=1000),
        ],
    )
    answer = why(choices, schedule(choices, stop=PROOF), "S1")
    assert answer.parts == {"travel": 1000}
    assert [(o.placement.crew, o.placement.start, o.cents_more) for o in answer.others] == [
        ("South", 1, 500),
        ("South", 4, 100),
        ("North", 2, 200),
    ]
    fits, too_late, taken = (
        [(reason.kind, reason.detail) for reason in other.breaks] for other in answer.others
    )
    assert fits == []
    assert too_late == [("order", "too late for what follows: S2")]
    assert taken == [
        ("capacity", "the crews that may are taken: North (S2)"),
        ("order", "too late for what follows: S2"),
    ]


def test_a_stage_that_is_left_out_tells_its_price_and_where_it_would_clash():
    choices = choose(
        [to_place("S1"), to_place("S2")], [at("S1", "North", 0), at("S2", "North", 0, cents=2000)]
    )
    answer = why(choices, schedule(choices, stop=PROOF), "S2")
    assert answer.planned is None
    assert answer.unplaced is not None
    assert answer.parts == {"later": 50_000}
    (other,) = answer.others
    assert other.cents_more == 2000 - 50_000
    assert [reason.kind for reason in other.breaks] == ["capacity"]


def test_a_stage_that_must_stay_says_so_and_has_no_other_place():
    keep = Keep("North", 0, pinned=True)
    choices = choose(
        [to_place("S1", keep=keep)], [at("S1", "North", 0), at("S1", "South", 0, cents=1)]
    )
    answer = why(choices, schedule(choices, stop=PROOF), "S1")
    assert (answer.keep, answer.others) == (keep, ())


def test_a_stage_that_is_done_has_no_price():
    choices = choose([], [], done=("S9",))
    answer = why(choices, schedule(choices, stop=PROOF), "S9")
    assert (answer.planned, answer.unplaced, answer.parts) == (None, None, {})


def test_an_unknown_stage_has_no_answer():
    choices = choose([], [])
    with pytest.raises(KeyError):
        why(choices, schedule(choices, stop=PROOF), "S9")
