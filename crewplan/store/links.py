"""Links that open one crew's day to whoever has them: signed, for a while, and revocable.

A link's token is a random number with a signature over it and the link's purpose. The signature
turns away what was made up without asking the database; the database, which has only the token's
hash, knows the crew, until when, and whether it was revoked.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256
from secrets import token_urlsafe

from itsdangerous import BadSignature, Signer
from sqlalchemy import Connection, Row, insert, select, update

from crewplan.model.account import Act, Actor
from crewplan.store.account_events import add_event
from crewplan.store.account_schema import LINKS
from crewplan.store.connecting import Store
from crewplan.store.faults import NotDone
from crewplan.store.keys import board_key
from crewplan.store.sessions import hash_of
from crewplan.store.versions import instant_text

PURPOSES: Mapping[str, Act] = {"day": "see tomorrow", "calendar": "see tomorrow"}
"""What a link may be for, and the one thing that it then opens: the page of the crew's next day, or
the crew's calendar."""
LASTS = timedelta(days=14)
LASTS_AT_MOST = timedelta(days=366)
_TOKEN_BYTES = 16
_SEPARATOR = "."


@dataclass(frozen=True, slots=True)
class Link:
    """One link, without its token."""

    number: int
    purpose: str
    crew: str
    made_at: str
    made_by: str
    expires_at: str
    revoked_at: str | None

    @property
    def actor(self) -> Actor:
        """As whom its holder asks: for one crew, one act, and nothing to write."""
        act = PURPOSES[self.purpose]
        return Actor(f"link {self.number}", "lead", frozenset({self.crew}), frozenset({act}))


def _link(row: Row[tuple[object, ...]]) -> Link:
    return Link(*(getattr(row, name) for name in Link.__slots__))


def _signer(store: Store, purpose: str) -> Signer:
    salt = f"crewplan link {purpose}"
    return Signer(board_key(store), salt=salt, sep=_SEPARATOR, digest_method=sha256)


def make_link(
    store: Store, purpose: str, crew: str, lasts: timedelta, by: str, at: datetime
) -> tuple[Link, str]:
    """A new link, and its token, which is nowhere else.

    Raises:
        NotDone: no such purpose, or it would last too long or not at all.
    """
    if purpose not in PURPOSES:
        raise NotDone(f"a link is for {' or '.join(PURPOSES)}, not {purpose!r}")
    if not timedelta(0) < lasts <= LASTS_AT_MOST:
        raise NotDone(f"a link lasts 1 to {LASTS_AT_MOST.days} days")
    token = _signer(store, purpose).sign(token_urlsafe(_TOKEN_BYTES)).decode()
    values = {
        "token_hash": hash_of(token),
        "purpose": purpose,
        "crew": crew,
        "made_at": instant_text(at),
        "made_by": by,
        "expires_at": instant_text(at + lasts),
    }
    with store.write() as connection:
        connection.execute(insert(LINKS), values)
        wanted = select(LINKS).where(LINKS.c.token_hash == values["token_hash"])
        link = _link(connection.execute(wanted).one())
        add_event(connection, at, by, f"link {link.number}", f"made for {crew}'s {purpose}")
    return link, token


def links(connection: Connection) -> list[Link]:
    """All that were ever made, oldest first."""
    return [_link(row) for row in connection.execute(select(LINKS).order_by(LINKS.c.number))]


def revoke_link(store: Store, number: int, by: str, at: datetime) -> Link:
    """Make a link open nothing any more, at once.

    Raises:
        NotDone: there is no such link, or it was revoked before.
    """
    with store.write() as connection:
        row = connection.execute(select(LINKS).where(LINKS.c.number == number)).first()
        if row is None or row.revoked_at is not None:
            raise NotDone(f"there is no link {number} that could be revoked")
        revoked = update(LINKS).where(LINKS.c.number == number)
        connection.execute(revoked.values(revoked_at=instant_text(at), revoked_by=by))
        add_event(connection, at, by, f"link {number}", "revoked")
    return _link(row)


def link_by_token(store: Store, token: str, now: datetime) -> Link | None:
    """The link of a token while it opens something; None: made up, expired or revoked."""
    purpose = next((each for each in PURPOSES if _signed(store, each, token)), None)
    if purpose is None:
        return None
    wanted = select(LINKS).where(
        LINKS.c.token_hash == hash_of(token),
        LINKS.c.purpose == purpose,
        LINKS.c.revoked_at.is_(None),
        LINKS.c.expires_at > instant_text(now),
    )
    with store.read() as connection:
        row = connection.execute(wanted).first()
    return None if row is None else _link(row)


def _signed(store: Store, purpose: str, token: str) -> bool:
    try:
        _signer(store, purpose).unsign(token)
    except (BadSignature, UnicodeError):
        return False
    return True
