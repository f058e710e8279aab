"""Records that only add: verdicts told, readings, ticks, flags; and forms that were taken in."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"

_KEPT = ("records", "sent_forms")


def _refuse_change() -> None:
    """As step 0002 does for the rows of the tables; its function serves a server's triggers."""
    sqlite = op.get_bind().dialect.name == "sqlite"
    refuse = (
        "BEGIN SELECT RAISE(ABORT, 'what was written is never changed'); END"
        if sqlite
        else "FOR EACH ROW EXECUTE FUNCTION refuse_change()"
    )
    for table in _KEPT:
        op.execute(f"CREATE TRIGGER {table}_keep BEFORE UPDATE ON {table} {refuse}")
        op.execute(f"CREATE TRIGGER {table}_stay BEFORE DELETE ON {table} {refuse}")


def upgrade() -> None:
    """Add the tables, their indexes and triggers; data stay."""
    op.create_table(
        "records",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("made_at", sa.String(40), nullable=False),
        sa.Column("made_by", sa.Text, nullable=False),
        sa.Column("version", sa.Integer, sa.ForeignKey("versions.number"), nullable=False),
        sa.Column("day", sa.String(10), nullable=False, server_default=""),
        sa.Column("stage", sa.Text, nullable=False, server_default=""),
        sa.Column("job", sa.Text, nullable=False, server_default=""),
        sa.Column("crew", sa.Text, nullable=False, server_default=""),
        sa.Column("contents", sa.Text, nullable=False),
        sa.Column("replaces", sa.Integer, sa.ForeignKey("records.id")),
    )
    op.create_index("records_by_day", "records", ["kind", "day"])
    op.create_index("records_by_stage", "records", ["stage", "kind", "day"])
    op.create_index("records_by_job", "records", ["job"])
    op.create_table(
        "sent_forms",
        sa.Column("nonce", sa.String(64), primary_key=True),
        sa.Column("made_at", sa.String(40), nullable=False),
        sa.Column("made_by", sa.Text, nullable=False),
    )
    _refuse_change()


def downgrade() -> None:
    """Take them away, with what they hold; all else stays."""
    op.drop_table("sent_forms")  # and their triggers with them
    op.drop_table("records")
