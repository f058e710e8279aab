"""`crewplan promise` at a terminal, on the demo."""

import csv
import io
import json
import subprocess
import sys

import pytest

from crewplan.running.demo import demo_folder

ASKED = ("--modules", "18", "--pitch", "27", "--authority", "Quillmere Building Desk")


def promise(*words: str) -> subprocess.CompletedProcess[str]:
    done = subprocess.run(
        [sys.executable, "-m", "crewplan.cli", "promise", str(demo_folder()), *words],
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert "Traceback" not in done.stdout + done.stderr
    return done


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
    assert done.returncode == 64
    assert told in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1
    assert done.stdout == ""


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
    text = promise(*ASKED, "--in-hand", "kit").stdout
    assert f"Done by {told['half_on']} with 50 % chance, by {told['likely_on']} with 80 %" in text
    rows = list(
        csv.DictReader(io.StringIO(promise(*ASKED, "--in-hand", "kit", "--format", "csv").stdout))
    )
    assert rows[-1]["stage"] == "whole job"
    assert rows[-1]["done_likely_on"] == told["likely_on"]


def test_a_kit_that_nobody_has_a_record_of_gives_no_date_and_exit_1() -> None:
    """The demo's store lacks kit for one more roof, and no past order says how long one takes."""
    done = promise(*ASKED)
    assert done.returncode == 1
    assert "No date: there is no record of kit" in done.stdout
    assert json.loads(promise(*ASKED, "--format", "json").stdout)["likely_on"] is None


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
    text = promise("--outlook").stdout
    assert f"{first['wanted_h']:,.0f} of {first['there_h']:,.0f} h" in text
    rows = list(csv.DictReader(io.StringIO(promise("--outlook", "--format", "csv").stdout)))
    assert len(rows) == len(told["weeks"])
