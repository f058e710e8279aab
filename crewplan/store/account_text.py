"""Accounts, links and what happened to them as rows of text for people."""

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import Connection

from crewplan.store.account_events import AccountEvent, events
from crewplan.store.accounts import accounts
from crewplan.store.links import links
from crewplan.store.versions import instant_text

Row = tuple[str, ...]

ACCOUNT_COLUMNS = ("name", "role", "crews", "opened_at", "opened_by", "closed_at")
EVENT_COLUMNS = tuple(AccountEvent.__slots__)
LINK_COLUMNS = ("number", "opens", "crew", "made_at", "made_by", "until", "state")


def _second(instant: str | None) -> str:
    return "" if instant is None else datetime.fromisoformat(instant).isoformat(timespec="seconds")


def account_cells(connection: Connection) -> list[Row]:
    """A row an account, in the order of ACCOUNT_COLUMNS."""
    return [
        (
            account.name,
            account.role,
            "all" if account.crews is None else ", ".join(sorted(account.crews)),
            _second(account.made_at),
            account.made_by,
            _second(account.closed_at),
        )
        for account in accounts(connection)
    ]


def event_cells(connection: Connection) -> list[Row]:
    """A row an event, in the order of EVENT_COLUMNS."""
    return [
        (_second(event.at), event.by, event.about, event.what, event.address)
        for event in events(connection)
    ]


def link_cells(connection: Connection, now: datetime) -> list[Row]:
    """A row a link, in the order of LINK_COLUMNS; never its token."""
    return [
        (
            str(link.number),
            link.purpose,
            link.crew,
            _second(link.made_at),
            link.made_by,
            _second(link.expires_at),
            "revoked"
            if link.revoked_at is not None
            else "open"
            if link.expires_at > instant_text(now)
            else "run out",
        )
        for link in links(connection)
    ]


def plain_lines(columns: Sequence[str], rows: Sequence[Row]) -> str:
    """Columns that stand under each other."""
    lines = [tuple(column.replace("_", " ") for column in columns), *rows]
    widths = [max(len(line[i]) for line in lines) for i in range(len(columns))]
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip()
        for line in lines
    )
