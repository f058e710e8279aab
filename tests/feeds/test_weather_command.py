"""`crewplan weather` from a server on the loopback interface into a folder, or a database."""

import json
import re
import shutil
import sqlite3
import sys
from datetime import UTC, datetime
from pathlib import Path
from types import SimpleNamespace

import pytest
from feed_server import BASE, Reply, kept, moved

from crewplan.cli import main
from crewplan.intake import InputFaults, read_folder
from crewplan.intake.feeds.asking import asker

NOW = datetime.now(UTC).replace(minute=0, second=0, microsecond=0)
_BASE_FOLDER = Path(__file__).parents[1] / "faults" / "_base"


@pytest.fixture(autouse=True)
def short_pauses(monkeypatch):
    monkeypatch.setitem(asker.__kwdefaults__, "backoff_s", 0.01)


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


def _reply(name, **more):
    return [Reply(moved(kept(name), NOW - BASE), **more)]


@pytest.fixture
def folder(tmp_path, server):
    """Two jobs and two crews within 25 km of the branch, so that one place serves them all."""
    made = tmp_path / "branch"
    shutil.copytree(_BASE_FOLDER, made)
    settings = (made / "branch.toml").read_text(encoding="utf-8")
    settings = settings.replace("weather_members = 2\n", "")
    settings += f'\n[feed]\nkind = "grid"\nhost = "{server.host}"\ncontact = "a@example.com"\n'
    settings += "spacing_km = 25\n"
    (made / "branch.toml").write_text(settings, encoding="utf-8")
    point = "/points/46.8,-92.1"
    server.replies |= {
        point: _reply("points"),
        "/gridpoints/DLH/94,69": _reply("grid_calm"),
        "/alerts/active": _reply("alerts_none"),
    }
    return made


def test_one_place_is_asked_for_once_whatever_the_number_of_jobs_there(crewplan, folder, server):
    done = crewplan("weather", folder)
    assert done.returncode == 0, done.stderr
    assert server.paths() == ["/points/46.8,-92.1", "/gridpoints/DLH/94,69", "/alerts/active"]
    assert done.stdout.startswith("Forecast of 1 place, made ")
    branch = read_folder(folder)
    assert [place.place for place in branch.weather.places] == ["46.8000 -92.1000"]
    assert not [line for line in branch.warnings if "weather" in line and "members" not in line]


def test_a_second_run_minutes_later_asks_for_nothing_again(crewplan, folder, server):
    crewplan("weather", folder)
    done = crewplan("weather", folder)
    assert done.returncode == 0, done.stderr
    assert len(server.asked) == 3


def test_the_former_forecast_is_kept_beside_it_and_is_no_table(crewplan, folder):
    before = (folder / "weather.csv").read_text(encoding="utf-8")
    done = crewplan("weather", folder)
    assert "weather.csv is written, the former one kept beside it" in done.stdout
    (former,) = folder.glob("weather.*.csv")
    assert former.read_text(encoding="utf-8") == before
    assert former.name not in crewplan("check", folder).stderr


def test_fewer_members_than_the_settings_ask_for_are_told_and_leave_all_unknown(crewplan, folder):
    settings = (folder / "branch.toml").read_text(encoding="utf-8")
    (folder / "branch.toml").write_text("weather_members = 21\n" + settings, encoding="utf-8")
    done = crewplan("weather", folder)
    assert done.returncode == 0
    assert "1 of the 21 members that weather_members asks for" in done.stderr
    assert "go" not in set(crewplan("gate", folder, "--format", "csv").stdout.split(","))


def test_alerts_and_terms_are_told(crewplan, folder, server):
    server.replies["/alerts/active"] = _reply("alerts_wind")
    told = crewplan("weather", folder).stderr
    assert "US National Weather Service" in told
    assert "public alert in force: Wind Advisory" in told


@pytest.mark.parametrize(
    "reply", [Reply({}, 500), Reply(b"<p>", 200, "text/html"), Reply(kept("problem"), 200)]
)
def test_without_a_forecast_nothing_is_written_and_the_exit_code_is_3(
    crewplan, folder, server, reply
):
    before = (folder / "weather.csv").read_bytes()
    server.replies["/gridpoints/DLH/94,69"] = [reply]
    done = crewplan("weather", folder)
    assert done.returncode == 3
    assert "nothing was written" in done.stderr.splitlines()[-1]
    assert (folder / "weather.csv").read_bytes() == before
    assert not list(folder.glob("weather.*.csv"))


