"""Tables for other programs: the same cells as CSV, or as sheets of a workbook."""

import io
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from crewplan.intake.grammar import marked
from crewplan.model.characters import visible
from crewplan.publishing.csv_text import csv_text

_WIDEST = 60
"""Characters; a longer text is shown over its neighbours."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """One table. Cells are texts; outside `words` they are numbers, or empty."""

    name: str
    """At most 31 letters, digits and blanks, as sheets may be called."""
    columns: tuple[str, ...]
    rows: Sequence[tuple[str, ...]]
    words: frozenset[str]
    """Columns of text."""


def cell_text(cell: object) -> str:
    """Numbers with all of their digits; nothing for None."""
    if cell is None:
        return ""
    return f"{cell.normalize():f}" if isinstance(cell, Decimal) else str(cell)


def sheet_csv(sheet: Sheet) -> str:
    """A header row and the rows."""
    return csv_text(sheet.columns, sheet.rows)


def sheets_xlsx(sheets: Sequence[Sheet]) -> bytes:
    """A workbook. Numbers are numbers; no text of it is ever run as a formula."""
    from openpyxl import Workbook
    from openpyxl.styles import Font

    book = Workbook()
    book.remove(book.active)
    for sheet in sheets:
        page = book.create_sheet(sheet.name)
        page.append(list(sheet.columns))
        for cell in page[1]:
            cell.font = Font(bold=True)
        # by number: a page looks through all of its cells to tell its last row
        for number, row in enumerate(sheet.rows, start=2):
            for at, (column, text) in enumerate(zip(sheet.columns, row, strict=True), start=1):
                _fill(page.cell(number, at), text, is_text=column in sheet.words)
        page.freeze_panes = "B2"
        for at, column in enumerate(page.columns, start=1):
            longest = max(len(str(cell.value or "")) for cell in column)
            page.column_dimensions[page.cell(1, at).column_letter].width = min(longest + 2, _WIDEST)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _fill(cell: Any, text: str, *, is_text: bool) -> None:
    if not text:
        return
    if not is_text:
        cell.value = Decimal(text)
        return
    cell.value = marked(visible(text))
    cell.data_type = "s"
