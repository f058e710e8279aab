"""Days of dated rows, and what pages need worked out beforehand: done jobs, sums of hours."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"

_REFUSE = "what was written is never changed"
_DATED = "('hours_worked', 'progress')"


def _drop_keep() -> None:
    on = "" if op.get_bind().dialect.name == "sqlite" else " ON table_rows"
    op.execute(f"DROP TRIGGER table_rows_keep{on}")


def _keep() -> None:
    """The trigger of step 0002 over the columns that the table has now."""
    names = [column["name"] for column in sa.inspect(op.get_bind()).get_columns("table_rows")]
    differs = "IS NOT" if op.get_bind().dialect.name == "sqlite" else "IS DISTINCT FROM"
    same = " OR ".join(f"NEW.{n} {differs} OLD.{n}" for n in names if n != "last_version")
    when = f"{same} OR OLD.last_version IS NOT NULL OR NEW.last_version IS NULL"
    begin = "CREATE TRIGGER table_rows_keep BEFORE UPDATE ON table_rows"
    if op.get_bind().dialect.name == "sqlite":
        op.execute(f"{begin} WHEN {when} BEGIN SELECT RAISE(ABORT, '{_REFUSE}'); END")
    else:
        op.execute(f"{begin} FOR EACH ROW WHEN ({when}) EXECUTE FUNCTION refuse_change()")


def _index(names: dict[str, list[str]]) -> None:
    for name, columns in names.items():
        op.drop_index(name, "table_rows")
        op.create_index(name, "table_rows", columns)


def _cell(place: int) -> str:
    """One cell of a row, as text."""
    if op.get_bind().dialect.name == "sqlite":
        return f"json_extract(cells, '$[{place}]')"
    return f"(cells::json ->> {place})"


def _fill() -> None:
    """From rows that are there: days; sums of hours as they stand; every job as one to look at.

    Cells as forms 0001 to 0004 have them: hours_worked is day, stage, person, hours, step, cause,
    note, and progress begins with the day.
    """
    op.execute(f"UPDATE table_rows SET day = {_cell(0)} WHERE table_name IN {_DATED}")
    whole = f"CAST(ROUND(CAST({_cell(3)} AS NUMERIC) * 1000000) AS BIGINT)"
    for kind, name in (("stage", "stage"), ("person", _cell(2))):
        op.execute(
            "INSERT INTO hours_sums (kind, name, cause, micro_h) "
            f"SELECT '{kind}', {name}, {_cell(5)}, SUM({whole}) FROM table_rows "
            "WHERE table_name = 'hours_worked' AND last_version IS NULL "
            f"GROUP BY {name}, {_cell(5)}"
        )
    op.execute(
        "INSERT INTO job_states (job) SELECT DISTINCT job FROM table_rows "
        "WHERE table_name = 'jobs' AND last_version IS NULL"
    )


def upgrade() -> None:
    """Add them, filled from the rows; rows stay as they were written."""
    op.create_table(
        "job_states",
        sa.Column("job", sa.Text, primary_key=True),
        sa.Column("finished_on", sa.String(10)),
    )
    op.create_index("job_states_by_end", "job_states", ["finished_on"])
    op.create_table(
        "hours_sums",
        sa.Column("kind", sa.String(10), primary_key=True),
        sa.Column("name", sa.Text, primary_key=True),
        sa.Column("cause", sa.String(40), primary_key=True),
        sa.Column("micro_h", sa.BigInteger, nullable=False),
    )
    op.create_table(
        "work_rules",
        sa.Column("name", sa.String(40), primary_key=True),
        sa.Column("digest", sa.String(64), nullable=False),
    )
    _drop_keep()
    op.add_column("table_rows", sa.Column("day", sa.String(10), nullable=False, server_default=""))
    _fill()
    _keep()
    op.create_index("versions_by_kind", "versions", ["kind", "number"])
    op.create_index("whole_tables_by_life", "whole_tables", ["last_version", "table_name"])
    op.create_index("table_rows_by_day", "table_rows", ["table_name", "last_version", "day"])
    op.create_index("table_rows_by_key", "table_rows", ["row_key", "table_name", "last_version"])
    _index(
        {
            "table_rows_by_stage": ["stage", "table_name", "last_version"],
            "table_rows_by_job": ["job", "table_name", "last_version"],
        }
    )


def downgrade() -> None:
    """Take them away again; rows stay."""
    _index(
        {
            "table_rows_by_stage": ["stage", "table_name"],
            "table_rows_by_job": ["job", "table_name"],
        }
    )
    op.drop_index("table_rows_by_key", "table_rows")
    op.drop_index("table_rows_by_day", "table_rows")
    op.drop_index("whole_tables_by_life", "whole_tables")
    op.drop_index("versions_by_kind", "versions")
    _drop_keep()
    op.drop_column("table_rows", "day")
    _keep()
    for table in ("work_rules", "hours_sums", "job_states"):
        op.drop_table(table)
