"""Limits in the unit that the gate compares in, whatever unit their rows use."""

from typing import Any

from crewplan.intake.checks.tables import fault_at
from crewplan.intake.faults import Report, quoted
from crewplan.intake.raw_table import RawTable
from crewplan.intake.typed_rows import ParsedRow, ParsedTable
from crewplan.model.limit_row import CANONICAL_UNIT
from crewplan.model.units import SUFFIXES, WORDS, convert

_WITHOUT_UNIT = frozenset(measure for measure, unit in CANONICAL_UNIT.items() if not unit)
"""Measures that are there or not; their limit is 0."""
_NEVER_NEGATIVE = frozenset({"wind", "gust", "rain", "wet", "film"})


def fill_in(raw: RawTable) -> RawTable:
    """Rows of light and thunder need no `at_most`: it is 0."""
    header = [name.lower() for name in raw.header]
    if "measure" not in header or "at_most" not in header:
        return raw
    measure, at_most = header.index("measure"), header.index("at_most")

    def filled(cells: tuple[str, ...]) -> tuple[str, ...]:
        row = [*cells, *[""] * (len(header) - len(cells))]
        if row[measure].lower() in _WITHOUT_UNIT and not row[at_most]:
            row[at_most] = "0"
        return tuple(row)

    rows = tuple((number, filled(cells)) for number, cells in raw.rows)
    return RawTable(raw.name, raw.file, raw.header, rows)


def _units(measure: str) -> tuple[str, ...]:
    dimension = SUFFIXES[WORDS[CANONICAL_UNIT[measure].lower()]].dimension
    words = (unit.word for unit in SUFFIXES.values() if unit.dimension == dimension)
    return tuple(dict.fromkeys(words))


def _canonical(parsed: ParsedTable, row: ParsedRow, report: Report) -> None:
    values: dict[str, Any] = row.values
    measure, at_most = values["measure"], values["at_most"]
    if at_most is None:
        if not values.get("source"):
            wish = "who says so, since at_most is none"
            fault_at(parsed, row, "source", wish, "the cell is empty", report)
        return
    if measure in _WITHOUT_UNIT:
        if at_most != 0:
            problem = f"{quoted(f'{at_most:g}')} is no limit of {measure}"
            fault_at(parsed, row, "at_most", "0, or the word none", problem, report)
        return
    target = WORDS[CANONICAL_UNIT[measure].lower()]
    if not values["unit"]:
        row.gap = "unit"
        return
    source = WORDS.get(" ".join(values["unit"].lower().split()), "")
    if not source or SUFFIXES[source].dimension != SUFFIXES[target].dimension:
        unit = values["unit"]
        problem = f"{quoted(unit)} is no unit of {measure}"
        wish = f"one of {', '.join(_units(measure))}"
        fault_at(parsed, row, "unit", wish, problem, report)
        return
    values["unit"] = SUFFIXES[source].word
    values["at_most"] = convert(at_most, source, target)
    if measure in _NEVER_NEGATIVE and values["at_most"] < 0:
        problem = f"{quoted(f'{at_most:g}')} lies below 0"
        fault_at(parsed, row, "at_most", "0 or more", problem, report)


def to_canonical(parsed: ParsedTable, report: Report) -> None:
    """Convert `at_most` of every row in place; fault a unit that is none of its measure's."""
    for row in parsed.kept():
        if {"measure", "at_most", "unit"} <= row.values.keys():
            _canonical(parsed, row, report)
