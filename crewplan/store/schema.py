"""The tables of the database. One database holds one branch.

Every change is a version: an import, an entry or a published plan. A row of a branch's table stands
from its first to its last version; a change ends a row and adds another, and nothing that was
written is ever altered (triggers hold that).
"""

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    false,
)

REVISIONS = ("0001", "0002", "0003", "0004", "0005")
"""All that this program knows, oldest first; the last is what it writes."""

METADATA = MetaData()

VERSIONS = Table(
    "versions",
    METADATA,
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("kind", String(20), nullable=False),  # import, entry, plan
    Column("made_at", String(40), nullable=False),  # UTC, ISO 8601
    Column("made_by", Text, nullable=False),
    Column("digest", String(64), nullable=False, server_default=""),  # of an import's contents
    Column("present", Text, nullable=False),  # JSON: tables that the branch has from here on
    Column("details", Text, nullable=False),  # JSON: an import's warnings and digests by table
    Index("versions_by_kind", "kind", "number"),
)


def _life() -> tuple[Column[int], Column[int]]:
    """From its first to its last version; the last is empty while it stands."""
    return (
        Column("first_version", Integer, ForeignKey("versions.number"), nullable=False),
        Column("last_version", Integer, ForeignKey("versions.number")),
    )


TABLE_ROWS = Table(
    "table_rows",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("table_name", String(40), nullable=False),
    Column("position", Integer, nullable=False),
    Column("row_key", Text, nullable=False, server_default=""),  # JSON; empty: no key
    Column("stage", Text, nullable=False, server_default=""),
    Column("job", Text, nullable=False, server_default=""),
    Column("day", String(10), nullable=False, server_default=""),  # of hours and progress
    Column("cells", Text, nullable=False),  # JSON: one text a column
    Column("changed_in", Integer, ForeignKey("versions.number"), nullable=False),
    Column("entered", Boolean, nullable=False, server_default=false()),  # not as the file has it
    Column("file_cells", Text),  # JSON: what the file has in an entered row's place
    Column("replaces", Integer, ForeignKey("table_rows.id")),
    *_life(),
    Index("table_rows_by_table", "table_name", "last_version", "position"),
    Index("table_rows_by_stage", "stage", "table_name", "last_version"),
    Index("table_rows_by_job", "job", "table_name", "last_version"),
    Index("table_rows_by_day", "table_name", "last_version", "day"),
    Index("table_rows_by_key", "row_key", "table_name", "last_version"),
    Index("table_rows_by_version", "first_version"),
    Index("table_rows_by_replaced", "replaces"),
)

WHOLE_TABLES = Table(
    "whole_tables",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("table_name", String(40), nullable=False),  # weather, weather_past, branch.toml
    Column("contents", LargeBinary, nullable=False),
    Column("digest", String(64), nullable=False),
    *_life(),
    Index("whole_tables_by_table", "table_name", "last_version"),
    Index("whole_tables_by_life", "last_version", "table_name"),
)

PLANS = Table(
    "plans",
    METADATA,
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("version", Integer, ForeignKey("versions.number"), nullable=False, unique=True),
)
"""Published plans: the rows of `plan` at that version."""

LEASES = Table(
    "leases",
    METADATA,
    Column("name", String(40), primary_key=True),
    Column("holder", Text, nullable=False),
    Column("token", String(40), nullable=False),
    Column("expires_at", String(40), nullable=False),  # UTC, ISO 8601
)

RECORDS = Table(
    "records",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("kind", String(20), nullable=False),  # records.RecordKind
    Column("made_at", String(40), nullable=False),  # UTC, ISO 8601
    Column("made_by", Text, nullable=False),
    Column("version", Integer, ForeignKey("versions.number"), nullable=False),
    Column("day", String(10), nullable=False, server_default=""),  # local, ISO 8601
    Column("stage", Text, nullable=False, server_default=""),
    Column("job", Text, nullable=False, server_default=""),
    Column("crew", Text, nullable=False, server_default=""),
    Column("contents", Text, nullable=False),  # JSON
    Column("replaces", Integer, ForeignKey("records.id")),
    Index("records_by_day", "kind", "day"),
    Index("records_by_stage", "stage", "kind", "day"),
    Index("records_by_job", "job"),
)
"""What was told, measured or ticked, beside the branch's tables: each adds, none is changed.

A record makes no version; its own is the newest when it was made, and tells the tables that it
rests on. A correction is a record more, which `replaces` the one that was wrong.
"""

SENT_FORMS = Table(
    "sent_forms",
    METADATA,
    Column("nonce", String(64), primary_key=True),
    Column("made_at", String(40), nullable=False),  # UTC, ISO 8601
    Column("made_by", Text, nullable=False),
)
"""Forms of the board that were taken in, so that one sent twice is kept once."""

JOB_STATES = Table(
    "job_states",
    METADATA,
    Column("job", Text, primary_key=True),
    Column("finished_on", String(10)),  # from this day on all of its stages are done; empty: open
    Index("job_states_by_end", "finished_on"),
)
"""Worked out from the rows that stand, by `finished.py`; may be thrown away at any time."""

WORK_RULES = Table(
    "work_rules",
    METADATA,
    Column("name", String(40), primary_key=True),
    Column("digest", String(64), nullable=False),
)
"""Which steps, rates and kinds of module `job_states` was worked out with."""

HOURS_SUMS = Table(
    "hours_sums",
    METADATA,
    Column("kind", String(10), primary_key=True),  # stage, person
    Column("name", Text, primary_key=True),
    Column("cause", String(40), primary_key=True),
    Column("micro_h", BigInteger, nullable=False),  # millionths of an hour
)
"""Sums of the rows of `hours_worked` that stand, kept by `upkeep.py`."""
