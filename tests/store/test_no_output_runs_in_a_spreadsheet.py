"""Hostile words in every text of every table come out of every command as text, and read back."""

import csv
import io
import sys
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path
from typing import NamedTuple

import pytest
from hostile_tables import csv_bytes, rows_of

from crewplan.cli import main
from crewplan.intake import read_own_tables
from crewplan.intake.fields import fields_of
from crewplan.intake.grammar import marked, unmarked
from crewplan.model.tables import BY_NAME
from crewplan.publishing.csv_text import csv_text
from crewplan.running.demo import demo_folder

RUNS = tuple("=+-@\t\r\n＝＋－＠")
HOSTILE = "=cmd|'/C calc'!A0"
_MEANS_SOMETHING = {
    ("requirements", "requirement"), ("lead_times", "kind"), ("rates", "step"), ("factors", "step"),
    ("steps", "step"), ("steps", "after"), ("hours_worked", "step"), ("progress", "step"),
    ("items", "item"), ("items", "takeoff_item"), ("stock", "item"), ("arrivals", "item"),
    ("factors", "condition"), ("limits", "unit"), ("authorities", "asks_for"),
}  # fmt: skip
"""Columns whose words the program knows; another word would be another case."""


class Said(NamedTuple):
    """What a command ended with."""

    returncode: int
    stdout: str
    stderr: str


def _hostile(name: str, text: bytes) -> bytes:
    """Every word of every text column with a formula in front, the same word always the same."""
    kinds = {field.name: field.kind for field in fields_of(BY_NAME[name].row)}
    head, *body = rows_of(text)
    for row in body:
        for at, column in enumerate(head):
            words = row[at].split(";") if kinds.get(column) == "texts" else [row[at]]
            told = kinds.get(column) in ("text", "texts") and row[at] != ""
            if told and (name, column) not in _MEANS_SOMETHING:
                row[at] = ";".join(marked(f"{HOSTILE} {word}") for word in words)
    return csv_bytes([head, *body])


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo with hostile words, its clock by hand, a plan, and a database."""
    to = tmp_path_factory.mktemp("hostile") / "branch"
    to.mkdir()
    for path in demo_folder().glob("*.csv"):
        long = path.stem in ("weather", "weather_past")
        text = path.read_bytes()
        (to / path.name).write_bytes(text if long else _hostile(path.stem, text))
    settings = (demo_folder() / "branch.toml").read_text(encoding="utf-8").partition("[demo]")[0]
    (to / "branch.toml").write_text(settings, encoding="utf-8")
    assert _run("import", str(to), "--accept").returncode == 0
    return to


def _run(*words: str) -> Said:
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err), pytest.MonkeyPatch.context() as patch:
        patch.setattr(sys, "argv", ["crewplan", *words])
        with pytest.raises(SystemExit) as ended:
            main()
    return Said(int(ended.value.code or 0), out.getvalue(), err.getvalue())


def _running_cells(text: str) -> list[str]:
    """Cells that a spreadsheet would run; plain numbers are none."""
    found = []
    for row in csv.reader(io.StringIO(text)):
        for cell in row:
            if cell.startswith(RUNS):
                try:
                    float(cell)
                except ValueError:
                    found.append(cell)
    return found


NOW = ("--now", "2026-05-03T18:00:00-05:00")


CALLS = (
    ("plan", *NOW, "--seconds", "2"),
    ("why", "STAGE", *NOW, "--seconds", "2"),
    ("gate", *NOW),
    ("ready", *NOW),
    ("ready", "--chase", *NOW),
    *(("hours", "--by", by, *NOW) for by in ("job", "crew", "stage")),
    ("history", "STAGE"),
    ("sheet", "STAGE", *NOW),
    ("check", *NOW),
)


@pytest.mark.parametrize("words", CALLS)
def test_no_csv_of_a_command_has_a_cell_that_runs(folder: Path, words: tuple[str, ...]) -> None:
    stage = f"{HOSTILE} J02-roof"
    command, *rest = [stage if word == "STAGE" else word for word in words]
    answer = _run(command, str(folder), *rest, "--format", "csv")
    assert answer.returncode in (0, 1), answer.stderr
    assert len(answer.stdout.splitlines()) > 1
    assert _running_cells(answer.stdout) == []
    if command not in ("gate", "check"):  # these have no word of a table
        assert "'=cmd" in answer.stdout


def test_a_plan_that_was_printed_as_csv_reads_back_under_its_own_names(
    folder: Path, tmp_path: Path
) -> None:
    text = _run("plan", str(folder), *NOW, "--seconds", "2", "--format", "csv").stdout
    for path in folder.glob("*.*"):
        if path.suffix in (".csv", ".toml"):
            (tmp_path / path.name).write_bytes(path.read_bytes())
    (tmp_path / "plan.csv").write_text(text, encoding="utf-8")
    rows = read_own_tables(tmp_path).rows
    stages = {row.stage for row in rows["stages"]}
    assert {row.stage for row in rows["plan"]} <= stages
    assert all(row.crew.startswith("=cmd") for row in rows["plan"])


def test_an_export_has_no_cell_that_runs_and_gives_the_same_tables(
    folder: Path, tmp_path: Path
) -> None:
    assert _run("export", str(folder), "--out", str(tmp_path / "out")).returncode == 0
    for path in (tmp_path / "out").glob("*.csv"):
        text = path.read_text(encoding="utf-8")
        assert _running_cells(text) == [], path.name
        assert not any(word in text for word in (f";{HOSTILE}", f'"{HOSTILE}')), path.name
    assert read_own_tables(tmp_path / "out").rows == read_own_tables(folder).rows


@pytest.mark.parametrize("start", RUNS)
def test_each_way_to_begin_a_formula_is_marked_and_numbers_are_not(start: str) -> None:
    assert csv_text(("a",), [(f"{start}1+1",)]).splitlines()[1].lstrip('"').startswith("'")
    assert unmarked(marked(f"{start}1")) == f"{start}1"
    assert (
        csv_text(("a",), [("-92.1",), ("+3",), (-4.5,), ("-1e-05",)])
        == "a\n-92.1\n+3\n-4.5\n-1e-05\n"
    )
