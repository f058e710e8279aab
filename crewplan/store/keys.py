"""The key that a branch's links and forms are signed with: random, made once, in the database."""

from secrets import token_bytes

from sqlalchemy import insert, select

from crewplan.store.account_schema import KEYS
from crewplan.store.connecting import Store

_NAME = "board"
_BYTES = 32


def board_key(store: Store) -> bytes:
    """The key; made where there is none yet."""
    wanted = select(KEYS.c.secret).where(KEYS.c.name == _NAME)
    with store.read() as connection:
        found = connection.execute(wanted).scalar()
    if found is not None:
        return bytes(found)
    with store.write() as connection:
        found = connection.execute(wanted).scalar()  # whoever was first made it
        if found is None:
            found = token_bytes(_BYTES)
            connection.execute(insert(KEYS), {"name": _NAME, "secret": found})
    return bytes(found)
