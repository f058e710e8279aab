"""Files that would hang, fill or fool a reader: one sentence with what was found and what goes."""

import io
import os
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from folders import base, settings_with, to_workbook
from hostile_books import packed, parts_of, with_text

from crewplan.intake import InputFaults, read_folder, read_own_tables
from crewplan.intake.brought import BroughtFile, kept_name, read_brought

SHEET = "xl/worksheets/sheet1.xml"


def _sentences(path: Path) -> list[str]:
    with pytest.raises(InputFaults) as told:
        read_folder(path)
    return [fault.sentence() for fault in told.value.faults]


@pytest.mark.parametrize("name", ["jobs.csv", "branch.toml", "tables.xlsx", "weather.csv"])
@pytest.mark.parametrize("thing", [os.mkfifo, lambda path: path.symlink_to("/dev/zero")])
def test_a_pipe_or_device_in_a_folder_is_told_and_not_waited_for(
    tmp_path: Path, name: str, thing: Callable[[Path], None]
) -> None:
    folder = base(tmp_path / "b")
    (folder / name).unlink(missing_ok=True)
    thing(folder / name)
    assert _sentences(folder)[0].startswith(f"{name}: it is a pipe or a device; expected ")


def test_a_link_to_a_table_elsewhere_is_read_and_one_to_itself_is_told(tmp_path: Path) -> None:
    folder = base(tmp_path / "b")
    (folder / "jobs.csv").rename(tmp_path / "elsewhere.csv")
    (folder / "jobs.csv").symlink_to(tmp_path / "elsewhere.csv")
    assert read_folder(folder).jobs
    (folder / "jobs.csv").unlink()
    (folder / "jobs.csv").symlink_to("jobs.csv")
    assert _sentences(folder)[0].startswith("jobs.csv: it cannot be opened (Too many levels")


def test_two_files_whose_names_differ_in_their_capitals_only_are_one_table_twice(
    tmp_path: Path,
) -> None:
    folder = base(tmp_path / "b")
    (folder / "Jobs.CSV").write_bytes((folder / "jobs.csv").read_bytes())
    told = _sentences(folder)
    assert told == ["jobs.csv: the table stands in Jobs.CSV too; expected it in one place."]


@pytest.mark.parametrize(
    ("contents", "sentence"),
    [
        (b"PK\x03\x04", "it is a workbook (or another zip archive) under a CSV file's name"),
        ("job,customer\n".encode("utf-16"), "it is saved in UTF-16"),
        (b"job" + b"x" * 1_100_000, "a line is longer than 1,048,576 bytes"),
        (b"job," + b"," * 300 + b"x\n", "row 1: the row has 302 cells; expected at most 256"),
        (b"job\n" + b"\n" * 1_048_576, "row 1048577: it goes on after this row; expected at most"),
        (b"job,customer\nJ1,\xc0\xaf\n", "row 2: it holds a byte that is not UTF-8"),
        (b"job,customer\nJ1,\xed\xa0\x80\n", "row 2: it holds a byte that is not UTF-8"),
    ],
)
def test_what_is_no_table_is_refused_before_it_fills_the_memory(
    tmp_path: Path, contents: bytes, sentence: str
) -> None:
    folder = base(tmp_path / "b")
    (folder / "jobs.csv").write_bytes(contents)
    assert any(sentence in one for one in _sentences(folder))


def test_a_long_weather_line_never_reaches_the_fast_reader(tmp_path: Path) -> None:
    folder = base(tmp_path / "b")
    with (folder / "weather.csv").open("ab") as file:
        file.write(b"2026-05-04T10:00Z,0" + b"," * 2_000_000)
    assert _sentences(folder)[0].startswith("weather.csv: a line is longer than 1,048,576 bytes;")


@pytest.mark.parametrize(
    "line",
    [
        "x = " + "[" * 5_000,
        "shift_h = " + "9" * 5_000,
        "x = 0x" + "f" * 20_000,
        "[" + " " * 40_000,
        "name2 = '" + "x" * 70_000 + "'",
        'requirements = { roof = ["\\u001b"] }',
        'currency = "\\u001b[2J"',
    ],
)
def test_settings_made_to_break_a_reader_give_short_plain_sentences(
    tmp_path: Path, line: str
) -> None:
    text = settings_with("").partition("[")[0]
    told: list[str] = []
    try:
        told = list(read_folder(base(tmp_path / "b", branch=f"{text}\n{line}\n")).warnings)
    except InputFaults as faults:
        told = [fault.sentence() for fault in faults.faults]
    assert told
    assert all(one.isprintable() and len(one) < 700 for one in told)


