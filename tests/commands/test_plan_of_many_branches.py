"""`crewplan plan` of several folders, as a person at a terminal starts it."""

import csv
import io
import json
import shutil

import pytest
from at_a_terminal import crewplan, refused_in_one_line

from crewplan.failures import told
from crewplan.running.demo import demo_folder
from crewplan.running.workers import ClusterFault

SOON = ("--days", 3, "--search-steps", 200, "--now", "2026-05-03T18:00:00-05:00")


@pytest.fixture
def two(tmp_path):
    """The invented company twice, the second with one crew off."""
    folders = [tmp_path / name for name in ("north", "south, old")]
    for folder in folders:
        shutil.copytree(demo_folder(), folder, ignore=shutil.ignore_patterns("*.py", "__pycache__"))
        settings = folder / "branch.toml"
        settings.write_text(settings.read_text("utf-8").split("[demo]")[0], encoding="utf-8")
    away = folders[1] / "absences.csv"
    people = csv.DictReader(io.StringIO((folders[1] / "people.csv").read_text("utf-8")))
    off = "".join(f"{p['person']},2026-05-01,,\n" for p in people if p["crew"] == "Elm")
    away.write_text(away.read_text("utf-8").rstrip("\n") + "\n" + off, encoding="utf-8")
    return folders


def by_folder(done):
    return {line["folder"]: line for line in map(json.loads, done.stdout.splitlines())}


def test_a_cluster_makes_the_plans_that_one_machine_makes(two):
    by_one = [
        json.loads(crewplan("plan", folder, *SOON, "--format", "json").stdout) for folder in two
    ]
    shared = crewplan("plan", *two, *SOON, "--format", "json", "--cluster", "local", "--workers", 2)
    assert shared.returncode in (0, 1)
    found = by_folder(shared)
    assert [found[str(folder)]["plan"] for folder in two] == by_one
    assert by_one[0] != by_one[1]
    assert "2 of 2: " in shared.stderr


def test_a_folder_at_fault_is_told_and_nothing_is_published(two):
    (two[0] / "jobs.csv").unlink()
    before = {path: path.stat().st_mtime_ns for path in two[1].iterdir()}
    done = crewplan("plan", *two, *SOON, "--format", "json", "--publish")
    assert done.returncode == 2
    found = by_folder(done)
    assert "jobs.csv" in found[str(two[0])]["faults"][0]
    assert found[str(two[1])]["plan"]["placements"]
    assert "Nothing was published" in done.stderr
    assert {path: path.stat().st_mtime_ns for path in two[1].iterdir()} == before


def test_all_branches_are_published_and_a_table_says_whose_each_row_is(two):
    done = crewplan("plan", *two, *SOON, "--format", "csv", "--publish")
    assert done.returncode in (0, 1)
    rows = list(csv.DictReader(io.StringIO(done.stdout)))
    for folder in two:
        kept = list(csv.DictReader(io.StringIO((folder / "plan.csv").read_text("utf-8"))))
        assert [{k: v for k, v in row.items() if k != "folder"} for row in rows
                if row["folder"] == str(folder)] == kept  # fmt: skip
        assert f"{folder}: published." in done.stderr


def test_a_branch_tells_which_crews_of_a_neighbour_come_and_when(two):
    for folder, name in zip(two, ("North", "South"), strict=True):
        settings = folder / "branch.toml"
        words = settings.read_text("utf-8").replace('name = "Invented branch at Quillmere"', "")
        settings.write_text(f'name = "{name}"\ncrew_lent_per_day = 50\n{words}', encoding="utf-8")
    with (two[0] / "jobs.csv").open(encoding="utf-8", newline="") as file:
        jobs = list(csv.DictReader(file))
    with (two[0] / "jobs.csv").open("w", encoding="utf-8", newline="") as file:
        later = csv.DictWriter(file, jobs[0])  # nothing to do in the north before June
        later.writeheader()
        later.writerows(
            row | {"earliest_on": "2026-06-01", "due_on": "2026-06-30", "customer_days": ""}
            for row in jobs
        )
    (two[0] / "plan.csv").unlink()
    away = two[1] / "absences.csv"
    header = away.read_text("utf-8").splitlines()[0]
    people = csv.DictReader(io.StringIO((two[1] / "people.csv").read_text("utf-8")))
    rows = [f"{p['person']},2026-05-01,," for p in people if p["crew"] != "Alder"]
    away.write_text("\n".join([header, *rows, ""]), encoding="utf-8")
    done = crewplan("plan", *two, *SOON, "--format", "json")
    assert done.returncode in (0, 1)
    found = by_folder(done)
    north, south = (found[str(folder)] for folder in two)
    assert north["borrowed"] == []
    assert south["borrowed"]
    for loan in south["borrowed"]:
        assert loan["lender"] == str(two[0])
        there = [p for p in south["plan"]["placements"] if p["crew"] == loan["crew"]]
        days = {day for p in there for day, _ in p["cells"]}
        assert loan["crew"] == f"{loan['own_name']} of North"
        assert days == set(loan["days"])
        at_home = [p for p in north["plan"]["placements"] if p["crew"] == loan["own_name"]]
        assert not days & {day for p in at_home for day, _ in p["cells"]}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("north", "north"), "a branch is named twice"),
        (("north", "--cluster", "office:8786"), "expected local, or tcp://"),
        (("north", "south", "--workers", 2), "--workers goes with --cluster local"),
    ],
)
def test_words_that_are_off_are_refused(words, said):
    refused_in_one_line(crewplan("plan", *words), said)


def test_a_cluster_that_fails_exits_3_with_its_sentence():
    assert told(ClusterFault("the cluster was lost while it worked")) == (
        ("the cluster was lost while it worked",),
        3,
    )
