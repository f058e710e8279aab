"""`crewplan whatif` and `crewplan diff` at a terminal, on the demo."""

import csv
import io
import json
from subprocess import CompletedProcess

import pytest
from at_a_terminal import crewplan, refused_in_one_line

from crewplan.running.demo import demo_folder


def on_demo(command: str, *words: str) -> CompletedProcess:
    return crewplan(command, demo_folder(), *words)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((), "nothing is supposed"),
        (("--stage", "J10-roof"), "go together"),
        (("--crew", "Birch"), "--stage"),
        (("--stage", "NOSUCH", "--day", "2026-05-07"), "NOSUCH"),
        (("--stage", "J10-roof", "--day", "2026-05-07", "--crew", "NOSUCH"), "NOSUCH"),
        (("--without", "crew", "NOSUCH"), "NOSUCH"),
        (("--without", "truck", "Birch"), "truck"),
        (("--limit", "gust_mph=60"), "looser"),
        (("--limit", "gust"), "gust_mph=22"),
    ],
)
def test_words_that_are_off_exit_64_with_one_line(words: tuple[str, ...], told: str) -> None:
    done = on_demo("whatif", *words)
    refused_in_one_line(done, told)


def test_a_crew_away_costs_and_names_what_moves_and_whom_to_tell() -> None:
    done = on_demo("whatif", "--without", "crew", "Alder", "--seconds", "5")
    assert done.returncode == 0
    assert "Suppose that crew Alder is away." in done.stdout
    assert "To be told of another day" in done.stdout
    assert "not for work" in done.stdout


def test_a_stage_without_its_permit_cannot_be_forced_and_exits_1() -> None:
    # demo_data/README.md: the permit of J20 is open
    done = on_demo("whatif", "--stage", "J20-roof", "--day", "2026-05-07", "--format", "json")
    assert done.returncode == 1
    answer = json.loads(done.stdout)
    assert answer["possible"] is False
    assert "permit" in answer["reasons"][0]["detail"]
    assert answer["clock"] == "set by hand"


def test_the_difference_to_the_published_plan_names_every_stage_once() -> None:
    done = on_demo("diff", "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(done.stdout)))
    assert len({row["stage"] for row in rows}) == len(rows) > 0
    told = json.loads(on_demo("diff", "--format", "json").stdout)
    assert {row["stage"] for row in rows} == {move["stage"] for move in told["moves"]}
    assert done.returncode == int(any(move["after"] is None for move in told["moves"]))


def test_a_repair_keeps_what_still_stands_of_the_published_plan() -> None:
    moves = json.loads(on_demo("diff", "--repair", "--format", "json").stdout)["moves"]
    afresh = json.loads(on_demo("diff", "--format", "json").stdout)["moves"]

    def published(rows: list[dict[str, object]]) -> set[object]:
        return {row["stage"] for row in rows if row["before"] is not None}

    assert published(moves) <= published(afresh)
    repaired = json.loads(on_demo("plan", "--repair", "--format", "json").stdout)
    assert repaired["rule_of_thumb"] is None
    assert repaired["bound"] <= repaired["objective"]
    together = crewplan("plan", demo_folder(), demo_folder().parent, "--repair")
    refused_in_one_line(together, "--repair")


@pytest.mark.parametrize(
    "words", [("--seconds", "10"), ("--gap", "0.002"), ("--seed", "0"), ("--search-steps", "5")]
)
def test_a_repair_refuses_what_only_a_whole_search_hears(words: tuple[str, str]) -> None:
    """Even at the value that it has anyway: whoever says it expects it to be heard."""
    refused_in_one_line(on_demo("plan", "--repair", *words), words[0])
