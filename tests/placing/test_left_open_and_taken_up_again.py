"""A stage in two parts around shut days: what it takes, saves and costs."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from builders import settings
from one_crew_week import MONDAY, WEEK, by_clock, choose, day, left, said
from plain_walk import placement_pieces, scales, walk_one
from test_walk_equals_plain_loops import hours_of, random_levels, random_steps

from crewplan.model.calendar import shift_hours, working_days
from crewplan.model.parts import placement_parts
from crewplan.model.people_rows import Crew, Person
from crewplan.model.plan_row import PlanRow
from crewplan.model.work_rows import Progress
from crewplan.placing.blocks import blocks_of
from crewplan.placing.breaks import Break, breaks_of
from crewplan.placing.broken import broken_fits
from crewplan.placing.holes import Again
from crewplan.placing.levels import Levels
from crewplan.placing.prices import AMOUNT
from crewplan.placing.timeline import shift_of_days, timeline

AGAIN = {"again_p80_h": 2.0, "again_exposure": "roof"}


def tuesday_and_wednesday_shut(member, at):
    return 1 if at.day in (5, 6) else 3


def in_two(choices):
    return [p for p in choices.placements if p.parts]


def roof(**changes):
    return {"S1": replace(left(("ground", 4.0), ("roof", 16.0), ("lift", 8.0)), **changes)}


def test_a_crew_may_leave_before_shut_days_and_come_back_after_them():
    choices, _ = choose(hours=roof(), weather_at=by_clock(tuesday_and_wednesday_shut))
    found = next(p for p in in_two(choices) if p.part_starts == (0, 6))
    # 17 h of two people on Monday, the other 11 h on Thursday; nothing is lost
    assert found.cells == (0, 1, 6, 7)
    assert found.lost_h == 0
    first, second = found.parts
    assert (first.labour_p50_h, second.labour_p50_h) == pytest.approx((17.0, 11.0))
    # four half-days at 37.50 are carried by the second part; in one go 34 h would be lost
    assert found.cost["left open"] == second.cost["left open"] == 4 * 3750
    in_one = next(p for p in choices.placements if p.start == 0 and not p.parts)
    assert in_one.lost_h == pytest.approx(34.0)


def test_a_shut_day_may_be_spent_on_the_ground_and_the_lift_comes_when_it_blows_less():
    choices, _ = choose(
        hours={"S1": left(("ground", 8.0), ("lift", 8.0))},
        weather_at=by_clock(tuesday_and_wednesday_shut),
    )
    found = next(p for p in in_two(choices) if p.part_starts == (2, 6))
    assert found.parts[0].labour_p50_h == pytest.approx(8.0)
    assert found.parts[1].cells == (6,)


def test_in_good_weather_no_stage_is_offered_in_parts():
    choices, _ = choose(hours=roof())
    assert choices.placements
    assert in_two(choices) == []


def test_a_branch_may_say_that_no_job_is_left_open():
    choices, _ = choose(
        hours=roof(),
        weather_at=by_clock(tuesday_and_wednesday_shut),
        settings=settings(open_jobs_max=0),
    )
    assert in_two(choices) == []


def test_coming_back_takes_the_hours_and_the_money_of_setting_up_again():
    shut = by_clock(tuesday_and_wednesday_shut)
    free, _ = choose(hours=roof(), weather_at=shut)
    paid, _ = choose(hours=roof(**AGAIN), weather_at=shut)
    before, after = (next(p for p in in_two(c) if p.part_starts == (0, 6)) for c in (free, paid))
    # two hours of table work, one hour of both people: 40 + 30 an hour
    assert after.cost["set-up again"] - before.cost.get("set-up again", 0) == 7000
    assert after.labour_p50_h == before.labour_p50_h + 2
    assert after.parts[1].labour_p50_h == pytest.approx(before.parts[1].labour_p50_h + 2)


def test_the_parts_carry_the_whole_price_and_all_hours():
    choices, _ = choose(
        hours=roof(**AGAIN, spread=0.3), weather_at=by_clock(tuesday_and_wednesday_shut)
    )
    assert in_two(choices)
    for p in in_two(choices):
        parts = placement_parts(p)
        assert sum(part.cents for part in parts) == p.cents
        assert sum(part.lost_h for part in parts) == pytest.approx(p.lost_h)
        assert sum(part.labour_p50_h for part in parts) == pytest.approx(p.labour_p50_h)
        assert tuple(cell for part in parts for cell in part.cells) == p.cells


def test_none_in_two_parts_takes_as_many_half_days_as_the_same_start_in_one_go():
    choices, _ = choose(hours=roof(), weather_at=by_clock(tuesday_and_wednesday_shut))
    in_one = {p.start: len(p.cells) for p in choices.placements if not p.parts}
    assert all(len(p.cells) < in_one.get(p.start, 99) for p in in_two(choices))


def test_breaks_end_after_a_run_of_poor_half_days():
    hour_starts, shifts = shift_of_days(settings(), WEEK)
    level = np.array([[1 if at.day == 6 else 3 for at in hour_starts]], dtype=np.int8)
    found = breaks_of(Levels(level, np.ones(1, np.int64)), 3, shifts)
    # Wednesday is half-days 4 and 5; back is in one of the four after them
    assert set(found) == {Break(a, b) for a in (4, 5) for b in (6, 7, 8, 9)}


def published(*rows, now_at=WEEK, **changes):
    return choose(
        plan=rows,
        present={"plan"},
        hours=roof(**AGAIN),
        weather_at=by_clock(tuesday_and_wednesday_shut),
        **changes,
    )


def test_a_published_second_part_in_the_frozen_days_stays_where_it_is():
    rows = (PlanRow("S1", "A", MONDAY, half_days=2), PlanRow("S1", "A", day(7), "pm", 2, 2))
    _, to_place = published(*rows, frozen=(MONDAY, day(5), day(6), day(7)))
    assert (to_place.keep.start, to_place.keep.again) == (0, 7)


def test_a_pin_on_the_second_part_holds_both():
    rows = (
        PlanRow("S1", "A", MONDAY, half_days=2),
        PlanRow("S1", "A", day(7), "pm", 2, 2, pinned=True),
    )
    _, to_place = published(*rows)
    assert (to_place.keep.start, to_place.keep.again, to_place.keep.pinned) == (0, 7, True)


def test_moving_a_published_second_part_is_a_move():
    rows = (PlanRow("S1", "A", MONDAY, half_days=2), PlanRow("S1", "A", day(7), "pm", 2, 2))
    choices, _ = published(*rows)
    there, elsewhere = (
        next(p for p in in_two(choices) if p.part_starts == (0, back)) for back in (7, 6)
    )
    assert "move" not in there.cost
    # a whole move, as near as a Thursday is on the Sunday before
    nearness = 1 / (1 + 4 / AMOUNT["move fades"])
    assert elsewhere.cost["move"] == round(100 * AMOUNT["move"] * nearness)


def test_a_second_part_that_fits_no_more_says_so_and_the_first_stays():
    rows = (PlanRow("S1", "A", MONDAY, half_days=2), PlanRow("S1", "A", day(6), "am", 2, 1))
    _, to_place = published(*rows, frozen=(MONDAY, day(5), day(6)))
    assert to_place.keep.again is None
    assert said(to_place, "pin") == [
        ("its second part was published for 2026-05-06: it does not fit there now", day(6), day(6))
    ]


def begun(on, **changes):
    hours = {"S1": replace(left(("roof", 8.0)), begun=True, undone_p80_h=2.0, **AGAIN)}
    return choose(
        hours=hours,
        progress=(Progress(on, "S1", "step0", 0.5),),
        plan=(PlanRow("S1", "A", day(7), half_days=1),),
        **changes,
    )


def test_a_job_that_was_left_open_costs_by_the_half_day_until_the_crew_is_back():
    choices, to_place = begun(date(2026, 4, 29))
    costs = {p.start: p.cost.get("left open", 0) for p in choices.placements}
    assert costs == {start: start * 3750 for start in costs}
    assert len(costs) > 5
    assert to_place.left_open_by == "A"
    # ten half-days of these days and ten of the week by which it is priced later
    assert to_place.unplaced_cost["left open"] == 20 * 3750


def test_who_comes_back_sets_up_again_and_who_was_there_yesterday_does_not():
    away, _ = begun(date(2026, 4, 29))
    there, to_place = begun(date(2026, 5, 1))
    assert {p.labour_p50_h for p in away.placements} == {10.0}
    assert {p.labour_p50_h for p in there.placements} == {8.0}
    assert to_place.left_open_by == ""


def compared(seed):
    """How many stages in two parts of one random case were held against plain loops."""
    rng = np.random.default_rng(seed)
    branch = settings(shift_h=float(rng.choice([4, 9])), break_h=float(rng.choice([0, 0.5])))
    days = working_days(branch, date(2026, 5, 4), int(rng.integers(3, 6)))
    hour_starts, shifts = shift_of_days(branch, days)
    count = rng.integers(1, 5, size=len(days))
    drive = float(rng.choice([0, 0.25, 1.0]))
    usable = tuple(d for d in range(len(days)) if rng.random() < 0.9)
    line = timeline(shifts, usable, count * 1.0, count, drive)
    if len(line.cells) < 3:
        return 0
    steps, spread = random_steps(rng, True), float(rng.choice([0.0, 0.3]))
    level = random_levels(rng, int(rng.integers(1, 5)), len(hour_starts)).astype(np.int8)
    rows, weight = np.unique(level, axis=0, return_counts=True)
    first = np.flatnonzero(line.may_start)
    least, most = float(rng.choice([0.3, 0.7, 1.0])), int(rng.integers(2, 7))
    half_days = 2 * len(days)
    leaves = rng.integers(1, half_days - 1, size=5)
    breaks = tuple(Break(int(a), int(rng.integers(a + 1, half_days))) for a in leaves)
    again = Again(float(rng.choice([0.0, 0.0, 1.3])), 2)
    found = broken_fits(
        blocks_of(hours_of(steps)),
        spread,
        again,
        line,
        Levels(rows, weight.astype(np.int64)),
        breaks,
        first,
        np.full(len(first), least),
        most,
        np.full(len(first), len(line.cells) + 9),
    )
    starts, laid_out = 0, []
    for on in days:
        laid_out.append((shift_hours(branch, on), starts))
        starts += len(laid_out[-1][0])

    def walked(own, scale, member, setting_up):
        """What one member has done and lost: both parts, then the first alone."""
        back = line.cells[own.back]
        cells = [line.cells[at] for at in own.cells]
        before = placement_pieces([c for c in cells if c < back], laid_out, drive)
        after = placement_pieces([c for c in cells if c >= back], laid_out, drive)
        shut = setting_up(after, member, count)
        pieces = before + shut
        return (
            walk_one(steps, scale, pieces, count * 1.0, count, member),
            walk_one(steps, scale, before, count * 1.0, count, member),
        )

    def exact(after, member, people):
        todo, kept = again.hours, []
        for on, hour, length in after:
            taken = min(length, todo / people[on]) if member[hour] >= again.exposure else 0.0
            todo -= taken * people[on]
            kept.append((on, hour, length - taken))
        return [piece for piece in kept if piece[2] > 1e-12]

    def whole_hours(after, member, people):
        todo, kept = again.hours, []
        for on, hour, length in after:
            if member[hour] >= again.exposure and todo > 1e-9:
                todo -= length * people[on]
            else:
                kept.append((on, hour, length))
        return kept

    for own in found:
        assert len(own.cells) <= most
        best, worst = (
            [[walked(own, s, m, how) for s in scales(spread)] for m in level]
            for how in (exact, whole_hours)
        )

        def shares(of):
            go = sum(member[2][0][0] for member in of) / len(of)
            all_done = sum(one[0][0] for member in of for one in member)
            return go, min(all_done / (5 * len(of)), go)

        assert shares(worst)[0] - 1e-9 <= own.p_go <= shares(best)[0] + 1e-9
        assert shares(worst)[1] - 1e-9 <= own.p_finish <= shares(best)[1] + 1e-9
        assert own.p_finish >= least - 1e-9
        lost_before = sum(member[2][1][1] for member in best) / len(level)
        assert own.lost_before_h == pytest.approx(lost_before, abs=1e-5)
        if not again.hours:
            both = sum(member[2][0][1] for member in best) / len(level)
            assert own.lost_before_h + own.lost_after_h == pytest.approx(both, abs=1e-5)
    return len(found)


def test_walking_around_a_hole_says_the_same_as_plain_loops():
    """Without set-up equal; with it never more hopeful, and never worse than whole hours of it."""
    assert sum(compared(seed) for seed in range(400)) > 400


def test_of_many_crews_the_nearest_twelve_may_leave_a_job_open():
    crews = tuple(Crew(f"C{n:02}", 46.8 + 0.01 * n, -92.1) for n in reversed(range(14)))
    people = tuple(
        Person(f"{crew.crew} {role}", crew.crew, role, 40.0)
        for crew in crews
        for role in ("lead", "installer")
    )
    choices, _ = choose(
        hours=roof(), weather_at=by_clock(tuesday_and_wednesday_shut), crews=crews, people=people
    )
    assert {p.crew for p in choices.placements} == {crew.crew for crew in crews}
    assert {p.crew for p in in_two(choices)} == {f"C{n:02}" for n in range(12)}
