"""Versions, rows of tables, tables kept whole, published plans."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def _life() -> tuple[sa.Column[int], sa.Column[int]]:
    return (
        sa.Column("first_version", sa.Integer, sa.ForeignKey("versions.number"), nullable=False),
        sa.Column("last_version", sa.Integer, sa.ForeignKey("versions.number")),
    )


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "versions",
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("made_at", sa.String(40), nullable=False),
        sa.Column("made_by", sa.Text, nullable=False),
        sa.Column("digest", sa.String(64), nullable=False, server_default=""),
        sa.Column("present", sa.Text, nullable=False),
        sa.Column("details", sa.Text, nullable=False),
    )
    op.create_table(
        "table_rows",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("table_name", sa.String(40), nullable=False),
        sa.Column("position", sa.Integer, nullable=False),
        sa.Column("row_key", sa.Text, nullable=False, server_default=""),
        sa.Column("stage", sa.Text, nullable=False, server_default=""),
        sa.Column("job", sa.Text, nullable=False, server_default=""),
        sa.Column("cells", sa.Text, nullable=False),
        sa.Column("changed_in", sa.Integer, sa.ForeignKey("versions.number"), nullable=False),
        sa.Column("entered", sa.Boolean, nullable=False, server_default=sa.false()),
        sa.Column("file_cells", sa.Text),
        sa.Column("replaces", sa.Integer, sa.ForeignKey("table_rows.id")),
        *_life(),
    )
    op.create_index("table_rows_by_table", "table_rows", ["table_name", "last_version", "position"])
    op.create_index("table_rows_by_stage", "table_rows", ["stage", "table_name"])
    op.create_index("table_rows_by_job", "table_rows", ["job", "table_name"])
    op.create_index("table_rows_by_version", "table_rows", ["first_version"])
    op.create_index("table_rows_by_replaced", "table_rows", ["replaces"])
    op.create_table(
        "whole_tables",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("table_name", sa.String(40), nullable=False),
        sa.Column("contents", sa.LargeBinary, nullable=False),
        sa.Column("digest", sa.String(64), nullable=False),
        *_life(),
    )
    op.create_index("whole_tables_by_table", "whole_tables", ["table_name", "last_version"])
    op.create_table(
        "plans",
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column(
            "version", sa.Integer, sa.ForeignKey("versions.number"), nullable=False, unique=True
        ),
    )


def downgrade() -> None:
    """Take the tables away, with all that is in them."""
    for table in ("plans", "whole_tables", "table_rows", "versions"):
        op.drop_table(table)
