"""`crewplan ready` at a terminal, on the demo."""

import json
from subprocess import CompletedProcess

import pytest
from at_a_terminal import crewplan, refused_in_one_line

from crewplan.running.demo import demo_folder


def ready(*words: str) -> CompletedProcess:
    return crewplan("ready", demo_folder(), *words)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--stage", "NOSUCH"), "NOSUCH"),
        (("--from", "tomorrow"), "tomorrow"),
        (("--days", "0"), "days"),
        (("--now", "2026-05-03T18:00:00"), "UTC offset"),
        (("--now", "9999-12-31T23:59:59Z"), "years 1970 to 2199"),
        (("--from", "0001-01-01"), "years 1970 to 2199"),
    ],
)
def test_words_that_are_off_exit_64_with_one_line(words: tuple[str, ...], told: str) -> None:
    done = ready(*words)
    refused_in_one_line(done, told)


def test_a_stage_that_waits_for_its_permit_exits_1_and_names_it() -> None:
    # demo_data/README.md: the permit of J20 is open
    done = ready("--stage", "J20-roof", "--format", "json")
    assert done.returncode == 1
    rows = json.loads(done.stdout)
    assert {(row["holds"], row["state"], row["ready"]) for row in rows} == {
        ("permit", "open", False)
    }
    assert len(rows) == 10
    assert "not for work" in done.stderr


def test_a_stage_with_all_in_hand_exits_0() -> None:
    assert ready("--stage", "J10-roof").returncode == 0


def test_the_calls_of_the_demo_stand_by_money() -> None:
    done = ready("--chase", "--format", "json")
    assert done.returncode == 0
    calls = json.loads(done.stdout)
    money = [call["cost_a_day"] for call in calls]
    assert money == sorted(money, reverse=True)
    assert {"J20", "J21", "J22"} <= {call["job"] for call in calls if call["kind"] == "permit"}
    # demo_data/README.md: M430 arrives on Thursday for two jobs that want it
    assert "M430" in {call["item"] for call in calls}
    assert "J36" in {call["job"] for call in calls if call["kind"] == "customer_confirmed"}


def test_the_csv_has_a_row_for_each_stage_and_day() -> None:
    lines = ready("--format", "csv", "--days", "2").stdout.splitlines()
    assert lines[0].startswith("stage,day,p_ready,ready,holds,state,")
    assert len(lines) % 2 == 1
