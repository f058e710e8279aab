"""Logging in: a name and a password for a session, or one sentence that says no more than no."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import update

from crewplan.store.account_events import add_event
from crewplan.store.account_schema import ACCOUNTS
from crewplan.store.accounts import account_of, name_key, row_by_name
from crewplan.store.connecting import Store
from crewplan.store.passwords import AT_MOST, hashed, matches, outdated
from crewplan.store.sessions import begin
from crewplan.store.waits import count_try, forget_tries, still_waiting_s

NOT_KNOWN = "This name and password do not belong together."
_NAME_AT_MOST = 200


@dataclass(frozen=True, slots=True)
class LogIn:
    """What came of it."""

    token: str
    """The session's; empty: none was begun."""
    refusal: str
    """One sentence; empty: it went well."""


def _later(seconds: int) -> str:
    unit, count = ("second", seconds) if seconds < 120 else ("minute", -(-seconds // 60))
    return f"Too many tries: wait {count} {unit}{'s' if count != 1 else ''}, then try again."


def right_password(store: Store, name: str, password: str, address: str, now: datetime) -> str:
    """Empty where name and password belong together, else the sentence for whoever tries.

    It takes as long, and says the same, whether or not there is such an account.
    """
    key = name_key(name)[:_NAME_AT_MOST]
    with store.write() as connection:
        waiting = still_waiting_s(connection, key, address, now)
        if waiting > 0:
            return _later(waiting)
        count_try(connection, key, address, now)
        row = row_by_name(connection, key)
    kept = None if row is None else row.password_hash
    good = matches(password[: AT_MOST + 1], kept)
    with store.write() as connection:
        if not good:
            # what was typed may be a password in the wrong field: only known names are kept
            about = row.name if row is not None else "nobody known"
            add_event(connection, now, about, about, "log-in failed", address)
            return NOT_KNOWN
        forget_tries(connection, key, address)
    return ""


def log_in(
    store: Store, name: str, password: str, address: str, device: str, now: datetime
) -> LogIn:
    """Begin a session for whoever knows the password."""
    refusal = right_password(store, name, password, address, now)
    if refusal:
        return LogIn("", refusal)
    with store.write() as connection:
        row = row_by_name(connection, name)
        if row is None:  # closed in this very moment
            return LogIn("", NOT_KNOWN)
        if outdated(row.password_hash):
            fresh = update(ACCOUNTS).where(ACCOUNTS.c.id == row.id)
            connection.execute(fresh.values(password_hash=hashed(password)))
        account = account_of(row)
        token = begin(connection, account, address, device, now)
        add_event(connection, now, account.name, account.name, "logged in", address)
    return LogIn(token, "")
