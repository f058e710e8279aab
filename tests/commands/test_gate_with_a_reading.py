"""`crewplan gate --reading`: wind measured by hand, kept where there is a database."""

import json
import shutil
import sys
from datetime import date
from types import SimpleNamespace

import pytest

from crewplan.cli import main
from crewplan.running.demo import demo_folder
from crewplan.store.connecting import open_store
from crewplan.store.place import place_of
from crewplan.store.recent import readings_on

NOON = ("--now", "2026-05-04T11:30:00-05:00", "--day", "2026-05-04")


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


@pytest.fixture
def folder(tmp_path):
    made = tmp_path / "branch"
    shutil.copytree(demo_folder(), made)
    settings = (made / "branch.toml").read_text(encoding="utf-8")
    # the demo's forecast is of the afternoon before, too old for noon by the default
    older = settings.replace("weather_members", "weather_max_age_h = 24\nweather_members")
    (made / "branch.toml").write_text(older, encoding="utf-8")
    return made


def _lift(done):
    return next(one for one in json.loads(done.stdout) if one["exposure"] == "lift")


def test_a_reading_over_the_limit_shuts_and_says_that_it_is_not_kept_without_a_database(
    crewplan, folder
):
    ask = ("gate", folder, "--crew", "Alder", *NOON, "--format", "json")
    assert _lift(crewplan(*ask))["verdict"] == "go"
    done = crewplan(*ask, "--reading", "gust_mph=31", "--at", "11:20")
    assert done.returncode == 1
    lift = _lift(done)
    assert lift["verdict"] == "no-go"
    assert lift["why"].startswith("measured on the roof at 11:20: gust 31 mph, over 26 mph")
    assert "counts for this answer only" in done.stderr
    assert _lift(crewplan(*ask))["verdict"] == "go"


def test_a_reading_below_the_limit_opens_nothing(crewplan, folder):
    shut = ("gate", folder, "--crew", "Alder", "--day", "2026-05-07", "--format", "json")
    later = ("--now", "2026-05-07T09:50:00-05:00")
    before = json.loads(crewplan(*shut, *later).stdout)
    after = json.loads(crewplan(*shut, *later, "--reading", "gust_mph=2", "--at", "09:40").stdout)
    assert before == after
    assert {one["verdict"] for one in before} & {"no-go", "unknown"}


def test_with_a_database_the_reading_and_the_verdict_are_kept_with_who_and_when(crewplan, folder):
    crewplan("import", folder, "--accept")
    ask = ("gate", folder, "--crew", "Alder", *NOON, "--format", "json")
    done = crewplan(*ask, "--reading", "gust_mph=31", "--at", "11:20", "--by", "Ann")
    assert _lift(done)["verdict"] == "no-go"
    assert "counts for this answer only" not in done.stderr
    again = _lift(crewplan(*ask))
    assert again["verdict"] == "no-go"
    assert "gust 31 mph" in again["why"]


def test_what_a_crew_measured_shuts_the_roof_they_are_on_whoever_asks_and_no_other(
    crewplan, folder
):
    # by the demo's plan.csv Alder is on J27 that day, and Birch on J19
    crewplan("import", folder, "--accept")

    def asked(*where):
        done = crewplan("gate", folder, *where, *NOON, "--format", "json")
        return {one["verdict"] for one in json.loads(done.stdout) if one["exposure"] == "lift"}

    assert asked("--job", "J27") == {"go"}
    crewplan("gate", folder, "--crew", "Alder", *NOON, "--reading", "gust_mph=31", "--at", "11:20")
    assert asked("--job", "J27") == {"no-go"}
    assert asked("--job", "J19") == asked("--crew", "Birch") == {"go"}
    # it is kept with the roof, so that the board shuts it for another crew's lead there too
    with open_store(place_of(folder)).read() as connection:
        kept = [one.reading for one in readings_on(connection, date(2026, 5, 4))]
    assert [(one.crew, one.job) for one in kept] == [("Alder", "J27")]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--crew", "Alder", "--reading", "gust=31"), "gust_mph=24"),
        (("--crew", "Alder", "--reading", "gust_mph=high"), "no number"),
        (("--crew", "Alder", "--reading", "gust_mph=900"), "no wind from 0 to 60 m/s"),
        (("--crew", "Alder", "--reading", "rain_mm=3"), "not understood"),
        (("--crew", "Alder", "--reading", "gust_mph=9", "--at", "noon"), "not a time of day"),
        (("--crew", "Alder", "--reading", "gust_mph=9", "--at", "14:00"), "still to come"),
        (("--crew", "Alder", "--reading", "gust_mph=9", "--at", "09:40+05:00"), "leave the offset"),
        (("--crew", "Alder", "--reading", "gust_mph=9", "--reading", "wind_mph=12"), "wrong way"),
        (("--crew", "Alder", "--reading", "gust_mph=9", "--reading", "gust_mps=4"), "twice"),
        (("--reading", "gust_mph=31"), "where was it measured"),
        (("--crew", "Alder", "--at", "09:40"), "goes with --reading"),
    ],
)
def test_a_reading_that_cannot_be_one_is_told_in_one_line(crewplan, folder, words, told):
    done = crewplan("gate", folder, *NOON, *words)
    assert done.returncode == 64
    assert told in done.stderr.splitlines()[-1]
    assert done.stdout == ""