def test_a_control_character_in_a_cell_is_told_and_never_shown(tmp_path: Path) -> None:
    folder = base(tmp_path / "b")
    jobs = (folder / "jobs.csv").read_text().replace("Invented One", "Inv\x1b[2Jented")
    (folder / "jobs.csv").write_text(jobs)
    (told,) = _sentences(folder)
    assert told.startswith(
        'jobs.csv, row 2, column customer: "Inv\\x1b[2Jented" holds the control character U+001B;'
    )


def test_signs_of_direction_that_come_with_a_pasted_number_are_left_out(tmp_path: Path) -> None:
    folder = base(tmp_path / "b")
    jobs = (folder / "jobs.csv").read_text().replace("Invented One", "\u202aone\u202c \u2067two")
    (folder / "jobs.csv").write_text(jobs)
    assert read_folder(folder).jobs[0].customer == "one two"


def test_ten_thousand_faults_of_a_file_are_told_up_to_a_thousand_and_then_counted(
    tmp_path: Path,
) -> None:
    rows = "".join(f"P{n},x,,,\n" for n in range(10_000))
    told = _sentences(base(tmp_path / "b", absences="person,first_day,last_day,reason\n" + rows))
    own = [one for one in told if one.startswith("absences.csv")]
    assert len(own) == 1_001
    # by hand: a wrong day and an unknown person in each row
    assert own[-1] == "absences.csv: 19,000 further faults are not told."


def _book(tmp_path: Path) -> tuple[Path, dict[str, bytes]]:
    folder = base(tmp_path / "b")
    return folder, parts_of(to_workbook(folder).read_bytes())


def _told_of(folder: Path, book: bytes) -> str:
    (folder / "tables.xlsx").write_bytes(book)
    return _sentences(folder)[0]


def test_a_part_that_unpacks_to_far_more_than_it_is_packed_in_is_not_unpacked(
    tmp_path: Path,
) -> None:
    folder, parts = _book(tmp_path)
    told = _told_of(folder, packed({**parts, "xl/media/a.png": bytes(30_000_000)}))
    assert told.startswith("tables.xlsx: a part of it unpacks from ")
    assert told.endswith("to 30.0 MB; expected at most 150 times as much.")
    told = _told_of(folder, packed({**parts, "xl/styles.xml": bytes(40_000_000)}))
    assert told == "tables.xlsx: a part of it unpacks to 40.0 MB; expected at most 32.0 MB."


def test_an_archive_that_declares_less_than_it_holds_gives_no_byte_more(tmp_path: Path) -> None:
    folder, parts = _book(tmp_path)
    data = bytearray(packed({**parts, "xl/media/a.png": os.urandom(1_000) * 3_000}))
    at = data.index(b"xl/media/a.png", data.index(b"PK\x01\x02")) - 46
    data[at + 24 : at + 28] = (1_000).to_bytes(4, "little")
    assert _told_of(folder, bytes(data)).startswith("tables.xlsx: it cannot be read as a workbook;")


def test_an_archive_of_very_many_parts_is_refused_by_the_size_of_its_list(tmp_path: Path) -> None:
    folder, parts = _book(tmp_path)
    told = _told_of(folder, packed(parts | {f"xl/{n}": b"" for n in range(2_500)}))
    assert told.endswith("parts; expected at most 2,000.")
    told = _told_of(folder, packed(parts | {f"xl/{n:060}": b"" for n in range(12_000)}))
    assert told == "tables.xlsx: it consists of too many parts; expected at most 2,000."


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
@pytest.mark.parametrize("part", [SHEET, "xl/workbook.xml", "[Content_Types].xml", "new.bin"])
def test_no_part_may_declare_entities_whatever_its_encoding(
    tmp_path: Path, part: str, encoding: str
) -> None:
    folder, parts = _book(tmp_path)
    doctype = '<!DOCTYPE a [<!ENTITY a SYSTEM "file:///etc/passwd">]>'
    text = f'<?xml version="1.0" encoding="{encoding}"?>{doctype}<a>&a;</a>'
    told = _told_of(folder, packed({**parts, part: text.encode(encoding)}))
    assert "a part of it declares a document type, which no workbook does" in told


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        ('<row><c r="XFD1"><v>1</v></c></row>', "a row has cells up to column 16,384"),
        ('<row r="4000000000"><c><v>1</v></c></row>', "row 1048577: a sheet goes on after"),
        ("<row>" + '<c r="XFD1"/>' + "</row>" + '<row><c r="XFD2"/></row>' * 2_000, "too large"),
        ("<x/>" * 20_100_000, "it holds more than people can have written"),
    ],
)
def test_a_sheet_that_claims_the_whole_grid_is_left_at_once(
    tmp_path: Path, rows: str, sentence: str
) -> None:
    folder, parts = _book(tmp_path)
    sheet = parts[SHEET].replace(b"</sheetData>", rows.encode() + b"</sheetData>")
    if len(rows) > 1_000_000:  # so that it is not refused for how well it packs
        sheet += b"<!--" + os.urandom(500_000).hex().encode() + b"-->"
    told = _told_of(folder, packed({**parts, SHEET: sheet}))
    assert sentence in told


