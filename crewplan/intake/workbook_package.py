"""A workbook before it is opened: a zip archive of XML parts, none larger than any branch's.

Reading a part costs many times its size, so that all are unpacked and measured first, piece by
piece. The standard (ECMA-376, part 2) allows no document type declarations in a part; without one
no entity can be declared, so that none can multiply or reach outside, whichever parser reads it.
"""

import struct
import zipfile
import zlib
from collections.abc import Iterator
from pathlib import Path
from xml.parsers import expat

from crewplan.intake import file_limits as most
from crewplan.intake.plain_files import check_file, mb
from crewplan.intake.raw_table import UnreadableTable

WISH = "a workbook saved as .xlsx without a password"
UNREADABLE = "it cannot be read as a workbook"
_OLDER = b"\xd0\xcf\x11\xe0"
_LARGE_PARTS = ("xl/worksheets/", "xl/sharedStrings.xml")
_BLOCK = 1_048_576
_RATIO_FROM_BYTES = 1_000_000
_END = struct.Struct("<4s4H2LH")
_END_SIGN, _WIDE_SIGN = b"PK\x05\x06", b"PK\x06\x07"
_LONGEST_REMARK = 65_535
_PACKED = 0x1
_PACKINGS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)


class _Doctype(Exception):
    """A document type declaration."""


class _Root(Exception):
    """The first element: nothing can be declared any more."""


def _refuse(problem: str, expected: str = WISH) -> UnreadableTable:
    return UnreadableTable(problem, expected)


def _check_directory(path: Path) -> None:
    """The size of the list of entries, before anybody reads the list."""
    with path.open("rb") as file:
        if file.read(len(_OLDER)) == _OLDER:
            raise _refuse("it is an older workbook, or one with a password")
        length = file.seek(0, 2)
        file.seek(max(0, length - _END.size - _LONGEST_REMARK - 20))
        tail = file.read()
    at = tail.rfind(_END_SIGN)
    if at < 0 or len(tail) - at < _END.size:
        raise _refuse(UNREADABLE)
    size = _END.unpack_from(tail, at)[5]
    if size > most.DIRECTORY_BYTES or tail[max(0, at - 20) :].startswith(_WIDE_SIGN):
        raise _refuse("it consists of too many parts", f"at most {most.PARTS:,}")


def _check_sizes(entries: list[zipfile.ZipInfo]) -> None:
    if len(entries) > most.PARTS:
        raise _refuse(f"it consists of {len(entries):,} parts", f"at most {most.PARTS:,}")
    if len({entry.filename for entry in entries}) < len(entries):
        raise _refuse("a part is in it twice")
    for entry in entries:
        size, limit = entry.file_size, most.PART_BYTES
        if entry.filename.startswith(_LARGE_PARTS):
            limit = most.SHEET_BYTES
        if entry.flag_bits & _PACKED:
            raise _refuse("it has a password")
        if entry.compress_type not in _PACKINGS:
            raise _refuse("it is packed as no workbook is")
        if size > limit:
            raise _refuse(f"a part of it unpacks to {mb(size)}", f"at most {mb(limit)}")
        if size > max(_RATIO_FROM_BYTES, most.RATIO * entry.compress_size):
            packed = f"a part of it unpacks from {mb(entry.compress_size)} to {mb(size)}"
            raise _refuse(packed, f"at most {most.RATIO} times as much")
    total = sum(entry.file_size for entry in entries)
    if total > most.UNPACKED_BYTES:
        raise _refuse(f"it unpacks to {mb(total)}", f"at most {mb(most.UNPACKED_BYTES)}")


def _check_beginning(block: bytes) -> None:
    """Refuse a document type declaration, in whatever encoding; pictures are no XML."""

    def doctype(*_: object) -> None:
        raise _Doctype

    def root(*_: object) -> None:
        raise _Root

    parser = expat.ParserCreate()
    parser.StartDoctypeDeclHandler = doctype
    parser.StartElementHandler = root
    try:
        parser.Parse(block, False)
    except _Doctype:
        raise _refuse("a part of it declares a document type, which no workbook does") from None
    except (_Root, expat.ExpatError, ValueError, LookupError):
        pass


def _blocks(package: zipfile.ZipFile, entry: zipfile.ZipInfo) -> Iterator[bytes]:
    with package.open(entry) as part:
        while block := part.read(_BLOCK):
            yield block


def check_package(path: Path) -> None:
    """Look through a workbook without opening it.

    Raises:
        UnreadableTable: it is no workbook, or larger inside than any branch's.
    """
    check_file(path, most.WORKBOOK_BYTES, WISH)
    try:
        _check_directory(path)
        with zipfile.ZipFile(path) as package:
            entries = package.infolist()
            _check_sizes(entries)
            marks = 0
            for entry in entries:
                # zipfile gives no byte beyond the size that the entry declares
                for number, block in enumerate(_blocks(package, entry)):
                    if number == 0:
                        _check_beginning(block)
                    marks += block.count(b"<")
                    if marks > most.ELEMENTS:
                        raise _refuse(
                            "it holds more than people can have written",
                            "at most 5 million cells; a longer table as CSV",
                        )
    except OSError as error:
        raise _refuse(f"it cannot be opened ({error.strerror})") from None
    except (
        zipfile.BadZipFile, zlib.error, EOFError, RuntimeError, NotImplementedError, ValueError,
        struct.error,
    ):  # fmt: skip
        raise _refuse(UNREADABLE) from None
