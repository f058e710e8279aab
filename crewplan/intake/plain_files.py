"""A file before it is read: that it is one, what its first bytes say it is, and how long it is."""

import stat
from collections.abc import Iterator
from pathlib import Path

from crewplan.intake.file_limits import CELL_CHARACTERS, LINE_BYTES, TableLimits
from crewplan.intake.raw_table import UnreadableTable

CSV = "text saved as CSV in UTF-8"
_SIGNS = (
    (b"PK\x03\x04", "it is a workbook (or another zip archive) under a CSV file's name"),
    (b"\xd0\xcf\x11\xe0", "it is an older workbook under a CSV file's name"),
    (b"\xff\xfe", "it is saved in UTF-16"),
    (b"\xfe\xff", "it is saved in UTF-16"),
    (b"\x1f\x8b", "it is packed with gzip"),
)
_BLOCK = LINE_BYTES


def mb(count: int) -> str:
    """A size for people."""
    return f"{count / 1e6:,.1f} MB" if count >= 100_000 else f"{count:,} bytes"


def check_file(path: Path, most_bytes: int, expected: str) -> None:
    """Refuse what is no file (a pipe would be waited for without end), and what is too large.

    Raises:
        UnreadableTable: it is refused, or cannot be looked at.
    """
    try:
        found = path.stat()
    except OSError as error:
        raise UnreadableTable(f"it cannot be opened ({error.strerror})", expected) from None
    if stat.S_ISDIR(found.st_mode):
        raise UnreadableTable("it is a folder", expected)
    if not stat.S_ISREG(found.st_mode):
        raise UnreadableTable("it is a pipe or a device", expected)
    if found.st_size > most_bytes:
        raise UnreadableTable(f"it has {mb(found.st_size)}", f"at most {mb(most_bytes)}")


def _blocks(path: Path) -> Iterator[bytes]:
    with path.open("rb") as file:
        while block := file.read(_BLOCK):
            yield block


def _ends(block: bytes) -> tuple[int, int]:
    """Where the first line of a block ends, and where its last one begins; -1: it has no end."""
    firsts = [at for at in (block.find(b"\n"), block.find(b"\r")) if at >= 0]
    return min(firsts, default=-1), max(block.rfind(b"\n"), block.rfind(b"\r"))


def check_csv(path: Path, limits: TableLimits) -> None:
    """Refuse a file that is no CSV text, or that has a line that no person wrote.

    The whole file is looked at in blocks, which takes about a second a gigabyte.

    Raises:
        UnreadableTable: it is refused, or cannot be looked at.
    """
    check_file(path, limits.bytes, "a CSV file")
    running = 0
    try:
        for number, block in enumerate(_blocks(path)):
            if number == 0:
                for sign, problem in _SIGNS:
                    if block.startswith(sign):
                        raise UnreadableTable(problem, CSV)
            if b"\0" in block:
                raise UnreadableTable("it is not a text file", CSV)
            first, last = _ends(block)
            running += len(block) if first < 0 else first
            if running > LINE_BYTES:
                problem = f"a line is longer than {LINE_BYTES:,} bytes"
                raise UnreadableTable(problem, "a line a row, with cells that people can read")
            if first >= 0:
                running = len(block) - last - 1
    except OSError as error:
        raise UnreadableTable(f"it cannot be opened ({error.strerror})", "a CSV file") from None


def check_cell(text: str, row: int | None) -> None:
    """Refuse a cell that no person can read.

    Raises:
        UnreadableTable: it is too large.
    """
    if len(text) > CELL_CHARACTERS:
        problem = f"a cell is larger than {CELL_CHARACTERS:,} characters"
        raise UnreadableTable(problem, "a cell that people can read", row)
