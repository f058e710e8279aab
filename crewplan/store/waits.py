"""Failed log-ins are answered later and later, by account and by address.

A try counts before it is judged, so that many at once cannot slip through together. The wait of an
account stays short enough that nobody can lock its owner out for long; an address is given more
tries, since a whole office may share one.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256
from math import ceil

from sqlalchemy import Connection, delete, insert, select, update

from crewplan.store.account_schema import LOG_IN_WAITS
from crewplan.store.versions import instant_text

_DOUBLINGS_AT_MOST = 30


@dataclass(frozen=True, slots=True)
class _Patience:
    """How many tries are free, and the longest wait after that."""

    free: int
    longest: timedelta


ACCOUNT = _Patience(5, timedelta(minutes=5))
ADDRESS = _Patience(30, timedelta(minutes=15))
FORGOTTEN_AFTER = timedelta(hours=24)
"""Without a further try, what was counted is forgotten."""


def wait_after(failures: int, patience: _Patience) -> timedelta:
    """How long to wait after so many failures: 1, 2, 4, ... s once the free tries are gone."""
    beyond = failures - patience.free
    if beyond < 0:
        return timedelta(0)
    return min(timedelta(seconds=2 ** min(beyond, _DOUBLINGS_AT_MOST)), patience.longest)


def _kinds(name: str, address: str) -> dict[str, _Patience]:
    """What is counted; a name only as its hash, since somebody may type a password there."""
    hashed = sha256(name.encode("utf-8", "surrogatepass")).hexdigest()
    return {f"account {hashed}": ACCOUNT, f"address {address}": ADDRESS}


def still_waiting_s(connection: Connection, name: str, address: str, now: datetime) -> int:
    """Whole seconds until the next try of this name from this address is heard; 0: now."""
    longest = 0
    for key, patience in _kinds(name, address).items():
        row = connection.execute(select(LOG_IN_WAITS).where(LOG_IN_WAITS.c.of == key)).first()
        if row is None:
            continue
        last = datetime.fromisoformat(row.last_at)
        left = last + wait_after(row.failures, patience) - now
        longest = max(longest, ceil(left.total_seconds()))
    return longest


def count_try(connection: Connection, name: str, address: str, now: datetime) -> None:
    """Count a try of this name from this address as failed until it turns out well."""
    old = instant_text(now - FORGOTTEN_AFTER)
    connection.execute(delete(LOG_IN_WAITS).where(LOG_IN_WAITS.c.last_at < old))
    for key in _kinds(name, address):
        of_key = LOG_IN_WAITS.c.of == key
        row = connection.execute(select(LOG_IN_WAITS).where(of_key)).first()
        if row is None:
            values = {"of": key, "failures": 1, "last_at": instant_text(now)}
            connection.execute(insert(LOG_IN_WAITS), values)
        else:
            counted = update(LOG_IN_WAITS).where(of_key)
            connection.execute(counted.values(failures=row.failures + 1, last_at=instant_text(now)))


def forget_tries(connection: Connection, name: str, address: str) -> None:
    """It turned out well: the account starts afresh, the address gets this one try back."""
    account, of_address = _kinds(name, address)
    connection.execute(delete(LOG_IN_WAITS).where(LOG_IN_WAITS.c.of == account))
    given_back = update(LOG_IN_WAITS).where(LOG_IN_WAITS.c.of == of_address)
    connection.execute(given_back.values(failures=LOG_IN_WAITS.c.failures - 1))
