"""Open sessions: a random token in the browser, only its hash here, so that each can be ended.

A crew's lead asks in the evening and again on the roof in the morning: a session lasts through a
night unused, and a week at most (assumed). NIST SP 800-63B-4 would end one of a single password
after an hour unused and a day at most where more is at stake; here it is a company's schedule.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256
from secrets import token_urlsafe

from sqlalchemy import Connection, delete, desc, insert, or_, select, update

from crewplan.store.account_events import add_event
from crewplan.store.account_schema import ACCOUNTS, SESSIONS
from crewplan.store.accounts import Account, account_of
from crewplan.store.connecting import Store
from crewplan.store.versions import instant_text

UNUSED_AT_MOST = timedelta(hours=14)
LASTS_AT_MOST = timedelta(days=7)
AT_ONCE_AT_MOST = 10
"""Of one account; one more ends the one that was begun first."""
_NOTED_EVERY = timedelta(minutes=1)
"""How exactly its last use is kept: a write a request would hold up those who enter."""
_TOKEN_BYTES = 32
_DEVICE_AT_MOST = 200


@dataclass(frozen=True, slots=True)
class Session:
    """One open session, without its token."""

    token_hash: str
    begun_at: str
    used_at: str
    address: str
    device: str


def hash_of(token: str) -> str:
    """How a token is kept: 256 random bits need no salt."""
    return sha256(token.encode("utf-8", "surrogateescape")).hexdigest()


def begin(
    connection: Connection, account: Account, address: str, device: str, now: datetime
) -> str:
    """Begin a session; its token, which is nowhere else."""
    token = token_urlsafe(_TOKEN_BYTES)
    _end_old(connection, now)
    mine = [session.token_hash for session in of_account(connection, account.id)]
    surplus = mine[AT_ONCE_AT_MOST - 1 :]
    connection.execute(delete(SESSIONS).where(SESSIONS.c.token_hash.in_(surplus)))
    values = {
        "token_hash": hash_of(token),
        "account": account.id,
        "begun_at": instant_text(now),
        "used_at": instant_text(now),
        "address": address,
        "device": device[:_DEVICE_AT_MOST],
    }
    connection.execute(insert(SESSIONS), values)
    return token


def _end_old(connection: Connection, now: datetime) -> None:
    too_old = or_(
        SESSIONS.c.used_at < instant_text(now - UNUSED_AT_MOST),
        SESSIONS.c.begun_at < instant_text(now - LASTS_AT_MOST),
    )
    connection.execute(delete(SESSIONS).where(too_old))


def account_by_token(
    store: Store, token: str, now: datetime, *, uses: bool = True
) -> Account | None:
    """Whose session a token is, in the role that they have now; None: it is nobody's any more.

    A page that asks by itself, without anybody there, does not `use` the session.
    """
    hashed = hash_of(token)
    wanted = (
        select(ACCOUNTS, SESSIONS.c.used_at)
        .join(SESSIONS, SESSIONS.c.account == ACCOUNTS.c.id)
        .where(
            SESSIONS.c.token_hash == hashed,
            SESSIONS.c.used_at >= instant_text(now - UNUSED_AT_MOST),
            SESSIONS.c.begun_at >= instant_text(now - LASTS_AT_MOST),
            ACCOUNTS.c.closed_at.is_(None),
        )
    )
    with store.read() as connection:
        row = connection.execute(wanted).first()
    if row is None:
        return None
    if uses and datetime.fromisoformat(row.used_at) < now - _NOTED_EVERY:
        with store.write() as connection:
            used = update(SESSIONS).where(SESSIONS.c.token_hash == hashed)
            connection.execute(used.values(used_at=instant_text(now)))
    return account_of(row)


def of_account(connection: Connection, account: int) -> list[Session]:
    """The open sessions of an account, the newest first."""
    columns = (SESSIONS.c[name] for name in Session.__slots__)
    wanted = select(*columns).where(SESSIONS.c.account == account)
    found = connection.execute(wanted.order_by(desc(SESSIONS.c.begun_at)))
    return [Session(*row) for row in found]


def end(store: Store, token: str, name: str, now: datetime, address: str = "") -> None:
    """End a session."""
    with store.write() as connection:
        connection.execute(delete(SESSIONS).where(SESSIONS.c.token_hash == hash_of(token)))
        add_event(connection, now, name, name, "logged out", address)


def end_others(store: Store, account: Account, keep: str, now: datetime, by: str) -> None:
    """End all sessions of an account but the one whose token's hash is `keep`."""
    with store.write() as connection:
        of_it = delete(SESSIONS).where(SESSIONS.c.account == account.id)
        connection.execute(of_it.where(SESSIONS.c.token_hash != keep))
        add_event(connection, now, by, account.name, "other sessions ended")
