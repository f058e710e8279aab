"""`crewplan rates` and `crewplan hours --calibration` at a terminal, on the demo."""

import csv
import io
import json
import shutil
from pathlib import Path

import pytest
from at_a_terminal import crewplan

from crewplan.running.demo import demo_folder

NOW = ("--now", "2026-05-03T18:00:00-05:00")


def own_copy(tmp_path: Path) -> Path:
    folder = tmp_path / "branch"
    shutil.copytree(demo_folder(), folder, ignore=shutil.ignore_patterns("*.py", "__pycache__"))
    settings = folder / "branch.toml"
    settings.write_text(settings.read_text().split("[demo]")[0], encoding="utf-8")
    return folder


def test_a_written_table_counts_in_the_folder_and_is_not_learned_from_twice(tmp_path: Path) -> None:
    folder, fresh = own_copy(tmp_path), tmp_path / "new.csv"
    done = crewplan("rates", folder, "--write", fresh, *NOW, "--format", "json")
    assert done.returncode == 0, done.stderr
    told = {row["step"]: row for row in json.loads(done.stdout)["rates"]}
    rows = list(csv.DictReader(io.StringIO(fresh.read_text(encoding="utf-8"))))
    assert tuple(rows[0]) == ("step", "driver", "hours_per_unit", "spread", "source")
    for row in rows:
        learned = told[row["step"]]
        assert float(row["hours_per_unit"]) == pytest.approx(learned["learned"], rel=1e-5)
        assert ("learned from" in row["source"]) == (learned["stages"] > 0)
    assert told["battery"]["stages"] == 0  # the demo's record has no battery in it
    assert told["lift"]["low"] < told["lift"]["learned"] < told["lift"]["high"]
    shutil.copy(fresh, folder / "rates.csv")
    assert crewplan("check", folder, *NOW).returncode == 0
    again = json.loads(crewplan("rates", folder, *NOW, "--format", "json").stdout)
    assert again["stages"] == 0
    lines = crewplan("rates", folder, *NOW).stdout.splitlines()
    said = {line.split()[0]: line for line in lines if line.strip()}
    assert "no hours since 2026-05-03: the table's" in said["lift"]
    assert "no hours yet: the table's" in said["battery"]


def test_nothing_is_overwritten_and_nothing_half_written(tmp_path: Path) -> None:
    taken = tmp_path / "rates.csv"
    taken.write_text("mine", encoding="utf-8")
    done = crewplan("rates", demo_folder(), "--write", taken)
    assert (done.returncode, taken.read_text(encoding="utf-8")) == (64, "mine")
    assert "is there already" in done.stderr
    assert crewplan("rates", demo_folder(), "--write", tmp_path / "no" / "r.csv").returncode == 3
    assert [path.name for path in tmp_path.iterdir()] == ["rates.csv"]


def test_without_a_record_there_is_nothing_to_write_and_the_answer_is_no(tmp_path: Path) -> None:
    folder = own_copy(tmp_path)
    (folder / "hours_worked.csv").unlink()
    done = crewplan("rates", folder, "--write", tmp_path / "new.csv", *NOW)
    assert done.returncode == 1
    assert "nothing to learn from" in done.stderr
    assert not (tmp_path / "new.csv").exists()


def test_hours_that_can_hardly_be_right_are_named(tmp_path: Path) -> None:
    folder = own_copy(tmp_path)
    with (folder / "hours_worked.csv").open("a", encoding="utf-8") as file:
        for _ in range(2):
            file.write("2026-05-01,J12-roof,lift,Garrick Umbel,20,,\n")
    done = crewplan("rates", folder, *NOW)
    assert done.returncode == 0
    assert "Garrick Umbel has 4" in done.stdout
    assert "more than 16 h" in done.stdout


def test_the_demos_finished_stages_are_held_against_their_forecasts() -> None:
    done = crewplan("hours", demo_folder(), "--calibration", "--format", "csv")
    assert done.returncode == 0
    rows = list(csv.DictReader(io.StringIO(done.stdout)))
    assert [(row["by"], row["quantile"]) for row in rows] == [
        (by, quantile) for by in ("table", "learned before") for quantile in ("0.5", "0.8", "0.9")
    ]
    # demo_data/made_record.py: DONE has twenty stages
    assert {row["cases"] for row in rows} == {"20"}
    assert crewplan("hours", demo_folder(), "--calibration").stdout.startswith("clock set by hand")


def test_calibration_goes_with_the_whole_record_only() -> None:
    done = crewplan("hours", demo_folder(), "--calibration", "--by", "crew")
    assert done.returncode == 64
    assert "whole record" in done.stderr
