"""Workbooks: numbers are numbers, and no text of a table is ever run."""

import io

import pytest
from openpyxl import load_workbook

from crewplan.intake.grammar import marked
from crewplan.publishing.sheets import Sheet, sheet_csv, sheets_xlsx

HOSTILE = ("=1+1", "+cmd|'/C calc'!A0", "-2", "@SUM(A1)", "＝1", "\tx", "a\x1b[2J")


@pytest.mark.parametrize("word", HOSTILE)
def test_a_text_that_a_spreadsheet_would_run_is_text_and_a_number_stays_a_number(word: str) -> None:
    sheet = Sheet(
        "hours by job", ("job", "cost"), [(word, "-12.35"), ("J2", "")], frozenset({"job"})
    )
    (page,) = load_workbook(io.BytesIO(sheets_xlsx([sheet])))
    head, first, second = page.iter_rows()
    assert [cell.value for cell in head] == ["job", "cost"]
    assert first[0].data_type == "s"
    assert not str(first[0].value).startswith(("=", "+", "-", "@", "＝", "\t"))
    if word.isprintable():
        assert first[0].value == marked(word)
    assert (first[1].data_type, first[1].value) == ("n", -12.35)
    assert second[1].value is None
    assert sheet_csv(sheet).splitlines()[-1] == "J2,"


def test_a_workbook_has_a_sheet_a_table_with_all_of_its_rows() -> None:
    sheets = [
        Sheet(name, ("week", "h"), [(f"W{at}", str(at)) for at in range(rows)], frozenset({"week"}))
        for name, rows in (("one", 3), ("none", 0))
    ]
    book = load_workbook(io.BytesIO(sheets_xlsx(sheets)))
    assert book.sheetnames == ["one", "none"]
    assert [page.max_row for page in book] == [4, 1]
