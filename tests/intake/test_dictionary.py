"""The dictionary of tables is told from the types, and says what DESIGN.md's contract says."""

from dataclasses import fields

from crewplan.intake.dictionary import table_dictionary
from crewplan.model.settings import Settings
from crewplan.model.tables import TABLES

ROWS = table_dictionary()


def _row(table: str, column: str):
    return next(row for row in ROWS if (row.table, row.column) == (table, column))


def test_every_column_of_every_table_and_every_setting_stands_in_it_once() -> None:
    told = [(row.table, row.column) for row in ROWS if "." not in row.column]
    typed = [(table.name, field.name) for table in TABLES for field in fields(table.row)]
    typed += [("branch.toml", field.name) for field in fields(Settings)]
    assert told == typed
    assert all(row.about and row.about_table for row in ROWS)


def test_cells_that_the_contract_needs_are_marked_and_no_others() -> None:
    needed = {
        f"{row.table}.{row.column}"
        for row in ROWS
        if row.needed and not row.key and row.table != "branch.toml"
    }
    # DESIGN.md section 4, 'Cells'
    assert needed == {
        *("people.crew", "people.role", "people.cost_per_h"),
        *("crews.base_latitude", "crews.base_longitude", "jobs.latitude", "jobs.longitude"),
        *("jobs.earliest_on", "jobs.due_on", "stages.job", "stages.kind", "requirements.state"),
        *("planes.rows", "planes.module", "planes.pitch_deg", "planes.covering"),
        "planes.rafter_spacing_mm",
    }


def test_a_column_tells_its_unit_default_and_choices() -> None:
    assert _row("weather", "gust_mps").unit == "m/s"
    assert _row("plan", "start_half").default == "am"
    assert _row("plan", "pinned").default == "no"
    assert _row("jobs", "lift_method").choices == "hoist, boom, conveyor, ladder_hoist"
    assert _row("planes", "pitch_deg").choices == "from 0 to 75 deg"
    assert _row("branch.toml", "gate_probability").default == "0.9"
    assert _row("branch.toml", "holidays.country").needed


def test_the_tables_that_must_be_there_are_those_of_the_contract() -> None:
    must = {row.table for row in ROWS if row.must_be_there}
    assert must == {
        *("people", "crews", "jobs", "planes", "stages", "requirements", "weather"),
        "branch.toml",
    }
