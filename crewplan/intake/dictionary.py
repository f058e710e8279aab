"""What every table may hold, told from the code's own types so that it cannot drift."""

from dataclasses import dataclass
from typing import Any

from crewplan.intake.fields import Field, fields_of
from crewplan.intake.needed import is_needed
from crewplan.intake.settings_file import FILE, SETTING_TABLES
from crewplan.model.settings import Settings
from crewplan.model.tables import TABLES, Table


@dataclass(frozen=True, slots=True)
class DictionaryRow:
    """One column of a table, or one setting of branch.toml."""

    table: str
    about_table: str
    must_be_there: bool
    """The table."""
    column: str
    key: bool
    type: str
    unit: str
    """Empty: none. Another unit of the same measure may be used by its suffix."""
    needed: bool
    """Whether an empty cell is a fault."""
    default: str
    choices: str
    about: str


def _default(field: Field) -> str:
    value = field.default
    if value is None or value == () or value == {}:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return ";".join(map(str, value))
    return f"{value:g}" if isinstance(value, float) else str(value)


def _row(table: str, about: str, must: bool, field: Field, key: bool, needed: bool) -> Any:
    choices = ", ".join(field.choices) or (field.bounds and f"{field.bounds} {field.unit}".strip())
    return DictionaryRow(
        table=table,
        about_table=about,
        must_be_there=must,
        column=field.name,
        key=key,
        type=field.kind,
        unit=field.unit,
        needed=needed,
        default=_default(field),
        choices=choices,
        about=field.about,
    )


def _of_table(table: Table) -> list[DictionaryRow]:
    return [
        _row(
            table.name,
            table.about,
            table.required,
            field,
            field.name in table.key,
            is_needed(table, field),
        )
        for field in fields_of(table.row)
    ]


def _of_settings() -> list[DictionaryRow]:
    about = "settings of the branch"
    rows = []
    for field in fields_of(Settings):
        rows.append(_row(FILE, about, True, field, False, not field.has_default))
        for inner in fields_of(SETTING_TABLES[field.name]) if field.name in SETTING_TABLES else ():
            name = f"{field.name}.{inner.name}"
            row = _row(FILE, about, True, inner, False, not inner.has_default)
            rows.append(DictionaryRow(**{**_as_dict(row), "column": name}))
    return rows


def _as_dict(row: DictionaryRow) -> dict[str, Any]:
    return {name: getattr(row, name) for name in DictionaryRow.__slots__}


def table_dictionary() -> tuple[DictionaryRow, ...]:
    """All tables' columns in the model's order, then the settings."""
    rows = [row for table in TABLES for row in _of_table(table)]
    return (*rows, *_of_settings())
