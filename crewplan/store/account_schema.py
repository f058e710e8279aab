"""Tables of those who may open a shared board. None of them is part of a branch's versions."""

from sqlalchemy import Column, ForeignKey, Index, Integer, LargeBinary, String, Table, Text

from crewplan.store.schema import METADATA

ACCOUNTS = Table(
    "accounts",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("name", Text, nullable=False),
    Column("name_key", Text, nullable=False, unique=True),  # in small letters: one person, one row
    Column("role", String(20), nullable=False),
    Column("crews", Text, nullable=False),  # JSON list; null: all
    Column("password_hash", Text, nullable=False),  # argon2id
    Column("made_at", String(40), nullable=False),  # UTC, ISO 8601, as all times here
    Column("made_by", Text, nullable=False),
    Column("closed_at", String(40)),
)

ACCOUNT_EVENTS = Table(
    "account_events",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("at", String(40), nullable=False),
    Column("by", Text, nullable=False),
    Column("about", Text, nullable=False),
    Column("what", Text, nullable=False),
    Column("address", Text, nullable=False, server_default=""),
    Index("account_events_by_about", "about"),
)
"""What happened to accounts and links, and each log-in, failed ones too; only ever added to."""

SESSIONS = Table(
    "sessions",
    METADATA,
    Column("token_hash", String(64), primary_key=True),  # SHA-256; the token is the browser's
    Column("account", Integer, ForeignKey("accounts.id"), nullable=False),
    Column("begun_at", String(40), nullable=False),
    Column("used_at", String(40), nullable=False),
    Column("address", Text, nullable=False),
    Column("device", Text, nullable=False),
    Index("sessions_by_account", "account"),
)
"""Open ones; ending one takes its row away."""

LOG_IN_WAITS = Table(
    "log_in_waits",
    METADATA,
    Column("of", Text, primary_key=True),  # the hash of a name, or an address, each marked
    Column("failures", Integer, nullable=False),
    Column("last_at", String(40), nullable=False),
)

LINKS = Table(
    "links",
    METADATA,
    Column("number", Integer, primary_key=True),
    Column("token_hash", String(64), nullable=False, unique=True),  # SHA-256
    Column("purpose", String(40), nullable=False),
    Column("crew", Text, nullable=False),
    Column("made_at", String(40), nullable=False),
    Column("made_by", Text, nullable=False),
    Column("expires_at", String(40), nullable=False),
    Column("revoked_at", String(40)),
    Column("revoked_by", Text),
)

KEYS = Table(
    "keys",
    METADATA,
    Column("name", String(40), primary_key=True),
    Column("secret", LargeBinary, nullable=False),
)

PASSING = (SESSIONS, LOG_IN_WAITS)
"""What a backup leaves out: bringing one back signs everybody out."""
LASTING = (ACCOUNTS, ACCOUNT_EVENTS, LINKS, KEYS)
"""What a backup keeps."""
