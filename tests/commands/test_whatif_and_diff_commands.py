"""`crewplan whatif` and `crewplan diff` at a terminal, on the demo."""

import csv
import io
import json
import subprocess
import sys

import pytest

from crewplan.running.demo import demo_folder


def crewplan(command: str, *words: str) -> subprocess.CompletedProcess[str]:
    done = subprocess.run(
        [sys.executable, "-m", "crewplan.cli", command, str(demo_folder()), *words],
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert "Traceback" not in done.stdout + done.stderr
    return done


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
    done = crewplan("whatif", *words)
    assert done.returncode == 64
    assert told in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1
    assert done.stdout == ""


def test_a_crew_away_costs_and_names_what_moves_and_whom_to_tell() -> None:
    done = crewplan("whatif", "--without", "crew", "Alder", "--seconds", "5")
    assert done.returncode == 0
    assert "Suppose that crew Alder is away." in done.stdout
    assert "To be told of another day" in done.stdout
    assert "not for work" in done.stdout


def test_a_stage_without_its_permit_cannot_be_forced_and_exits_1() -> None:
    # demo_data/README.md: the permit of J20 is open
    done = crewplan("whatif", "--stage", "J20-roof", "--day", "2026-05-07", "--format", "json")
    assert done.returncode == 1
    answer = json.loads(done.stdout)
    assert answer["possible"] is False
    assert "permit" in answer["reasons"][0]["detail"]
    assert answer["clock"] == "set by hand"


def test_the_difference_to_the_published_plan_names_every_stage_once() -> None:
    done = crewplan("diff", "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(done.stdout)))
    assert len({row["stage"] for row in rows}) == len(rows) > 0
    told = json.loads(crewplan("diff", "--format", "json").stdout)
    assert {row["stage"] for row in rows} == {move["stage"] for move in told["moves"]}
    assert done.returncode == int(any(move["after"] is None for move in told["moves"]))
