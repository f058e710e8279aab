"""How large a file may be: sizes that no real branch reaches, and that a machine can still read.

The largest branch that is measured has 400,000 rows of hours and 7.4 million of weather.
All are assumed; a row holds 50 to 100 bytes in most tables.
"""

from dataclasses import dataclass

_MB = 1_000_000


@dataclass(frozen=True, slots=True)
class TableLimits:
    """Of one CSV file."""

    bytes: int
    rows: int
    cells: int
    """Rows times columns of the header."""


TABLE = TableLimits(200 * _MB, 1_048_576, 30_000_000)
"""As many rows as a spreadsheet holds."""
WEATHER = TableLimits(2_000 * _MB, 20_000_000, 300_000_000)

COLUMNS = 256
LINE_BYTES = 1_048_576
CELL_CHARACTERS = 131_072
"""What Python's csv reader takes."""

SETTINGS_BYTES = 65_536

WORKBOOK_BYTES = 64 * _MB
PARTS = 2_000
"""Entries of the zip archive that a workbook is."""
DIRECTORY_BYTES = 1 * _MB
"""The archive's list of its entries."""
SHEET_BYTES = 400 * _MB
"""A sheet, or the table of its texts, unpacked."""
PART_BYTES = 32 * _MB
"""Any other part, unpacked: styles, pictures, what the workbook consists of."""
UNPACKED_BYTES = 600 * _MB
RATIO = 150
"""How much smaller packing makes a part of over a megabyte (sheets: 10 to 50)."""
ELEMENTS = 20_000_000
"""Beginnings and ends of XML elements in all parts: a cell with a value has four."""
SHEET_ROWS = 1_048_576
SHEET_CELLS = 20_000_000
"""Of all sheets, empty ones between filled ones too."""
SHEET_CHARACTERS = 100 * _MB
"""Of all cells: a text that many cells share counts in each."""

SENT_BYTES = 64 * _MB
"""Of all files that are sent to the board at once."""
SENT_FILES = 40

FAULTS_TOLD = 1_000
"""Of one file, one by one; the rest is counted."""
WARNINGS_TOLD = 1_000
CIRCLES_TOLD = 50
SENTENCE_CHARACTERS = 600
NAME_CHARACTERS = 80
"""Of a file, sheet or column in a sentence."""


def limits_of(table: str) -> TableLimits:
    """The limits of a table's CSV file."""
    return WEATHER if table.startswith("weather") else TABLE


def large(count: int) -> str:
    """`200 MB`, `1,048,576`."""
    return f"{count // _MB:,} MB" if count >= _MB and count % _MB == 0 else f"{count:,}"
