"""Each hard rule keeps out what it should, and says so in plain words."""

from dataclasses import replace

from tiny_choices import DAYS, FRIDAY, MONDAY, THURSDAY, at, choose, to_place

from crewplan.model.horizon import Horizon
from crewplan.model.placement import Keep, Reason
from crewplan.scheduling import Stop, schedule
from crewplan.scheduling.clashes import clashes
from crewplan.scheduling.problem import problem

PROOF = Stop(seconds=None, gap=0.0, steps=100_000)


def solved(stages, placements, **changes):
    return schedule(choose(stages, placements, **changes), stop=PROOF)


def placed(plan):
    return {p.placement.stage: (p.placement.crew, p.placement.start) for p in plan.planned}


def told(plan, stage):
    reasons = next(out.reasons for out in plan.unplaced if out.stage == stage)
    return [(reason.kind, reason.detail) for reason in reasons]


def test_a_crew_is_in_one_place_at_a_time():
    plan = solved(
        [to_place("S1"), to_place("S2")],
        [at("S1", "North", 0, 1), at("S2", "North", 1, 2, cents=2000)],
    )
    assert placed(plan) == {"S1": ("North", 0)}
    assert told(plan, "S2") == [("capacity", "the crews that may are taken: North (S1)")]
    assert plan.objective == 1000 + 50_000


def test_short_visits_share_a_half_day_until_its_hours_are_full():
    visits = [to_place(name, kind="inspection", authority="") for name in ("S1", "S2", "S3")]
    placements = [at(f"S{i}", "North", 0, short_h=2.0, cents=1000 * i) for i in (1, 2, 3)]
    plan = solved(visits, placements)
    assert set(placed(plan)) == {"S1", "S2"}  # 3 x 2.0 h > 4.25 h
    assert told(plan, "S3") == [("capacity", "the crews that may are taken: North (S1, S2)")]


def _sharing(stage, other, cents):
    alone = at(stage, "North", 0, short_h=2.4, cents=cents)
    return [alone, replace(alone, short_h=2.0, with_visit=other, cost={"travel": cents - 300})]


def test_two_visits_that_share_a_drive_fit_where_two_with_their_own_do_not():
    visits = [to_place(name, kind="inspection", authority="") for name in ("S1", "S2")]
    offers = [*_sharing("S1", "S2", 1000), *_sharing("S2", "S1", 2000)]
    plan = solved(visits, offers)
    assert {p.placement.with_visit for p in plan.planned} == {"S1", "S2"}
    assert plan.objective == plan.bound == 700 + 1700


def test_nobody_shares_a_drive_alone():
    visits = [to_place(name, kind="inspection", authority="") for name in ("S1", "S2", "S3")]
    offers = [*_sharing("S1", "S2", 1000), at("S2", "South", 0, short_h=1.0)]
    plan = solved(visits, [*offers, at("S3", "North", 0, short_h=1.85)])
    assert [p.placement.with_visit for p in plan.planned] == ["", "", ""]
    whole = problem(choose(visits, offers))
    shared = [column for column, p in enumerate(whole.held.placements) if p.with_visit]
    (reason,) = clashes(whole, whole.nothing()).reasons(shared)
    assert (reason.kind, reason.detail) == ("capacity", "shares its drive with S2")


def test_a_whole_placement_shares_with_no_visit():
    plan = solved(
        [to_place("S1"), to_place("S2", kind="inspection")],
        [at("S1", "North", 0), at("S2", "North", 0, short_h=1.0, cents=2000)],
    )
    assert placed(plan) == {"S1": ("North", 0)}


def test_a_stage_starts_in_a_later_half_day_than_the_one_before_ends():
    plan = solved(
        [to_place("S1"), to_place("S2", after=("S1",))],
        [at("S1", "North", 0, 1), *(at("S2", "South", c, cents=1000 + c) for c in range(4))],
    )
    assert placed(plan) == {"S1": ("North", 0), "S2": ("South", 2)}


