"""What is said to keep a stage out does: tried by waiving it and solving again.

A few of the weeks of `tests/benchmarks/why_proven.py`, which proves every stage of ten.
"""

from dataclasses import replace

import pytest
from tiny_choices import choose, to_place
from why_cases import asked_of, generated_week, prove, why_out

from crewplan.model.answer import KeptOut
from crewplan.publishing.why_text import why_json, why_text
from crewplan.scheduling.kept_out import kept_out
from crewplan.scheduling.waiving import waived
from crewplan.scheduling.wanting import NOT_THERE, at_any_price

WEEK = 0
STAGES = [out.stage for out in generated_week(WEEK).plan.unplaced]


def reasons_of(stage: str) -> set[str]:
    out = next(out for out in generated_week(WEEK).plan.unplaced if out.stage == stage)
    return {reason.kind for reason in out.reasons}


@pytest.mark.parametrize("stage", STAGES)
def test_the_one_rule_named_lets_the_stage_in_or_for_a_tenth(stage: str) -> None:
    week = generated_week(WEEK)
    kept = why_out(week, stage)
    assert len(kept.rules) == 1
    assert set(kept.rules) <= reasons_of(stage)
    assert prove(week, stage, kept).holds


def test_another_rule_than_the_one_named_is_not_proven() -> None:
    """So that the proof above does not hold for any rule at all."""
    week = generated_week(WEEK)
    stage = next(s for s in STAGES if reasons_of(s) == {"readiness"})
    kept = why_out(week, stage)
    assert kept.rules == ("readiness",)
    for other in ("certificate", "customer", "weather"):
        assert not prove(week, stage, replace(kept, rules=(other,))).holds


def test_each_day_has_its_rules() -> None:
    week = generated_week(WEEK)
    for stage in STAGES:
        kept = why_out(week, stage)
        assert [day for day, _ in kept.by_day] == list(week.plan.horizon.days)
        assert all(kinds for _, kinds in kept.by_day)


def test_what_a_stage_lost_to_and_by_how_much_is_the_price_of_a_plan_that_has_it() -> None:
    """The week's stages that fit by all rules: forcing one is dearer, and others leave for it."""
    week = generated_week(WEEK)
    forced = [kept for s in STAGES if (kept := why_out(week, s)).forced_cents is not None]
    placed = {p.placement.stage for p in week.plan.planned}
    for kept in forced:
        assert kept.forced_cents is not None
        assert kept.forced_cents >= 0
        assert set(kept.lost_to) <= placed


def test_a_stage_that_is_placed_is_not_kept_out() -> None:
    week = generated_week(WEEK)
    stage = week.plan.planned[0].placement.stage
    assert kept_out(asked_of(week), week.plan, stage) is None
    assert week.why(stage).kept_out is None


def test_only_the_stage_s_own_placements_are_made_anew() -> None:
    week = generated_week(WEEK)
    stage = next(s for s in STAGES if "material" in reasons_of(s))
    other = waived(asked_of(week), stage, ("material",))
    assert any(p.stage == stage for p in other.placements)
    theirs = [p for p in week.choices.placements if p.stage != stage]
    assert [p for p in other.placements if p.stage != stage] == theirs


def test_leaving_a_stage_out_at_any_price_costs_more_than_all_else() -> None:
    choices = choose([to_place("S1"), to_place("S2")], [])
    dear = at_any_price(choices, "S2")
    first, second = dear.stages
    assert first == choices.stages[0]
    assert second.unplaced_cost[NOT_THERE] > sum(first.unplaced_cost.values())


def test_the_words_name_the_rule_where_the_stage_would_go_and_each_span_of_days() -> None:
    week = generated_week(WEEK)
    stage = next(s for s in STAGES if reasons_of(s) == {"readiness"})
    answer = week.why(stage)
    kept = answer.kept_out
    assert isinstance(kept, KeptOut)
    assert kept.placement is not None
    text = why_text(week.branch, week.plan.horizon, answer, "")
    assert "Kept out by readiness alone: without that," in text
    assert f"{kept.placement.crew} from " in text
    assert "What keeps it out, by day:" in text
    first, last = week.plan.horizon.days[0], week.plan.horizon.days[-1]
    assert f"{first.isoformat()} to {last.isoformat()}: readiness" in text
    told = why_json(week.plan.horizon, answer, "now")["kept_out"]
    assert told["rules"] == ["readiness"]
    assert told["crew"] == kept.placement.crew
    assert [row["rules"] for row in told["by_day"]] == [["readiness"]] * len(kept.by_day)
