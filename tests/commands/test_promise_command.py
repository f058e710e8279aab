"""`crewplan promise` at a terminal, on the demo."""

import json
from functools import cache
from subprocess import CompletedProcess

import pytest
from at_a_terminal import crewplan, refused_in_one_line

from crewplan.intake import read_folder
from crewplan.model.branch import Branch
from crewplan.publishing.promise_text import (
    PROMISE_COLUMNS,
    promise_cells,
    promise_json,
    promise_text,
)
from crewplan.publishing.skills_text import skill_cells, skill_json, skill_text
from crewplan.running.clock import read_clock
from crewplan.running.demo import demo_folder
from crewplan.running.new_job import Asked
from crewplan.running.promising import outlook_of, promise_of

ASKED = ("--modules", "18", "--pitch", "27", "--authority", "Quillmere Building Desk")


@cache
def demo() -> Branch:
    return read_folder(demo_folder())


def promise(*words: str) -> CompletedProcess:
    return crewplan("promise", demo_folder(), *words)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((), "--modules, --pitch and --authority are needed"),
        (ASKED[:4], "--modules, --pitch and --authority are needed"),
        ((*ASKED, "--outlook"), "about no new job"),
        ((*ASKED, "--module", "NOSUCH"), "NOSUCH"),
        ((*ASKED, "--latitude", "46"), "go together"),
        ((*ASKED, "--covering", "thatch"), "thatch"),
        ((*ASKED, "--day", "soon"), "is not a day"),
    ],
)
def test_words_that_are_off_exit_64_with_one_line(words: tuple[str, ...], told: str) -> None:
    done = promise(*words)
    refused_in_one_line(done, told)


def test_a_new_job_gets_its_two_days_and_what_it_stands_behind() -> None:
    done = promise(*ASKED, "--in-hand", "kit", "--format", "json")
    assert done.returncode == 0
    told = json.loads(done.stdout)
    assert "2026-05-04" < told["half_on"] <= told["likely_on"]
    assert [one["kind"] for one in told["stages"]] == [
        "roof",
        "electrical",
        "inspection",
        "commissioning",
    ]
    assert told["stages"][-1]["done"] == {key: told[key] for key in ("half_on", "likely_on")}
    assert told["behind"]["stages"] > 0
    assert told["clock"] == "set by hand"
    clock = read_clock(demo().settings)
    asked = Asked(18, 27.0, "Quillmere Building Desk", in_hand=("kit",))
    new, answer = promise_of(demo(), clock, asked)
    assert promise_json(new, answer, 0, clock.kind) == told
    text = promise_text(new, answer, clock.mark)
    assert f"Done by {told['half_on']} with 50 % chance, by {told['likely_on']} with 80 %" in text
    assert text.startswith(clock.mark)
    last = dict(zip(PROMISE_COLUMNS, promise_cells(answer)[-1], strict=True))
    assert (last["stage"], last["done_likely_on"]) == ("whole job", told["likely_on"])


def test_a_kit_that_nobody_has_a_record_of_gives_no_date_and_exit_1() -> None:
    """The demo's store lacks kit for one more roof, and no past order says how long one takes."""
    done = promise(*ASKED)
    assert done.returncode == 1
    assert "No date: there is no record of kit" in done.stdout


def test_twelve_weeks_are_told_by_skill() -> None:
    done = promise("--outlook", "--format", "json")
    assert done.returncode == 0
    told = json.loads(done.stdout)
    skills = [row["skill"] for row in told["weeks"] if row["from_on"] == "2026-05-04"]
    assert skills == ["all work", "lead", "boom_operator", "electrician", "roof_anchor"]
    assert len({row["from_on"] for row in told["weeks"]}) == 12
    first = told["weeks"][0]
    assert first["wanted_h"] == first["new_h"]
    assert 0 < first["left_h"] < first["wanted_h"]
    clock = read_clock(demo().settings)
    outlook = outlook_of(demo(), clock)
    assert skill_json(outlook, 0, clock.kind) == told
    assert f"{first['wanted_h']:,.0f} of {first['there_h']:,.0f} h" in skill_text(outlook, "")
    assert len(skill_cells(outlook)) == len(told["weeks"])