def test_gap_days_are_calendar_days_so_that_a_weekend_counts():
    """S1 ends on Friday; one whole day between is met on Monday, two as well, three are not."""
    for gap_days, start in ((1, 4), (2, 4), (3, None)):
        plan = solved(
            [to_place("S1"), to_place("S2", after=("S1",), gap_days=gap_days)],
            [at("S1", "North", 2), *(at("S2", "South", c) for c in (3, 4))],
        )
        assert placed(plan).get("S2") == (None if start is None else ("South", start))


def test_a_stage_before_it_that_cannot_be_placed_keeps_a_stage_out():
    plan = solved(
        [
            to_place("S1", reasons=(Reason("readiness", "permit: refused"),)),
            to_place("S2", after=("S1",), promised=True),
        ],
        [at("S2", "South", 3)],
    )
    assert told(plan, "S1") == [("readiness", "permit: refused")]
    assert told(plan, "S2") == [("order", "has not ended in time: S1")]
    assert [out.answer_is_no for out in plan.unplaced] == [False, True]


def test_one_shared_boom_serves_one_placement_a_day():
    borrow = {"North": ("boom",), "South": ("boom",)}
    plan = solved(
        [to_place("S1", shared_equipment=borrow), to_place("S2", shared_equipment=borrow)],
        [at("S1", "North", 0), at("S2", "South", 1, cents=2000)],
        equipment={"boom": 1},
    )
    assert placed(plan) == {"S1": ("North", 0)}
    assert told(plan, "S2") == [("equipment", "in use that day: boom (S1)")]


def test_a_crew_with_its_own_boom_borrows_none():
    plan = solved(
        [to_place("S1", shared_equipment={"North": ("boom",)}), to_place("S2")],
        [at("S1", "North", 0), at("S2", "South", 1)],
        equipment={"boom": 1},
    )
    assert set(placed(plan)) == {"S1", "S2"}


def test_an_authority_inspects_so_many_systems_a_day():
    visits = [to_place(name, kind="inspection") for name in ("S1", "S2", "S3")]
    plan = solved(
        visits,
        [at("S1", "North", 0), at("S2", "South", 1, cents=2000), at("S3", "South", 2)],
        inspections_per_day={"Hill": 1},
    )
    assert set(placed(plan)) == {"S1", "S3"}
    assert told(plan, "S2") == [("inspections", "no inspection left that day: Hill (S1)")]


def test_a_kit_comes_from_what_has_arrived_by_the_first_day():
    """7 on hand, 7 more on Friday: the second roof of 7 starts on Friday."""
    plan = solved(
        [to_place("S1", kit={"rail": 7.0}), to_place("S2", kit={"rail": 7.0})],
        [at("S1", "North", 0), *(at("S2", "South", c, cents=1000 + c) for c in (0, 1, 2))],
        on_hand={"rail": 7.0},
        arrivals={"rail": ((FRIDAY, 7.0),)},
    )
    assert placed(plan) == {"S1": ("North", 0), "S2": ("South", 2)}
    assert [(p.placement.stage, p.firm, p.waits_for) for p in plan.planned] == [
        ("S1", True, ()),
        ("S2", False, ("kit: rail not on hand yet",)),
    ]


def test_an_arrival_is_not_in_hand_on_a_frozen_day():
    for frozen, start in ((frozenset(), 0), (frozenset({THURSDAY, FRIDAY}), 4)):
        plan = solved(
            [to_place("S1", kit={"rail": 7.0})],
            [at("S1", "North", c, cents=1000 + c) for c in (0, 2, 4)],
            on_hand={"rail": 0.0},
            arrivals={"rail": ((THURSDAY, 7.0),)},
            frozen=frozen,
        )
        assert placed(plan) == {"S1": ("North", start)}


def test_what_does_not_last_for_all_says_who_draws_it():
    plan = solved(
        [to_place("S1", kit={"rail": 7.0}), to_place("S2", kit={"rail": 7.0})],
        [at("S1", "North", 0), at("S2", "South", 4, cents=2000)],
        on_hand={"rail": 13.9},
    )
    assert told(plan, "S2") == [("material", "not enough by then: rail (drawn by S1)")]


