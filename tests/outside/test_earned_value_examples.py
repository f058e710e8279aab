"""Earned value: the published example, and one worked out from the formulas.

Formulas: EIA-748, by the Defense Acquisition University's card (a copy, read). Published example:
BAC 5,000,000, EV 1,500,000, AC 1,800,000 give CPI .8333 and EAC 6,000,000 (money). The second
example, BAC 400 h, PV 200, EV 180, AC 225, is calculated from the same formulas by hand.
"""

from decimal import Decimal

import pytest

from crewplan.ledger import earned_value, stand
from crewplan.ledger.labour_cost import Spent
from crewplan.model.ledger import Undefined


def test_the_published_example_has_a_cost_index_of_0_8333_and_ends_at_six_million():
    assert earned_value.cost_index(1_500_000, 1_800_000) == pytest.approx(0.8333, abs=5e-5)
    estimate = earned_value.estimate_at_index(5_000_000, 1_500_000, 1_800_000)
    assert estimate == pytest.approx(6_000_000)


def test_the_calculated_example_of_400_hours():
    standing = stand(400, 200, 180, 180, 225)
    assert standing.cost_index == pytest.approx(0.80)
    assert standing.schedule_index == pytest.approx(0.90)
    assert standing.estimate_at_index_h == pytest.approx(500)
    assert standing.estimate_at_both_h == pytest.approx(530.556, abs=5e-4)
    assert standing.to_complete_index == pytest.approx(1.2571, abs=5e-5)
    assert standing.estimate_as_planned_h == pytest.approx(225 + (400 - 180))


def test_at_one_price_of_an_hour_the_published_example_costs_at_completion_what_it_says_in_money():
    """The published example's figures are money: as hours at 1 each they must come out the same."""
    spent = Spent(Decimal(1_800_000), 1_800_000, Decimal(1))
    standing = stand(5_000_000, 0, 1_500_000, 0, 1_800_000, spent)
    assert standing.cost.at_index == pytest.approx(6_000_000)
    assert standing.cost.as_planned == pytest.approx(1_800_000 + 3_500_000)
    assert isinstance(standing.cost.at_both, Undefined)


def test_without_hours_worked_the_cost_index_is_undefined_and_says_so():
    standing = stand(400, 200, 0, 0, 0)
    assert standing.cost_index == Undefined("no hours were worked")
    assert standing.estimate_at_index_h == Undefined("no hours were worked")
    assert standing.estimate_as_planned_h == 400


@pytest.mark.parametrize("worked", [400, 401])
def test_with_the_planned_hours_used_up_the_rest_has_no_index_and_says_so(worked):
    told = stand(400, 200, 180, 180, worked).to_complete_index
    assert told == Undefined("the planned hours are used up")


def test_before_anything_was_due_there_is_no_schedule_index():
    standing = stand(400, 0, 180, 0, 225)
    assert isinstance(standing.schedule_index, Undefined)
    assert isinstance(standing.estimate_at_both_h, Undefined)
    assert standing.estimate_at_index_h == pytest.approx(500)


def test_with_nothing_earned_the_rest_has_no_pace_to_go_by():
    standing = stand(400, 200, 0, 0, 225)
    assert standing.cost_index == 0
    assert isinstance(standing.estimate_at_index_h, Undefined)
    assert isinstance(standing.estimate_at_both_h, Undefined)
