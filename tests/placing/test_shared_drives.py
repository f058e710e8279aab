"""Two short visits in one half-day with one drive between their sites; figures by hand."""

import pytest
from builders import job, stage
from one_crew_week import choose, left

from crewplan.model.people_rows import Crew, Person

TABLES = {
    "stages": (
        stage("S1", job="J1", kind="inspection"),
        stage("S2", job="J2", kind="inspection"),
    ),
    "jobs": (job("J1"), job("J2", longitude=-92.09)),
    "crews": (Crew("A", 46.85, -92.1),),
}
OUT_H, OUT_2_H, BETWEEN_H = 0.144555, 0.145903, 0.019791
"""0.05 degrees of latitude and 0.01 of longitude at 46.8 north, x 111.195 km x 1.3 / 50 km/h."""


def visits(work_h=3.0, **changes):
    hours = {name: left(("ground", work_h), stage=name) for name in ("S1", "S2")}
    found, _ = choose(**(TABLES | {"hours": hours} | changes))
    return [p for p in found.placements if p.with_visit]


def test_each_of_a_pair_carries_its_own_leg_and_half_of_the_drive_between():
    first, second = visits()[:2]
    assert (first.stage, first.with_visit, second.stage, second.with_visit) == (
        "S1", "S2", "S2", "S1",
    )  # fmt: skip
    assert (first.crew, first.cells) == (second.crew, second.cells)
    # 3 person-hours by two people, who cost 70 an hour together
    assert first.short_h == pytest.approx(1.5 + OUT_H + BETWEEN_H / 2, abs=1e-4)
    assert second.short_h == pytest.approx(1.5 + OUT_2_H + BETWEEN_H / 2, abs=1e-4)
    assert first.cost["travel"] == round(7000 * (OUT_H + BETWEEN_H / 2))


def test_what_is_saved_is_no_more_than_the_drives_that_nobody_makes():
    alone, _ = choose(hours={n: left(("ground", 3.0), stage=n) for n in ("S1", "S2")}, **TABLES)
    solo = [p for p in alone.placements if not p.with_visit and p.start == 0]
    both = [p for p in visits() if p.start == 0]
    saved = sum(p.cost["travel"] for p in solo) - sum(p.cost["travel"] for p in both)
    assert saved == pytest.approx(7000 * (OUT_H + OUT_2_H - BETWEEN_H), abs=2)


def test_two_that_do_not_fit_beside_each_other_are_no_pair():
    # 2 x 1.9 h on site and the way round fill 4.25 h; 2 x 2.0 h do not with a far base
    assert visits(3.8)
    assert visits(4.0, crews=(Crew("A", 46.95, -92.1),)) == []


def test_where_little_is_saved_nobody_is_tied_to_another():
    assert visits(crews=(Crew("A", 46.8, -92.095),)) == []


def test_a_visit_that_follows_the_other_is_not_on_its_drive():
    after = (TABLES["stages"][0], stage("S2", job="J2", kind="inspection", after=("S1",)))
    assert visits(stages=after) == []


def test_work_on_a_roof_shares_no_drive():
    people = (Person("Lea", "A", "lead", 40.0), Person("Ivo", "A", "installer", 30.0))
    hours = {"S1": left(("roof", 3.0)), "S2": left(("ground", 3.0), stage="S2")}
    kinds = (stage("S1", job="J1", kind="return"), TABLES["stages"][1])
    assert visits(hours=hours, stages=kinds, people=people) == []