def test_material_that_is_not_judged_keeps_nothing_out():
    plan = solved(
        [to_place("S1", kit={"rail": 7.0})], [at("S1", "North", 0)], material_judged=False
    )
    assert set(placed(plan)) == {"S1"}
    assert plan.planned[0].firm


def test_tenths_of_a_unit_add_up():
    """0.1 + 0.2 is 0.3, whatever binary fractions make of it."""
    plan = solved(
        [to_place("S1", kit={"rail": 0.1}), to_place("S2", kit={"rail": 0.2})],
        [at("S1", "North", 0), at("S2", "South", 0)],
        on_hand={"rail": 0.3},
    )
    assert set(placed(plan)) == {"S1", "S2"}


def test_what_was_published_stays_however_dear_it_is():
    keep = Keep("South", 3, pinned=True)
    plan = solved(
        [to_place("S1", keep=keep), to_place("S2")],
        [at("S1", "North", 0, cents=1), at("S1", "South", 3, cents=90_000), at("S2", "South", 3)],
    )
    assert placed(plan) == {"S1": ("South", 3)}
    assert plan.rule_of_thumb == plan.objective == 90_000 + 50_000


def test_a_stage_before_a_kept_one_is_placed_so_that_it_can_stay():
    """The only other way to place S1 is later and cheaper."""
    plan = solved(
        [to_place("S2", after=("S1",), keep=Keep("South", 2, pinned=False)), to_place("S1")],
        [at("S1", "North", 1, cents=60_000), at("S1", "North", 3, cents=1), at("S2", "South", 2)],
    )
    assert placed(plan) == {"S1": ("North", 1), "S2": ("South", 2)}


def test_a_published_visit_stays_by_sharing_its_drive_with_one_that_is_free():
    shared = [
        replace(at(one, "South", 2, cents=90_000, short_h=2.0), with_visit=other)
        for one, other in (("S1", "S2"), ("S2", "S1"))
    ]
    plan = solved(
        [to_place("S1", keep=Keep("South", 2, pinned=False)), to_place("S2")],
        [*shared, at("S1", "South", 4, cents=1), at("S2", "North", 0, cents=1)],
    )
    assert placed(plan) == {"S1": ("South", 2), "S2": ("South", 2)}


def test_of_published_placements_that_contradict_each_other_as_many_as_can_stay():
    kept = [
        to_place(name, published=True, keep=Keep("North", start, pinned=False))
        for name, start in (("S1", 0), ("S2", 0), ("S3", 3))
    ]
    plan = solved(
        kept, [at("S1", "North", 0), at("S2", "North", 0, 1, 2, 3, cents=1), at("S3", "North", 3)]
    )
    assert set(placed(plan)) == {"S1", "S3"}
    assert told(plan, "S2")[0] == (
        "pin",
        "it cannot stay beside what else was published: "
        "the crews that may are taken: North (S1, S3)",
    )
    assert plan.unplaced[0].answer_is_no


def test_what_cannot_stay_beside_another_goes_elsewhere_and_says_why():
    """S1 runs late into S2's frozen start: S2 is not lost, it moves to the cheaper other start."""
    plan = solved(
        [to_place("S1"), to_place("S2", after=("S1",), keep=Keep("North", 1, pinned=False))],
        [
            at("S1", "North", 0, 1),
            at("S2", "North", 1, cents=0),
            at("S2", "North", 2, cents=9000),
            at("S2", "South", 3, cents=8000),
        ],
    )
    assert placed(plan) == {"S1": ("North", 0), "S2": ("South", 3)}
    (reason,) = plan.planned[1].left_its_place
    assert (reason.kind, reason.from_on) == ("pin", THURSDAY)
    assert reason.detail.startswith("it cannot stay beside what else was published: ")
    assert "North (S1)" in reason.detail


