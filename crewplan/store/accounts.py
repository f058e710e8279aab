"""Accounts: who may open a shared board, in which role, and for which crews."""

import json
from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Row, delete, func, insert, select, update

from crewplan.model.account import ROLES, Actor, Role
from crewplan.store.account_events import add_event
from crewplan.store.account_schema import ACCOUNTS, SESSIONS
from crewplan.store.connecting import Store
from crewplan.store.faults import NotDone
from crewplan.store.passwords import hashed, refuse_weak
from crewplan.store.rows import json_text
from crewplan.store.versions import instant_text

_NAME_AT_MOST = 100


@dataclass(frozen=True, slots=True)
class Account:
    """One account, without its password."""

    id: int
    name: str
    role: Role
    crews: frozenset[str] | None
    """None: all of them."""
    made_at: str
    made_by: str
    closed_at: str | None

    @property
    def actor(self) -> Actor:
        """As whom they ask and write."""
        return Actor(self.name, self.role, self.crews)


def name_key(name: str) -> str:
    """A name as it is looked up: letters large or small, and blanks around, are one."""
    return name.strip().casefold()


def account_of(row: Row[Any]) -> Account:
    """An account as the database has it."""
    crews = json.loads(row.crews)
    return Account(
        id=row.id,
        name=row.name,
        role=row.role,
        crews=None if crews is None else frozenset(crews),
        made_at=row.made_at,
        made_by=row.made_by,
        closed_at=row.closed_at,
    )


def accounts(connection: Connection) -> list[Account]:
    """All that there ever were, by name."""
    found = connection.execute(select(ACCOUNTS).order_by(ACCOUNTS.c.name_key))
    return [account_of(row) for row in found]


def open_accounts(connection: Connection) -> int:
    """How many may log in."""
    wanted = select(func.count()).select_from(ACCOUNTS).where(ACCOUNTS.c.closed_at.is_(None))
    return connection.execute(wanted).scalar_one()


def row_by_name(connection: Connection, name: str) -> Row[Any] | None:
    """An account with its password's hash, by its name; None: there is none, or it is closed."""
    wanted = select(ACCOUNTS).where(
        ACCOUNTS.c.name_key == name_key(name), ACCOUNTS.c.closed_at.is_(None)
    )
    return connection.execute(wanted).first()


def _open(connection: Connection, name: str) -> Row[Any]:
    row = row_by_name(connection, name)
    if row is None:
        raise NotDone(f"{name!r} has no open account; crewplan account list shows them")
    return row


def _crews_text(role: str, crews: Collection[str]) -> str:
    if role not in ROLES:
        raise NotDone(f"{role!r} is no role; there are {', '.join(ROLES)}")
    if role == "lead" and not crews:
        raise NotDone("a lead gets the crews that they lead: name them with --crew")
    if role != "lead" and crews:
        raise NotDone(f"--crew is for a lead; an account of the role {role} has all crews")
    return json_text(sorted(crews) if role == "lead" else None)


def _words(role: str, crews: Collection[str]) -> str:
    return f"{role} of {', '.join(sorted(crews))}" if crews else role


def _near(name: str, crews: Collection[str], branch: str) -> list[str]:
    """Words that stand near a person, which their password must not be made of."""
    return [word for text in (name, *crews, branch) for word in (text, *text.split())]


def add_account(
    store: Store,
    name: str,
    role: str,
    crews: Collection[str],
    password: str,
    by: str,
    at: datetime,
    branch: str = "",
) -> None:
    """Open an account.

    Raises:
        NotDone: the name is taken (a closed account keeps its name), or something is amiss.
    """
    shown = " ".join(name.split())
    if not 0 < len(shown) <= _NAME_AT_MOST or not shown.isprintable():
        raise NotDone(f"a name has 1 to {_NAME_AT_MOST} letters")
    kept = _crews_text(role, crews)
    refuse_weak(password, _near(shown, crews, branch))
    secret = hashed(password)
    with store.write() as connection:
        taken = select(ACCOUNTS.c.id).where(ACCOUNTS.c.name_key == name_key(shown))
        if connection.execute(taken).first() is not None:
            raise NotDone(f"{shown!r} has, or had, an account already; take another name")
        values = {
            "name": shown,
            "name_key": name_key(shown),
            "role": role,
            "crews": kept,
            "password_hash": secret,
            "made_at": instant_text(at),
            "made_by": by,
        }
        connection.execute(insert(ACCOUNTS), values)
        add_event(connection, at, by, shown, f"account opened: {_words(role, crews)}")


def set_role(
    store: Store, name: str, role: str, crews: Collection[str], by: str, at: datetime
) -> None:
    """Give another role, or other crews; it counts from the next request on."""
    kept = _crews_text(role, crews)
    with store.write() as connection:
        row = _open(connection, name)
        chosen = update(ACCOUNTS).where(ACCOUNTS.c.id == row.id)
        connection.execute(chosen.values(role=role, crews=kept))
        add_event(connection, at, by, row.name, f"role is {_words(role, crews)}")


def set_password(
    store: Store,
    name: str,
    password: str,
    by: str,
    at: datetime,
    *,
    address: str = "",
    keep: str = "",
    branch: str = "",
) -> None:
    """Set another password, which ends all sessions but the one whose token's hash is `keep`."""
    with store.read() as connection:
        former = account_of(_open(connection, name))
    refuse_weak(password, _near(former.name, former.crews or (), branch))
    secret = hashed(password)
    with store.write() as connection:
        row = _open(connection, name)
        chosen = update(ACCOUNTS).where(ACCOUNTS.c.id == row.id)
        connection.execute(chosen.values(password_hash=secret))
        others = delete(SESSIONS).where(SESSIONS.c.account == row.id)
        connection.execute(others.where(SESSIONS.c.token_hash != keep))
        add_event(connection, at, by, row.name, "password changed", address)


def close_account(store: Store, name: str, by: str, at: datetime) -> None:
    """Close it for good; its sessions end at once, and what it wrote stays."""
    with store.write() as connection:
        row = _open(connection, name)
        chosen = update(ACCOUNTS).where(ACCOUNTS.c.id == row.id)
        connection.execute(chosen.values(closed_at=instant_text(at)))
        connection.execute(delete(SESSIONS).where(SESSIONS.c.account == row.id))
        add_event(connection, at, by, row.name, "account closed")
