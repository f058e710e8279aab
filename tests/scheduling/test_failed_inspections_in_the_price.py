"""What a first inspection may cost again stands in the plan's price, and adds up."""

from dataclasses import replace
from datetime import date

import pytest
from builders import NOW
from small_week import PROOF, choose, placement, small_branch, with_placement

from crewplan.model.waiting_rows import Inspection
from crewplan.placing.price import FAILED_INSPECTION, failing_cost
from crewplan.publishing.plan_json import plan_json
from crewplan.scheduling import schedule
from crewplan.scheduling.checker import check_plan

RECORD = tuple(
    Inspection("Hill", date(2026, 1, day), passed, return_h=None if passed else 5.0)
    for day, passed in enumerate([True] * 6 + [False] * 2, start=5)
)
"""Two of eight failed; 24 % is what NREL 2023 counts for ordinary permits (copied)."""


def planned():
    tables = replace(small_branch(), inspections=RECORD)
    choices = choose(tables)
    return tables, choices, schedule(choices, stop=PROOF)


def test_the_expected_cost_of_failing_is_by_hand():
    # a quarter of (5 h + 2 h) at 40.00 and two more drives of 12.00
    assert failing_cost(0.25, 5.0, 2.0, 40.0, 12.0) == pytest.approx(0.25 * (280 + 24))


def test_the_part_stands_in_the_plan_and_all_parts_add_up():
    tables, choices, plan = planned()
    assert check_plan(tables, choices, plan, NOW) == ()
    visits = [placement(plan, name) for name in ("S5", "S6")]
    assert all(visit.p_fail == pytest.approx(0.25) for visit in visits)
    assert plan.parts[FAILED_INSPECTION] == sum(v.cost[FAILED_INSPECTION] for v in visits) > 0
    assert sum(plan.parts.values()) == plan.objective
    told = plan_json(plan, "now")
    assert sum(part["cost"] for part in told["parts"]) == pytest.approx(told["objective"])
    assert {p["p_fail"] for p in told["placements"]} == {0.0, 0.25}


def test_leaving_an_inspection_out_does_not_save_what_its_failing_costs():
    _, choices, _ = planned()
    for stage in choices.stages:
        offered = [p.cost.get(FAILED_INSPECTION, 0) for p in choices.placements
                   if p.stage == stage.stage]  # fmt: skip
        if offered:
            assert stage.unplaced_cost.get(FAILED_INSPECTION, 0) in offered


def test_without_a_record_the_plan_costs_what_it_did():
    choices = choose(small_branch())
    assert all(FAILED_INSPECTION not in p.cost for p in choices.placements)


@pytest.mark.parametrize(("name", "cents"), [("S5", 0), ("S5", 99_999), ("S1", 500)])
def test_the_checker_counts_it_again_from_the_tables(name, cents):
    tables, choices, plan = planned()
    cost = {**placement(plan, name).cost, FAILED_INSPECTION: cents}
    told = check_plan(tables, choices, with_placement(plan, name, cost=cost), NOW)
    assert any(line.startswith(f"price: {name} carries {cents} cents") for line in told)