def test_a_kept_stage_gives_way_so_that_one_that_follows_it_can_stay():
    """Two can stay at most: S2 and S3; S1 stands in their way and can go before them."""
    plan = solved(
        [
            to_place("S1", keep=Keep("North", 2, pinned=False)),
            to_place("S2", after=("S1",), keep=Keep("South", 2, pinned=False)),
            to_place("S3", after=("S1",), keep=Keep("North", 3, pinned=False)),
        ],
        [
            at("S1", "North", 2, 3, cents=0),
            at("S1", "North", 0, 1, cents=30_000),
            at("S2", "South", 2),
            at("S3", "North", 3),
        ],
    )
    assert placed(plan) == {"S1": ("North", 0), "S2": ("South", 2), "S3": ("North", 3)}


def test_a_call_to_the_customer_goes_with_a_start_on_a_frozen_day_only():
    stages = [to_place(name, calls=("customer_confirmed",)) for name in ("S1", "S2")]
    plan = solved(stages, [at("S1", "North", 1), at("S2", "North", 2)], frozen={THURSDAY})
    assert [(p.firm, p.calls) for p in plan.planned] == [
        (True, ("customer_confirmed",)),
        (True, ()),
    ]


def test_among_as_many_the_pinned_one_stays():
    kept = [
        to_place("S1", keep=Keep("North", 0, pinned=False)),
        to_place("S2", keep=Keep("North", 0, pinned=True)),
    ]
    plan = solved(kept, [at("S1", "North", 0, cents=1), at("S2", "North", 0, cents=40_000)])
    assert set(placed(plan)) == {"S2"}


def test_a_stage_that_costs_more_than_leaving_it_says_by_how_much():
    plan = solved(
        [to_place("S1")], [at("S1", "North", 2, cents=51_234), at("S1", "South", 4, cents=60_000)]
    )
    (reason,) = plan.unplaced[0].reasons
    assert (reason.kind, reason.from_on, reason.until_on) == ("price", FRIDAY, MONDAY)
    assert reason.detail == (
        "placing it costs 12.34 more than leaving it for later, at the cheapest: "
        "North from 2026-05-08 am"
    )


def test_without_time_to_prove_more_each_stage_at_its_cheapest_is_a_bound():
    """By hand: both at 10.00, as if North could be in two places at once."""
    stages = [to_place("S1"), to_place("S2")]
    placements = [at("S1", "North", 0), at("S1", "North", 1, cents=2000), at("S2", "North", 0)]
    plan = schedule(choose(stages, placements), stop=Stop(seconds=0.0, gap=0.0))
    assert 2000 <= plan.bound <= 3000 <= plan.objective


def test_a_stage_that_nobody_explains_still_has_a_reason():
    plan = solved([to_place("S1")], [])
    assert told(plan, "S1") == [("horizon", "no start within these days")]
    assert (plan.objective, plan.bound, plan.gap) == (50_000, 50_000, 0.0)


def test_nothing_to_plan_is_a_plan():
    plan = solved([], [])
    assert (plan.objective, plan.bound, plan.planned, plan.unplaced) == (0, 0, (), ())


def test_the_rule_of_thumb_sends_the_next_crew_to_the_earliest_promise():
    """By hand: S2 is promised first and takes North; S1 finds South free; 2000 + 3000."""
    plan = solved(
        [to_place("S1", due_on=MONDAY), to_place("S2", due_on=THURSDAY)],
        [
            at("S1", "North", 0, cents=1000),
            at("S1", "South", 0, cents=3000),
            at("S2", "North", 0, cents=2000),
            at("S2", "South", 0, cents=100),
        ],
    )
    assert plan.rule_of_thumb == 5000
    assert plan.objective == 1100


def test_the_parts_of_the_price_add_up():
    plan = solved([to_place("S1"), to_place("S2")], [at("S1", "North", 0, cents=123)])
    assert plan.parts == {"travel": 123, "later": 50_000}
    assert sum(plan.parts.values()) == plan.objective
    assert plan.horizon.days == DAYS


def test_what_is_not_granted_is_pencilled_and_says_what_it_waits_for():
    plan = solved([to_place("S1", awaited=("permit",))], [at("S1", "North", 0, granted=False)])
    assert not plan.planned[0].firm
    assert plan.planned[0].waits_for == ("permit",)