def test_a_long_text_that_many_cells_share_counts_in_each_of_them(tmp_path: Path) -> None:
    folder, parts = _book(tmp_path)
    rows = ("<row>" + '<c t="s"><v>0</v></c>' * 9 + "</row>") * 100
    sheet = parts[SHEET].replace(b"</sheetData>", rows.encode() + b"</sheetData>")
    told = _told_of(folder, packed(with_text({**parts, SHEET: sheet}, "ab" * 60_000)))
    assert "its sheets hold too much text" in told


def test_a_workbook_with_a_password_or_of_an_older_kind_is_called_so(tmp_path: Path) -> None:
    folder, parts = _book(tmp_path)
    older = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(2_000)
    assert "it is an older workbook, or one with a password" in _told_of(folder, older)
    data = bytearray(packed(parts))
    data[data.index(b"PK\x01\x02") + 8] |= 1
    assert "it has a password" in _told_of(folder, bytes(data))
    odd = packed(parts, zipfile.ZIP_LZMA)
    assert "it is packed as no workbook is" in _told_of(folder, odd)


def test_macros_are_never_looked_at(tmp_path: Path) -> None:
    folder, parts = _book(tmp_path)
    (folder / "tables.xlsx").write_bytes(packed({**parts, "xl/vbaProject.bin": bytes(5_000)}))
    assert read_folder(folder).jobs


def _sent(*files: tuple[str, bytes]) -> list[BroughtFile]:
    return [BroughtFile(name, io.BytesIO(contents)) for name, contents in files]


@pytest.mark.parametrize(
    "name",
    [
        "../../jobs.csv",
        "..\\jobs.csv",
        "C:\\x\\JOBS.csv",
        "/etc/jobs.csv",
        " jobs.csv",
        "jobs.csv ",
    ],
)
def test_a_name_is_only_compared_with_the_tables_names(name: str) -> None:
    assert kept_name(name) == "jobs.csv"


@pytest.mark.parametrize(
    "name",
    ["jobs.csv\0", "jobs (1).csv", "", "..", "con", "crewplan.db", "jobs.csv.exe", "x" * 9_999],
)
def test_any_other_name_is_refused_in_a_short_sentence(tmp_path: Path, name: str) -> None:
    beside = read_own_tables(base(tmp_path / "b"))
    with pytest.raises(InputFaults) as told:
        read_brought(_sent((name, b"a,b\n")), beside)
    (sentence,) = [fault.sentence() for fault in told.value.faults]
    assert "no table has this name" in sentence
    assert sentence.isprintable()
    assert len(sentence) < 400


def test_sent_files_are_kept_in_a_folder_of_their_own_that_is_gone_afterwards(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path / "temporary"))
    (tmp_path / "temporary").mkdir()
    beside = read_own_tables(base(tmp_path / "b"))
    stock = b"item,on_hand\nmid clamp,4\n"
    own = read_brought(_sent(("Stock.CSV", stock)), beside)
    assert own.brought == {"stock"}
    assert own.rows["stock"][0].on_hand == 4
    with pytest.raises(InputFaults):
        read_brought(_sent(("jobs.csv", b"\xff")), beside)
    assert list((tmp_path / "temporary").iterdir()) == []


def test_a_file_that_was_sent_twice_and_no_file_at_all_are_told(tmp_path: Path) -> None:
    beside = read_own_tables(base(tmp_path / "b"))
    for files, words in ((_sent(("a/jobs.csv", b""), ("jobs.csv", b"")), "twice"), ([], "nothing")):
        with pytest.raises(InputFaults) as told:
            read_brought(files, beside)
        assert words in told.value.faults[0].sentence()


def test_a_sent_table_is_held_to_those_that_stand(tmp_path: Path) -> None:
    beside = read_own_tables(base(tmp_path / "b"))
    with pytest.raises(InputFaults) as told:
        read_brought(
            _sent(("people.csv", b"person,crew,role,cost_per_h\nAnn,Gone,lead,40\n")), beside
        )
    sentences = [fault.sentence() for fault in told.value.faults]
    assert (
        'people.csv, row 2, column crew: "Gone" stands in no row of the table crews;'
        in " ".join(sentences)
    )
