"""`crewplan hours` on the invented company, held against pandas on its own tables."""

import io
import json
import shutil
from datetime import date
from functools import cache
from pathlib import Path
from subprocess import CompletedProcess

import pandas as pd
import pytest
from at_a_terminal import crewplan, refused_in_one_line

from crewplan.intake import read_folder
from crewplan.model.branch import Branch
from crewplan.model.ledger import By, Span
from crewplan.publishing.csv_text import csv_text
from crewplan.publishing.hours_rows import hours_cells, hours_columns
from crewplan.running.clock import read_clock
from crewplan.running.demo import demo_folder
from crewplan.running.hours_record import hours_record

WHOLE = Span()
COLUMNS = ["worked_h", "productive_h", "lost_h", "earned_h", "cost"]


def hours(*words: str | Path) -> CompletedProcess:
    return crewplan("hours", *words)


@cache
def demo() -> Branch:
    return read_folder(demo_folder())


def told_of(by: By, span: Span = WHOLE) -> pd.DataFrame:
    """The CSV that the command prints, without starting the program anew."""
    record = hours_record(demo(), read_clock(demo().settings), by, span)
    return as_frame(csv_text(hours_columns(by), hours_cells(record.lines)))


def as_frame(text: str) -> pd.DataFrame:
    return pd.read_csv(io.StringIO(text), index_col=0, keep_default_na=False)


def own_tables() -> pd.DataFrame:
    """One row an hour's entry, with its job, crew, week and cost."""
    rows = pd.read_csv(demo_folder() / "hours_worked.csv", keep_default_na=False)
    rows = rows.merge(pd.read_csv(demo_folder() / "people.csv")[["person", "crew", "cost_per_h"]])
    rows = rows.merge(pd.read_csv(demo_folder() / "stages.csv")[["stage", "job"]])
    rows["worked_h"] = rows.hours
    rows["productive_h"] = rows.hours.where(rows.cause == "", 0)
    rows["lost_h"] = rows.hours - rows.productive_h
    rows["cost"] = rows.hours * rows.cost_per_h
    rows["cause"] = rows.cause.replace("", "productive")
    rows["week"] = pd.to_datetime(rows.day).dt.strftime("%G-W%V")
    return rows


@pytest.mark.parametrize("by", ["job", "crew", "cause", "week", "stage"])
def test_every_view_of_the_demo_is_what_pandas_adds_up(by: By) -> None:
    told = told_of(by)
    assert list(told.columns) == COLUMNS
    expected = own_tables().groupby(by)[["worked_h", "productive_h", "lost_h", "cost"]].sum()
    pd.testing.assert_frame_equal(
        told[list(expected.columns)].sort_index(),
        expected,
        check_dtype=False,
        check_index_type=False,
        check_exact=False,
        rtol=0,
        atol=1e-9,
    )


def test_a_span_counts_its_own_days_only_both_ends_included() -> None:
    words = ("--by", "cause", "--from", "2026-04-08", "--to", "2026-04-20", "--format", "csv")
    told = as_frame(hours(demo_folder(), *words).stdout)
    again = told_of("cause", Span(date(2026, 4, 8), date(2026, 4, 20)))
    pd.testing.assert_frame_equal(told, again)
    rows = own_tables()
    rows = rows[(rows.day >= "2026-04-08") & (rows.day <= "2026-04-20")]
    assert told.lost_h.sum() == pytest.approx(rows.lost_h.sum())
    assert told.loc["weather", "lost_h"] == pytest.approx(rows[rows.cause == "weather"].hours.sum())


def test_json_has_indices_margins_and_causes_and_is_marked_by_its_clock() -> None:
    done = hours(demo_folder(), "--format", "json")
    told = json.loads(done.stdout)
    assert told["clock"] == "set by hand"
    assert told["by"] == "job"
    for row in told["rows"]:
        lost = sum(part["cost"] for part in row["lost"])
        assert row["lost_cost"] == pytest.approx(lost)
        for fall in (row["margin"][name] for name in ("planned", "now", "at_completion")):
            spent = sum(fall[name] for name in ("labour", "material", "equipment", "lost"))
            assert fall["price"] - spent == pytest.approx(fall["margin"])
        undefined = row["standing"].pop("undefined")
        assert {name for name, value in row["standing"].items() if value is None} == set(undefined)
    assert told["in_all"]["worked_h"] == pytest.approx(sum(r["worked_h"] for r in told["rows"]))


