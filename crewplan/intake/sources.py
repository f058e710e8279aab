"""Where each table of a branch folder stands: a CSV file, or a sheet of its one workbook."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from pathlib import Path

from crewplan.intake import csv_rows, workbook
from crewplan.intake.faults import Report, quoted
from crewplan.intake.file_limits import limits_of
from crewplan.intake.raw_table import RawTable, Row, UnreadableTable, split_header
from crewplan.model.tables import BY_NAME, TABLES

_WORKBOOK = ".xlsx"
_FOLDER = "a folder of tables as CSV, or a workbook saved as .xlsx"


@dataclass(frozen=True, slots=True)
class Source:
    """One table's place."""

    name: str
    file: str
    """As faults name it."""
    path: Path
    sheet: workbook.Sheet | None = None

    def iterate(self) -> tuple[tuple[str, ...], Iterator[Row]]:
        """Header, and rows as they come.

        Raises:
            UnreadableTable: at once, or while the rows are taken.
        """
        if self.sheet is not None:
            table = workbook.table_of(self.name, self.file, self.sheet)
            return table.header, iter(table.rows)
        return split_header(csv_rows.iterate(self.path, limits_of(self.name)))


_KEPT = ("plan", "weather", "forecast_errors")


def is_former(path: Path) -> bool:
    """Whether a file is a table kept when a new one was written: `plan.20260503T230000Z.csv`."""
    name, dot, _ = path.stem.partition(".")
    return name in _KEPT and bool(dot) and path.suffix == ".csv"


def workbooks_in(folder: Path) -> list[Path]:
    """Workbooks of a folder, without the marks that an open spreadsheet leaves behind."""
    return sorted(
        path
        for path in folder.iterdir()
        if path.suffix.lower() == _WORKBOOK and not path.name.startswith(("~$", "."))
    )


def locate(path: Path, report: Report) -> tuple[Path, Path | None]:
    """The folder, and its workbook if there is one.

    Raises:
        InputFaults: where `path` is neither a folder nor a workbook.
    """
    name = path.name or str(path)
    try:
        if path.is_file() and path.suffix.lower() == _WORKBOOK:
            return path.parent, path
        if not path.is_dir():
            there = path.exists()
            problem = "it is neither folder nor workbook" if there else "it is not there"
            report.fault(name, None, "", "", _FOLDER, problem)
            report.raise_if_faulty()
        books = workbooks_in(path)
    except OSError as error:
        report.fault(name, None, "", "", _FOLDER, f"it cannot be opened ({error.strerror})")
        report.raise_if_faulty()
        raise
    for book in books[1:]:
        report.fault(book.name, None, "", "", "one workbook", f"{books[0].name} stands beside it")
    return path, books[0] if books else None


def _csv_sources(folder: Path, report: Report) -> dict[str, Source]:
    found: dict[str, Source] = {}
    for path in sorted(folder.iterdir()):
        if path.suffix.lower() != ".csv" or path.name.startswith("."):
            continue
        name = path.stem.lower()
        if name in BY_NAME and name not in found:
            found[name] = Source(name, path.name, path)
        elif name in found:
            problem = f"the table stands in {found[name].file} too"
            report.fault(path.name, None, "", "", "it in one place", problem)
        elif not is_former(path):
            report.warn(f"{path.name} is no table that crewplan knows, and is not read.")
    return found


def _sheet_sources(path: Path, report: Report) -> dict[str, Source] | None:
    """Sheets by table; None: the workbook cannot be read."""
    try:
        book = workbook.read_book(path, BY_NAME.keys())
    except UnreadableTable as bad:
        report.fault(path.name, bad.row, "", "", bad.expected, bad.problem)
        return None
    for title in book.titles:
        if title.strip().lower() not in BY_NAME:
            report.warn(f"{path.name}, sheet {title} is no table that crewplan knows.")
    found: dict[str, Source] = {}
    for sheet in book.sheets:
        name, file = sheet.title.strip().lower(), f"{path.name}, sheet {sheet.title}"
        first = found[name].sheet if name in found else None
        if first is not None:
            problem = f"the table stands in sheet {quoted(first.title)} too"
            report.fault(file, None, "", "", "it in one place", problem)
        else:
            found[name] = Source(name, file, path, sheet)
    return found


def find_sources(
    folder: Path, book: Path | None, report: Report, standing: Collection[str] = ()
) -> dict[str, Source]:
    """The source of each table that is there; faults what is there twice, or must be and is not.

    `standing`: tables that are elsewhere already, and need not come.
    """
    found = _csv_sources(folder, report)
    sheets = _sheet_sources(book, report) if book is not None else {}
    for name, source in (sheets or {}).items():
        if name in found:
            problem = f"the table stands in {source.file} too"
            report.fault(found[name].file, None, "", "", "it in one place", problem)
        else:
            found[name] = source
    for table in TABLES:
        # a workbook that cannot be read may hold whatever seems to be missing
        missing = table.name not in found and table.name not in standing
        if table.required and missing and sheets is not None:
            file = f"{book.name}, sheet {table.name}" if book is not None else f"{table.name}.csv"
            report.fault(file, None, "", "", f"a table: {table.about}", "it is not there")
    return {table.name: found[table.name] for table in TABLES if table.name in found}


def tell_flaws(source: Source, report: Report) -> None:
    """Fault the cells of a sheet that give no value; nothing else is told of them then."""
    for flaw in source.sheet.flaws if source.sheet is not None else ():
        where = (source.file, flaw.row, flaw.column)
        report.fault(*where, flaw.value, flaw.expected, flaw.problem)
        report.settled.add(where)


def read_source(source: Source, report: Report) -> RawTable | None:
    """A whole table; None, with its faults told, where it cannot be read."""
    try:
        header, rows = source.iterate()
        return RawTable(source.name, source.file, header, tuple(rows))
    except UnreadableTable as bad:
        report.fault(source.file, bad.row, "", "", bad.expected, bad.problem)
        return None
