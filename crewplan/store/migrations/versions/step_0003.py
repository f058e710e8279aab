"""Accounts, their sessions and waits, links, the board's key, and what happened to all of them."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"

_TABLES = ("keys", "links", "log_in_waits", "sessions", "account_events", "accounts")
_KEPT = "account_events"


def _keep_events() -> None:
    """What happened is never altered."""
    sqlite = op.get_bind().dialect.name == "sqlite"
    refuse = (
        "BEGIN SELECT RAISE(ABORT, 'what was written is never changed'); END"
        if sqlite
        else "FOR EACH ROW EXECUTE FUNCTION refuse_change()"
    )
    op.execute(f"CREATE TRIGGER {_KEPT}_keep BEFORE UPDATE ON {_KEPT} {refuse}")
    op.execute(f"CREATE TRIGGER {_KEPT}_stay BEFORE DELETE ON {_KEPT} {refuse}")


def upgrade() -> None:
    """Add them; nobody has an account yet."""
    op.create_table(
        "accounts",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("name_key", sa.Text, nullable=False, unique=True),
        sa.Column("role", sa.String(20), nullable=False),
        sa.Column("crews", sa.Text, nullable=False),
        sa.Column("password_hash", sa.Text, nullable=False),
        sa.Column("made_at", sa.String(40), nullable=False),
        sa.Column("made_by", sa.Text, nullable=False),
        sa.Column("closed_at", sa.String(40)),
    )
    op.create_table(
        "account_events",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("at", sa.String(40), nullable=False),
        sa.Column("by", sa.Text, nullable=False),
        sa.Column("about", sa.Text, nullable=False),
        sa.Column("what", sa.Text, nullable=False),
        sa.Column("address", sa.Text, nullable=False, server_default=""),
    )
    op.create_index("account_events_by_about", "account_events", ["about"])
    op.create_table(
        "sessions",
        sa.Column("token_hash", sa.String(64), primary_key=True),
        sa.Column("account", sa.Integer, sa.ForeignKey("accounts.id"), nullable=False),
        sa.Column("begun_at", sa.String(40), nullable=False),
        sa.Column("used_at", sa.String(40), nullable=False),
        sa.Column("address", sa.Text, nullable=False),
        sa.Column("device", sa.Text, nullable=False),
    )
    op.create_index("sessions_by_account", "sessions", ["account"])
    op.create_table(
        "log_in_waits",
        sa.Column("of", sa.Text, primary_key=True),
        sa.Column("failures", sa.Integer, nullable=False),
        sa.Column("last_at", sa.String(40), nullable=False),
    )
    op.create_table(
        "links",
        sa.Column("number", sa.Integer, primary_key=True),
        sa.Column("token_hash", sa.String(64), nullable=False, unique=True),
        sa.Column("purpose", sa.String(40), nullable=False),
        sa.Column("crew", sa.Text, nullable=False),
        sa.Column("made_at", sa.String(40), nullable=False),
        sa.Column("made_by", sa.Text, nullable=False),
        sa.Column("expires_at", sa.String(40), nullable=False),
        sa.Column("revoked_at", sa.String(40)),
        sa.Column("revoked_by", sa.Text),
    )
    op.create_table(
        "keys",
        sa.Column("name", sa.String(40), primary_key=True),
        sa.Column("secret", sa.LargeBinary, nullable=False),
    )
    _keep_events()


def downgrade() -> None:
    """Take them away, with all accounts; the branch's data stay."""
    on = "" if op.get_bind().dialect.name == "sqlite" else f" ON {_KEPT}"
    for name in (f"{_KEPT}_keep", f"{_KEPT}_stay"):
        op.execute(f"DROP TRIGGER {name}{on}")
    for table in _TABLES:
        op.drop_table(table)
