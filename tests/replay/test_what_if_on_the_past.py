"""What if, on the past: what it saves and what it costs itself, by the same jobs and weather."""

from dataclasses import replace
from datetime import date, time
from pathlib import Path

import pytest

from crewplan.model.bootstrap import interval
from crewplan.model.branch import Branch
from crewplan.model.replay_score import Replays
from crewplan.model.whatif import Supposition
from crewplan.publishing.replay_text import evening_lines, replay_json, replay_text
from crewplan.running.demo import demo_folder
from crewplan.running.replaying import Asked, SupposedPast, replays
from crewplan.running.supposed_limit import supposed_limit
from crewplan.store.reading import read_branch
from dashboard.figures.replayed import hours_by_policy, money_by_policy, replayed_document

ASKED = Asked(("always_go",), date(2026, 3, 23), date(2026, 4, 3), seeds=3)


@pytest.fixture(scope="module")
def demo() -> Branch:
    return read_branch(demo_folder(), None)


def _whatif(demo: Branch, supposed: SupposedPast) -> Replays:
    return replays(demo, ASKED, supposed)


def test_nothing_supposed_is_nothing_said(demo: Branch) -> None:
    found = _whatif(demo, SupposedPast())
    assert (found.supposing, found.supposed) == ("", {})
    assert "Supposing" not in replay_text(found, "USD", "")


def test_a_stricter_limit_never_makes_fewer_hours_lost_where_the_crew_always_goes(
    demo: Branch,
) -> None:
    limits = (supposed_limit(demo, "gust_mph=18"),)
    found = _whatif(demo, SupposedPast(Supposition(limits=limits)))
    for before, after in zip(found.scores["always_go"], found.supposed["always_go"], strict=True):
        assert after.lost_h >= before.lost_h
    assert sum(one.lost_h for one in found.supposed["always_go"]) > sum(
        one.lost_h for one in found.scores["always_go"]
    )


def test_another_crew_costs_its_paid_hours(demo: Branch) -> None:
    found = _whatif(demo, SupposedPast(Supposition(another_like=demo.crews[0].crew)))
    assert len(found.costs("always_go")) == len(found.saved("always_go")) == 3
    assert sum(found.costs("always_go")) > 0


def test_a_boom_costs_its_days_on_roofs(demo: Branch) -> None:
    """By hand: days on roofs times the folder's price of a day, and what crews are paid more."""
    rented = replace(
        demo, equipment=tuple(replace(row, cost_per_day=100.0) for row in demo.equipment)
    )
    assert "boom" in {row.equipment for row in rented.equipment}
    found = _whatif(rented, SupposedPast(lift_method="boom"))
    for cost, before, after in zip(
        found.costs("always_go"), found.scores["always_go"], found.supposed["always_go"],
        strict=True,
    ):  # fmt: skip
        assert cost == pytest.approx(after.paid_cost - before.paid_cost + 100 * after.roof_days)


def test_the_answer_names_what_is_supposed_with_its_interval(demo: Branch) -> None:
    found = _whatif(demo, SupposedPast(shift_start=time(6, 0)))
    text = replay_text(found, "USD", "")
    assert "Supposing shifts from 06:00 on:" in text
    low, high = interval(found.saved("always_go"))
    assert f"({low:+,.0f} to {high:+,.0f})" in text
    told = replay_json(found, "now")
    assert told["supposing"] == "shifts from 06:00 on"
    assert told["supposed"][0]["saves"] == list(found.saved("always_go"))


def test_the_bootstrap_is_about_the_standard_error_of_a_mean() -> None:
    """From outside: 1.645 standard errors for many values of a normal law (any table of it)."""
    import numpy as np

    values = np.random.default_rng(3).normal(10.0, 2.0, 400)
    low, high = interval(list(values))
    half = 1.645 * values.std() / 20
    assert (high - low) / 2 == pytest.approx(half, rel=0.08)
    assert interval([5.0, 5.0]) == (5.0, 5.0)


def test_the_distance_closed_and_the_evenings_seconds_are_told(demo: Branch) -> None:
    three = replace(ASKED, policies=("always_go", "planned", "knowing"), last=date(2026, 3, 27))
    found = replays(demo, replace(three, seeds=2), None)
    money = {name: sum(one.money for one in of) for name, of in found.scores.items()}
    share = (money["always_go"] - money["planned"]) / (money["always_go"] - money["knowing"])
    text = replay_text(found, "USD", "")
    assert f"this program closes {share:.0%} (" in text
    assert "In brackets: 90 % interval over seeds" in text
    assert {name: len(of) for name, of in found.evening_s.items()} == dict.fromkeys(
        three.policies, 2 * found.evenings
    )
    assert any(" 10 evenings." in line for line in evening_lines(found))
    assert "evening_s" not in replay_json(found, "now")
    assert "Of the distance" not in replay_text(
        replace(found, scores={"planned": found.scores["planned"]}), "USD", ""
    )


def test_a_replay_is_drawn_into_one_file_that_asks_nobody(demo: Branch, tmp_path: Path) -> None:
    found = replays(demo, replace(ASKED, policies=("always_go", "cancelled")))
    page = replayed_document(found, "USD")
    assert page.count("<h2>") == 3
    assert 'src="http' not in page
    bars = money_by_policy(found, "USD").data
    sums = [sum(bar.x[n] for bar in bars if bar.type == "bar") for n in range(2)]
    assert sums == pytest.approx(list(bars[-1].x))
    lost = hours_by_policy(found).data[0]
    means = [sum(one.lost_h for one in of) / 3 for of in found.scores.values()]
    assert list(lost.x) == pytest.approx(means)
