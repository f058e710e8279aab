"""Cells to values of the model's types; every bad cell of the table is told."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from crewplan.intake import grammar
from crewplan.intake.faults import Report
from crewplan.intake.fields import Field, fields_of, validator
from crewplan.intake.layout import Column, lay_out
from crewplan.intake.needed import is_needed
from crewplan.intake.raw_table import RawTable
from crewplan.model.tables import Table


@dataclass(slots=True)
class ParsedRow:
    """Values of one row by field, as far as they could be read."""

    number: int
    """As a spreadsheet counts."""
    values: dict[str, Any]
    whole: bool
    """All fields have a value."""
    gap: str = ""
    """A column without which the row is left out; empty: none."""


@dataclass(frozen=True, slots=True)
class ParsedTable:
    """A table's rows, those with faults too, so that other tables can still be held to them."""

    table: Table
    file: str
    rows: tuple[ParsedRow, ...]
    columns: dict[str, Column]

    def column(self, field: str) -> str:
        """The column's name as the file writes it."""
        return self.columns[field].name if field in self.columns else field

    def kept(self) -> tuple[ParsedRow, ...]:
        """Rows that are not left out."""
        return tuple(row for row in self.rows if not row.gap)

    def build(self) -> tuple[Any, ...]:
        """The rows as the model's types; all must be whole."""
        return tuple(self.table.row(**row.values) for row in self.kept())


def checked(row: type[Any], field: Field, text: str, column: Column | None = None) -> Any:
    """The value of a text that is not empty, in the field's unit and within its bounds.

    Raises:
        grammar.Unreadable: with what is special about the text, or nothing.
    """
    value = grammar.read(field, text)
    if column is not None and value is not None:
        value = column.canonical(value)
    try:
        return validator(row, field.name).validate_python(value, strict=True)
    except ValidationError:
        raise grammar.Unreadable from None


@dataclass(slots=True)
class _Cell:
    """Reads one field's cells; a text that came before has its value already.

    Values are frozen, so that equal cells may share one; most columns repeat a few texts.
    """

    table: Table
    field: Field
    column: Column | None
    needed: bool
    known: dict[str, Any]

    def value(self, text: str) -> Any:
        """As `checked`."""
        if text in self.known:
            return self.known[text]
        value = self.known[text] = checked(self.table.row, self.field, text, self.column)
        return value


def _cells_of(table: Table, columns: dict[str, Column]) -> list[_Cell]:
    return [
        _Cell(table, field, columns.get(field.name), is_needed(table, field), {})
        for field in fields_of(table.row)
    ]


def _read_row(
    raw: RawTable, of_fields: Sequence[_Cell], number: int, cells: tuple[str, ...], report: Report
) -> ParsedRow:
    row = ParsedRow(number, {}, True)
    for cell in of_fields:
        field, column = cell.field, cell.column
        text = cells[column.index] if column and column.index < len(cells) else ""
        if text:
            try:
                row.values[field.name] = cell.value(text)
            except grammar.Unreadable as bad:
                name = column.name if column else field.name
                report.fault(raw.file, number, name, text, field.expected(), str(bad))
                row.whole = False
        elif cell.needed:
            row.whole = False
            if column:
                problem = "the cell is empty"
                report.fault(raw.file, number, column.name, "", field.expected(), problem)
        elif field.has_default:
            row.values[field.name] = field.default
        else:
            row.gap = row.gap or field.name
    return row


def _too_long(
    raw: RawTable, of_fields: Sequence[_Cell], number: int, cells: tuple[str, ...], report: Report
) -> ParsedRow:
    """A row whose cells have shifted: only its key is taken, so that others can refer to it."""
    report.fault(
        raw.file,
        number,
        "",
        cells[-1],
        'as many cells as columns, and " around a cell with a comma',
        f"the row has {len(cells)} cells, the header {len(raw.header)}",
    )
    row = _read_row(raw, of_fields, number, cells, Report())
    key = of_fields[0].table.key
    kept = {name: value for name, value in row.values.items() if name in key}
    return ParsedRow(number, kept, False)


def typed_rows(table: Table, raw: RawTable, report: Report) -> ParsedTable:
    """All rows of a table, with all faults of their cells told; `gaps` deals with what is empty."""
    fields = fields_of(table.row)
    columns = lay_out(raw.file, raw.header, fields, report)
    for field in fields:
        if field.name not in columns and is_needed(table, field):
            problem = "the column is missing"
            report.fault(raw.file, 1, field.name, "", field.expected(), problem)
    of_fields = _cells_of(table, columns)
    rows: list[ParsedRow] = []
    for number, cells in raw.rows:
        read = _too_long if len(cells) > len(raw.header) else _read_row
        rows.append(read(raw, of_fields, number, cells, report))
    return ParsedTable(table, raw.file, tuple(rows), columns)


def as_parsed(table: Table, rows: Sequence[Any]) -> ParsedTable:
    """Rows that are typed already, as the checks see rows of a file; counted from row 2."""
    names = [field.name for field in fields_of(table.row)]
    parsed = (
        ParsedRow(number, {name: getattr(row, name) for name in names}, True)
        for number, row in enumerate(rows, start=2)
    )
    return ParsedTable(table, table.name, tuple(parsed), {})