def test_the_table_tells_hours_standing_and_margin_of_each_job() -> None:
    done = hours(demo_folder())
    assert done.returncode == 0
    assert done.stdout.startswith("clock set by hand: not for work")
    assert "at completion" in done.stdout
    assert "is undefined for" in done.stdout
    assert "margin" in done.stdout


def test_odd_hours_warn_and_are_counted_and_people_who_left_keep_theirs(tmp_path: Path) -> None:
    folder = tmp_path / "branch"
    shutil.copytree(demo_folder(), folder, ignore=shutil.ignore_patterns("*.py", "__pycache__"))
    settings = folder / "branch.toml"
    settings.write_text(settings.read_text().split("[demo]")[0], encoding="utf-8")
    with (folder / "hours_worked.csv").open("a", encoding="utf-8") as file:
        file.write("2026-05-01,J12-roof,,Garrick Umbel,17,,\n")
        file.write("2026-05-01,J01-roof,,Somebody Gone,3,,\n")
        file.write("2026-01-05,J12-roof,,Petra Loxwith,1,,\n")
    done = hours(folder, "--now", "2026-05-03T18:00:00-05:00", "--format", "csv")
    after = pd.read_csv(io.StringIO(done.stdout))
    assert after.worked_h.sum() == pytest.approx(own_tables().hours.sum() + 21)
    asked = [line for line in done.stderr.splitlines() if "is that right?" in line]
    for words in ("more than 16 h", "reported finished", "begins no earlier than"):
        assert any(words in line for line in asked), (words, done.stderr)
    assert "cost is unknown" in done.stderr


def test_a_branch_without_a_record_answers_with_no_lines(tmp_path: Path) -> None:
    folder = tmp_path / "branch"
    shutil.copytree(demo_folder(), folder, ignore=shutil.ignore_patterns("*.py", "__pycache__"))
    settings = folder / "branch.toml"
    settings.write_text(settings.read_text().split("[demo]")[0], encoding="utf-8")
    for name in ("hours_worked.csv", "progress.csv"):
        (folder / name).unlink()
    told = json.loads(hours(folder, "--by", "crew", "--format", "json").stdout)
    assert told["rows"] == []
    assert told["in_all"]["undefined"] == {"hours_index": "no hours were worked"}


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--from", "tomorrow"), "tomorrow"),
        (("--from", "2026-05-02", "--to", "2026-05-01"), "before"),
        (("--by", "moon"), "moon"),
        (("--now", "noon"), "noon"),
    ],
)
def test_words_that_are_off_exit_64_with_one_line(words: tuple[str, ...], told: str) -> None:
    done = hours(demo_folder(), *words)
    refused_in_one_line(done, told)


@pytest.mark.parametrize("words", [("--by", "part"), ("--changes",), ("--margins",)])
def test_a_workbook_has_the_very_cells_of_the_csv(tmp_path: Path, words: tuple[str, ...]) -> None:
    out = tmp_path / "hours.xlsx"
    done = hours(demo_folder(), *words, "--format", "xlsx", "--out", out)
    assert done.returncode == 0, done.stderr
    table = as_frame(hours(demo_folder(), *words, "--format", "csv").stdout)
    book = pd.read_excel(out, index_col=0, keep_default_na=False)
    pd.testing.assert_frame_equal(book, table, check_dtype=False)


@pytest.mark.parametrize(
    "words",
    [
        ("--format", "xlsx"),
        ("--out", "hours.csv"),
        ("--changes", "--margins"),
        ("--margins", "--by", "crew"),
        ("--expected", "--from", "2026-04-01"),
        ("--close", "2026-13"),
    ],
)
def test_words_that_do_not_go_together_are_refused_in_a_sentence(words: tuple[str, ...]) -> None:
    done = hours(demo_folder(), *words)
    assert (done.returncode, done.stdout) == (64, "")
    assert len(done.stderr.splitlines()) == 1
