"""`crewplan weather --learn`: kept forecasts against what came, into a table that counts."""

import shutil
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from crewplan.cli import main
from crewplan.intake import read_folder

_BASE_FOLDER = Path(__file__).parents[1] / "faults" / "_base"
FIRST = datetime(2026, 4, 1, tzinfo=UTC)
HEADER = "valid_at,issued_at,member,wind_mps,gust_mps,rain_mm,temperature_c,humidity_pct,thunder"


@pytest.fixture
def crewplan(monkeypatch, capsys):
    def run(*words):
        monkeypatch.setattr(sys, "argv", ["crewplan", *map(str, words)])
        with pytest.raises(SystemExit) as ended:
            main()
        said = capsys.readouterr()
        assert "Traceback" not in said.out + said.err
        return SimpleNamespace(returncode=ended.value.code or 0, stdout=said.out, stderr=said.err)

    return run


def _rows(day, wind, issued):
    at = [FIRST + timedelta(days=day, hours=h) for h in range(24)]
    when = issued.isoformat() if issued else ""
    member = "0" if issued else ""
    return [
        f"{t.isoformat()},{when},{member},{w:.3f},{1.5 * w:.3f},0,12,60,0"
        for t, w in zip(at, wind, strict=True)
    ]


@pytest.fixture
def folder(tmp_path):
    """Fifteen forecasts of a day each, a day ahead, 2 m/s beside what came."""
    made = tmp_path / "branch"
    shutil.copytree(_BASE_FOLDER, made)
    rng, past = np.random.default_rng(3), []
    for day in range(15):
        came = rng.uniform(4, 8, 24)
        past += _rows(day, came, None)
        told = _rows(day, came + rng.choice([-2.0, 2.0], 24), FIRST + timedelta(days=day))
        name = "weather.csv" if day == 14 else f"weather.202604{day + 1:02}T000000Z.csv"
        (made / name).write_text("\n".join([HEADER, *told]) + "\n", encoding="utf-8")
    (made / "weather_past.csv").write_text("\n".join([HEADER, *past]) + "\n", encoding="utf-8")
    return made


def test_kept_forecasts_teach_their_error_and_the_table_counts_from_then_on(crewplan, folder):
    done = crewplan("weather", folder, "--learn")
    assert done.returncode == 0, done.stderr
    assert done.stdout == (
        "forecast_errors.csv is written: 2 of 2 rows have 200 hours or more and count.\n"
    )
    wind, gust = read_folder(folder).forecast_errors
    assert (wind.measure, wind.lead_h, wind.pairs) == ("wind", 24.0, 15 * 24)
    # errors are 2 m/s either way; few months are known, so nothing is drawn to a mean
    assert wind.sd_mps == pytest.approx(2.0, abs=0.1)
    assert wind.skill == 1
    assert gust.sd_mps == pytest.approx(3.0, abs=0.15)
    at = "2026-04-14T20:00:00-05:00"
    told = crewplan("gate", folder, "--now", at, "--day", "2026-04-15").stdout
    assert "error of wind from this branch's record (360 hours)" in told


def test_the_former_record_is_kept_when_it_is_learned_anew(crewplan, folder):
    crewplan("weather", folder, "--learn")
    assert crewplan("weather", folder, "--learn").returncode == 0
    assert len(list(folder.glob("forecast_errors.*.csv"))) == 1
    assert "is no table" not in crewplan("check", folder).stderr


def test_without_past_weather_there_is_nothing_to_learn(crewplan, folder):
    (folder / "weather_past.csv").unlink()
    done = crewplan("weather", folder, "--learn")
    assert done.returncode == 1
    assert "nothing was written" in done.stdout


def test_a_databases_versions_teach_too_and_the_table_waits_for_the_next_import(crewplan, folder):
    crewplan("import", folder, "--accept")
    out = folder.parent / "out"
    out.mkdir()
    done = crewplan("weather", folder, "--learn", "--out", out)
    assert done.returncode == 0, done.stderr
    assert "0 of 2 rows have 200 hours" in done.stdout  # only one version of the forecast so far
    assert "crewplan import takes it into the database" in done.stdout
    assert (out / "forecast_errors.csv").exists()