def test_an_older_forecast_never_takes_the_place_of_a_newer_one(crewplan, folder, server):
    crewplan("weather", folder)
    (folder / ".feed_answers.sqlite").unlink()
    server.replies["/gridpoints/DLH/94,69"] = _reply("grid_old")
    done = crewplan("weather", folder)
    assert done.returncode == 3
    assert "is older than the one at hand" in done.stderr


def test_a_forecast_too_old_for_the_gate_says_so_and_the_gate_says_unknown(
    crewplan, folder, server
):
    server.replies["/gridpoints/DLH/94,69"] = _reply("grid_old")
    (folder / "weather.csv").write_text("valid_at,member\n", encoding="utf-8")
    done = crewplan("weather", folder)
    told = re.search(r"made ([\d.]+) h ago", done.stdout)
    age_h = 72 + (datetime.now(UTC) - NOW).total_seconds() / 3600
    assert told is not None
    assert float(told[1]) == pytest.approx(age_h, abs=0.1)
    assert "too old for the gate (12 h)" in done.stdout
    assert "go" not in set(crewplan("gate", folder, "--format", "csv").stdout.split(","))


def test_when_the_server_is_down_the_kept_answer_stands_in_with_its_age(crewplan, folder, server):
    crewplan("weather", folder)
    # an hour later, by the kept answers' own clock
    with sqlite3.connect(folder / ".feed_answers.sqlite") as kept_answers:
        kept_answers.execute("update responses set expires = expires - 90000")
        for key, value in kept_answers.execute("select key, value from responses").fetchall():
            told = json.loads(value)
            told["expires"] = told["created_at"]
            kept_answers.execute(
                "update responses set value = ? where key = ?", (json.dumps(told), key)
            )
    for queue in server.replies.values():
        queue[:] = [Reply({}, 503)]
    done = crewplan("weather", folder)
    assert done.returncode == 0, done.stderr
    assert "no answer: the forecast of" in done.stderr
    assert "UTC is taken in its place" in done.stderr


def test_a_table_that_people_bring_is_not_fetched(crewplan, folder):
    settings = (folder / "branch.toml").read_text(encoding="utf-8")
    (folder / "branch.toml").write_text(settings.partition("[feed]")[0], encoding="utf-8")
    done = crewplan("weather", folder)
    assert done.returncode == 64
    assert "yours to bring" in done.stderr


def test_a_database_gets_it_as_a_version_that_a_later_import_leaves(crewplan, folder):
    crewplan("import", folder, "--accept")
    done = crewplan("weather", folder, "--by", "Ann")
    assert done.returncode == 0, done.stderr
    assert done.stdout.rstrip().endswith(": version 2.")
    assert "it is the one at hand already" in crewplan("weather", folder).stdout
    again = crewplan("import", folder, "--accept")
    assert "Nothing has changed" in again.stdout
    out = folder.parent / "out"
    crewplan("export", folder, "--out", out)
    assert "46.8000 -92.1000" in (out / "weather.csv").read_text(encoding="utf-8")
    settings = (out / "branch.toml").read_text(encoding="utf-8")
    assert 'kind = "grid"' in settings
    assert "key" not in settings


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ('kind = "grid"\n', "feed.contact"),
        ('kind = "ensemble"\ncontact = "a@example.com"\n', "feed.host"),
        ('kind = "grid"\ncontact = "a@example.com"\nhost = "http://example.com"\n', "feed.host"),
        ('kind = "grid"\ncontact = "a@example.com"\nhost = "https://u:p@x.org"\n', "feed.host"),
        ('kind = "grid"\ncontact = "a\\nb"\n', "feed.contact"),
        ('kind = "oracle"\ncontact = "a@example.com"\n', "feed.kind"),
    ],
)
def test_settings_that_no_provider_could_answer_are_faults(folder, line, told):
    settings = (folder / "branch.toml").read_text(encoding="utf-8").partition("[feed]")[0]
    (folder / "branch.toml").write_text(f"{settings}[feed]\n{line}", encoding="utf-8")
    with pytest.raises(InputFaults) as faults:
        read_folder(folder)
    assert told in faults.value.faults[0].sentence()
