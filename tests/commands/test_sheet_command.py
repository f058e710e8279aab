"""`crewplan sheet` on the invented company."""

import json
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from at_a_terminal import crewplan

from crewplan.running.demo import demo_folder

DEMO = str(demo_folder())
PLACED, LEFT_OUT = "J27-roof", "J20-roof"


def sheet(*words: str | Path, text: bool = True) -> CompletedProcess:
    return crewplan("sheet", *words, text=text)


def test_json_tells_the_load_by_the_take_offs_words_and_the_clock():
    done = sheet(DEMO, PLACED, "--format", "json")
    answer = json.loads(done.stdout)
    assert done.returncode == 0
    assert answer["stage"] == PLACED
    assert answer["load"][0] == {"item": "module", "counted": 18, "spare": 0}
    assert answer["clock"] == "set by hand"
    assert "not for work" in done.stderr
    assert {verdict["clock"] for verdict in answer["gate"]} == {"set by hand"}


@pytest.mark.parametrize(("ending", "begins"), [("pdf", b"%PDF-"), ("html", b"<!doctype html>")])
def test_the_files_ending_says_what_it_is_printed_as(tmp_path, ending, begins):
    out = tmp_path / f"sheet.{ending}"
    done = sheet(DEMO, PLACED, "--out", out)
    assert done.returncode == 0
    assert done.stdout == ""
    assert out.read_bytes().startswith(begins)
    assert [path.name for path in tmp_path.iterdir()] == [out.name]


def test_a_promised_stage_without_a_place_says_so_on_top_and_exits_1():
    done = sheet(DEMO, LEFT_OUT)
    assert done.stdout.startswith("NOT PLACED")
    assert done.returncode == 1


def test_a_pdf_may_go_through_a_pipe():
    assert sheet(DEMO, PLACED, "--format", "pdf", text=False).stdout.startswith(b"%PDF-")


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        ((DEMO, "NOSUCH"), 64, "NOSUCH"),
        ((DEMO, PLACED, "--out", "sheet.docx"), 64, "ends in none of .pdf"),
        ((DEMO, PLACED, "--format", "docx"), 64, "docx"),
        (("nowhere", PLACED), 2, "nowhere"),
        ((DEMO, PLACED, "--days", "2", "--out", "/dev/null/sheet.pdf"), 3, "could not be written"),
    ],
)
def test_what_cannot_be_printed_is_told_in_one_line(words, code, told):
    done = sheet(*words)
    assert done.returncode == code
    lines = [line for line in done.stderr.splitlines() if not line.startswith("warning")]
    assert told in lines[0]
    assert len(lines) == 1
