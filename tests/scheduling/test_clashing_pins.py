"""Pins that contradict each other: the fewest of them, each needed, told in one sentence."""

import json
import shutil
from dataclasses import replace
from datetime import date, datetime

import pytest
from at_a_terminal import crewplan
from hypothesis import given, settings
from hypothesis import strategies as st
from tiny_choices import at, choose, to_place

from crewplan.intake import read_folder
from crewplan.model.placement import Keep
from crewplan.model.plan_row import PlanRow
from crewplan.publishing.plan_json import plan_json
from crewplan.publishing.plan_text import plan_text
from crewplan.publishing.why_text import why_json, why_text
from crewplan.running.clock import read_clock
from crewplan.running.demo import demo_folder
from crewplan.running.pins import pins_that_clash
from crewplan.running.week import Week, plan_week
from crewplan.scheduling.clashing_pins import can_stay, clashing_pins


def pinned(stage: str, crew: str, start: int, **changes):
    return to_place(stage, keep=Keep(crew, start, pinned=True), **changes)


def test_pins_that_can_all_stay_do_not_clash() -> None:
    choices = choose(
        [pinned("S1", "North", 0), pinned("S2", "North", 1)],
        [at("S1", "North", 0), at("S2", "North", 1)],
    )
    assert clashing_pins(choices) is None
    assert clashing_pins(choose([to_place("S1")], [at("S1", "North", 0)])) is None


def test_two_of_three_pins_on_one_crew_s_half_day_are_named_and_the_third_is_not() -> None:
    choices = choose(
        [pinned("S1", "North", 0), pinned("S2", "South", 0), pinned("S3", "North", 0)],
        [at("S1", "North", 0), at("S2", "South", 0), at("S3", "North", 0)],
    )
    clash = clashing_pins(choices)
    assert clash is not None
    assert clash.stages == ("S1", "S3")
    day = choices.horizon.days[0].isoformat()
    assert clash.told == (
        f"S1 (North, {day} am, pinned) and S3 (North, {day} am, pinned) cannot all stay there: "
        "the crews that may are taken: North (S1)"
    )


def test_a_pin_before_what_it_follows_clashes_with_the_pin_of_that() -> None:
    choices = choose(
        [pinned("S1", "North", 2), pinned("S2", "South", 1, after=("S1",))],
        [at("S1", "North", 2), at("S1", "North", 0), at("S2", "South", 1)],
    )
    clash = clashing_pins(choices)
    assert clash is not None
    assert clash.stages == ("S1", "S2")
    assert "has not ended in time: S1" in clash.told


def test_a_pin_that_nothing_before_it_can_make_room_for_stands_alone() -> None:
    choices = choose(
        [to_place("S1"), pinned("S2", "South", 0, after=("S1",))],
        [at("S1", "North", 0), at("S2", "South", 0)],
    )
    clash = clashing_pins(choices)
    assert clash is not None
    assert clash.stages == ("S2",)
    assert "S2 (South" in clash.told
    assert "cannot stay there" in clash.told


def test_of_a_frozen_place_and_two_pins_by_hand_the_pins_are_told() -> None:
    """All three want one crew's half-day; any two contradict each other."""
    frozen = to_place("S0", keep=Keep("North", 0, pinned=False))
    choices = choose(
        [frozen, pinned("S1", "North", 0), pinned("S2", "North", 0)],
        [at(stage, "North", 0) for stage in ("S0", "S1", "S2")],
    )
    clash = clashing_pins(choices)
    assert clash is not None
    assert clash.stages == ("S1", "S2")


@given(
    st.lists(
        st.tuples(st.sampled_from("NS"), st.integers(0, 3), st.booleans()), min_size=2, max_size=6
    )
)
@settings(max_examples=40, deadline=None)
def test_each_pin_of_the_set_is_needed(pins: list[tuple[str, int, bool]]) -> None:
    """Any pins of two crews, some after the one before them in the list."""
    crews = {"N": "North", "S": "South"}
    stages, places = [], []
    for number, (crew, start, follows) in enumerate(pins):
        after = (f"S{number - 1}",) if follows and number else ()
        stages.append(pinned(f"S{number}", crews[crew], start, after=after))
        places.append(at(f"S{number}", crews[crew], start))
    choices = choose(stages, places)
    names = [stage.stage for stage in stages]
    clash = clashing_pins(choices)
    assert (clash is None) == can_stay(choices, names, "cp-sat")
    if clash is not None:
        assert not can_stay(choices, clash.stages, "cp-sat")
        for one in clash.stages:
            rest = [stage for stage in clash.stages if stage != one]
            assert not rest or can_stay(choices, rest, "cp-sat")


@pytest.fixture(scope="module")
def folder_with_a_clash(tmp_path_factory):
    """The demo with two roofs pinned to one crew's Thursday; its clock is given by hand."""
    folder = tmp_path_factory.mktemp("pins") / "demo"
    shutil.copytree(demo_folder(), folder, ignore=shutil.ignore_patterns("*.py", "__pycache__"))
    text = (folder / "branch.toml").read_text(encoding="utf-8")
    (folder / "branch.toml").write_text(text[: text.index("# The clock")], encoding="utf-8")
    (folder / "plan.csv").write_text(
        "stage,part,crew,start_on,start_half,half_days,pinned\n"
        "J27-roof,1,Alder,2026-05-07,am,3,yes\n"
        "J19-roof,1,Birch,2026-05-07,am,3,yes\n"
        "J28-roof,1,Alder,2026-05-07,pm,3,yes\n",
        encoding="utf-8",
    )
    return folder


NOW = "2026-05-03T18:00:00-05:00"
TOLD = (
    "J27-roof (Alder, 2026-05-07 am, pinned) and J28-roof (Alder, 2026-05-07 pm, pinned) cannot "
    "all stay there: the crews that may are taken: Alder (J27-roof); in use that day: boom "
    "(J27-roof)"
)


def test_check_warns_of_pins_that_clash_in_one_sentence(folder_with_a_clash) -> None:
    done = crewplan("check", folder_with_a_clash, "--now", NOW)
    assert done.returncode == 0
    assert f"warning: {TOLD}" in done.stderr


@pytest.fixture(scope="module")
def week(folder_with_a_clash) -> Week:
    branch = read_folder(folder_with_a_clash)
    clock = read_clock(branch.settings, datetime.fromisoformat(NOW))
    return plan_week(branch, clock, seconds=1)


def test_plan_tells_the_clash_as_text_and_as_json(week: Week) -> None:
    told = json.loads(json.dumps(plan_json(week.plan, "now")))
    assert told["clashing_pins"] == {"stages": ["J27-roof", "J28-roof"], "told": TOLD}
    assert f"\n{TOLD}.\n" in plan_text(week.branch, week.plan, "")


def test_why_tells_it_of_the_stages_that_clash_and_of_no_other(week: Week) -> None:
    for stage, tells in (("J28-roof", True), ("J19-roof", False)):
        answer = week.why(stage, seconds=1)
        assert (f"{TOLD}." in why_text(week.branch, week.plan.horizon, answer, "")) == tells
        assert bool(why_json(week.plan.horizon, answer, "now")["clashing_pins"]) == tells


def test_one_published_row_or_none_is_not_looked_into() -> None:
    branch = read_folder(demo_folder())
    clock = read_clock(branch.settings)
    one = (PlanRow("J27-roof", "Alder", date(2026, 5, 7), pinned=True),)
    assert pins_that_clash(replace(branch, plan=one), clock) == ""
    assert pins_that_clash(branch, clock) == ""
