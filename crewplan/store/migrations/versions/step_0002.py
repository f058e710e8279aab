"""A lease for the solve, and triggers that refuse to alter what was written."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

_KEPT = ("versions", "table_rows", "whole_tables", "plans")
_ENDS = ("table_rows", "whole_tables")
"""Their rows may end, once; nothing else of them may be changed."""


def _columns(table: str) -> list[str]:
    names = [column["name"] for column in sa.inspect(op.get_bind()).get_columns(table)]
    return [name for name in names if name != "last_version"]


def _altered(table: str) -> str:
    """Whether an update does more than end a row."""
    if table not in _ENDS:
        return "1 = 1"
    same = " OR ".join(f"NEW.{name} IS DISTINCT FROM OLD.{name}" for name in _columns(table))
    return f"{same} OR OLD.last_version IS NOT NULL OR NEW.last_version IS NULL"


def _sqlite() -> None:
    refuse = "BEGIN SELECT RAISE(ABORT, 'what was written is never changed'); END"
    for table in _KEPT:
        when = _altered(table).replace("IS DISTINCT FROM", "IS NOT")
        op.execute(f"CREATE TRIGGER {table}_keep BEFORE UPDATE ON {table} WHEN {when} {refuse}")
        op.execute(f"CREATE TRIGGER {table}_stay BEFORE DELETE ON {table} {refuse}")


def _postgresql() -> None:
    op.execute(
        "CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
        "RAISE EXCEPTION 'what was written is never changed'; END $$"
    )
    each = "FOR EACH ROW"
    call = "EXECUTE FUNCTION refuse_change()"
    for table in _KEPT:
        when = _altered(table)
        op.execute(
            f"CREATE TRIGGER {table}_keep BEFORE UPDATE ON {table} {each} WHEN ({when}) {call}"
        )
        op.execute(f"CREATE TRIGGER {table}_stay BEFORE DELETE ON {table} {each} {call}")


def upgrade() -> None:
    """Add the lease and the triggers; data stay."""
    op.create_table(
        "leases",
        sa.Column("name", sa.String(40), primary_key=True),
        sa.Column("holder", sa.Text, nullable=False),
        sa.Column("token", sa.String(40), nullable=False),
        sa.Column("expires_at", sa.String(40), nullable=False),
    )
    if op.get_bind().dialect.name == "sqlite":
        _sqlite()
    else:
        _postgresql()


def downgrade() -> None:
    """Take them away again; data stay."""
    on = op.get_bind().dialect.name != "sqlite"
    for table in _KEPT:
        for name in (f"{table}_keep", f"{table}_stay"):
            op.execute(f"DROP TRIGGER {name}" + (f" ON {table}" if on else ""))
    if on:
        op.execute("DROP FUNCTION refuse_change()")
    op.drop_table("leases")
