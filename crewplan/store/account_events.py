"""What happened to accounts, sessions and links: who, when, what; only ever added to."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, insert, select

from crewplan.store.account_schema import ACCOUNT_EVENTS
from crewplan.store.versions import instant_text


@dataclass(frozen=True, slots=True)
class AccountEvent:
    """One thing that happened."""

    at: str
    """UTC, ISO 8601."""
    by: str
    about: str
    """The account's name, or 'link 3'."""
    what: str
    address: str
    """Where it came from; empty: this machine's own commands."""


def add_event(
    connection: Connection, at: datetime, by: str, about: str, what: str, address: str = ""
) -> None:
    """Write one down, in the transaction of what it tells."""
    values = {
        "at": instant_text(at),
        "by": by,
        "about": about,
        "what": what,
        "address": address,
    }
    connection.execute(insert(ACCOUNT_EVENTS), values)


def events(connection: Connection) -> list[AccountEvent]:
    """All of them, oldest first."""
    columns = (ACCOUNT_EVENTS.c[name] for name in AccountEvent.__slots__)
    found = connection.execute(select(*columns).order_by(ACCOUNT_EVENTS.c.id))
    return [AccountEvent(*row) for row in found]