def test_the_plan_is_the_one_whose_price_the_engine_names():
    """Found at random: HiGHS 1.16 names 9065 cents, and hands over its start, which costs 21431."""
    plan = solved(
        [
            to_place("S0", kind="inspection", unplaced_cost={"later": 4395}),
            to_place("S1", kind="inspection", after=("S0",), unplaced_cost={"later": 20999}),
            to_place("S2", unplaced_cost={"later": 4058}),
        ],
        [
            at("S0", "North", 1, cents=6505, short_h=1.5),
            at("S0", "North", 3, cents=3541, short_h=1.5),
            at("S0", "South", 2, cents=10801, short_h=3.2),
            at("S0", "South", 0, cents=7612, short_h=3.2),
            at("S0", "South", 3, cents=9396, short_h=3.2),
            at("S1", "South", 0, cents=3931, short_h=2.1),
            at("S1", "South", 1, cents=371, short_h=2.1),
            at("S1", "North", 2, cents=8867, short_h=3.2),
            at("S1", "South", 2, cents=3555, short_h=2.1),
            at("S1", "North", 3, cents=6626, short_h=1.5),
            at("S2", "North", 0, 1, cents=13448),
            at("S2", "North", 2, 3, cents=8568),
            at("S2", "South", 1, 2, cents=10125),
            at("S2", "South", 2, 3, cents=1082),
        ],
        horizon=Horizon(DAYS[:2], frozenset()),
        half_day_h=(4.25, 4.0),
    )
    assert plan.rule_of_thumb == 21431
    assert plan.objective == plan.bound == 7612 + 371 + 1082


def test_a_published_stage_that_stands_elsewhere_says_why_it_left():
    why = Reason("pin", "published with crew North on 2026-05-04 am: permit: open", MONDAY, MONDAY)
    plan = solved([to_place("S1", reasons=(why,))], [at("S1", "North", 4)])
    assert [planned.left_its_place for planned in plan.planned] == [(why,)]


def test_without_a_crew_every_stage_says_that_there_is_none():
    plan = solved([to_place("S1")], [], crews=())
    assert told(plan, "S1") == [("people", "there is no crew")]


def test_a_price_on_uneven_hours_shares_the_work_out():
    """North is cheaper for both; four and a quarter hours each are worth 255 minutes x 10."""
    stages = [to_place("S1"), to_place("S2")]
    offers = [at("S1", "North", 0), at("S2", "North", 1), at("S2", "South", 0, cents=3000)]
    assert placed(solved(stages, offers)) == {"S1": ("North", 0), "S2": ("North", 1)}
    for engine in ("highs", "cp-sat"):
        choices = choose(stages, offers, uneven_cents_a_minute=10)
        plan = schedule(choices, engine=engine, stop=PROOF)
        assert placed(plan) == {"S1": ("North", 0), "S2": ("South", 0)}
        assert plan.parts == {"travel": 4000}
        alone = schedule(choose(stages, offers, uneven_cents_a_minute=3), engine=engine, stop=PROOF)
        assert alone.parts == {"travel": 2000, "uneven hours": 3 * 510}


def test_what_is_left_out_for_even_hours_is_told_so():
    offers = [at("S1", "North", 0, cents=45_000), at("S2", "South", 1, cents=60_000)]
    plan = solved([to_place("S1"), to_place("S2")], offers, uneven_cents_a_minute=100)
    assert placed(plan) == {}
    assert told(plan, "S1") == [
        ("price", "placing it makes the crews' hours more uneven, which costs more than it saves")
    ]


def test_a_crew_counts_also_where_only_some_placements_are_looked_at():
    """A repair looks at few placements: South's were left away, and South still has no hours."""
    offers = [at("S1", "North", 0)]
    prices = {"uneven_cents_a_minute": 10}
    part = solved([to_place("S1")], offers, even_crews=("North", "South"), **prices)
    assert part.parts == {"travel": 1000, "uneven hours": 10 * 255}
    assert solved([to_place("S1")], offers, **prices).parts == {"travel": 1000}
