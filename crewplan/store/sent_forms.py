"""A form of the board is taken in once, however often it is sent."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from uuid import uuid4

from sqlalchemy import Connection, insert, select

from crewplan.store.connecting import Store
from crewplan.store.faults import NotDone
from crewplan.store.schema import SENT_FORMS
from crewplan.store.versions import instant_text


class SentBefore(NotDone):
    """The same form was taken in before; nothing is written twice."""


def new_nonce() -> str:
    """What a form carries, so that it can be told from another of the same contents."""
    return uuid4().hex


@contextmanager
def taken_once(store: Store, nonce: str, by: str, at: datetime) -> Iterator[Connection]:
    """A writing transaction for a form: all of it is kept and the form's mark with it, or nothing.

    Raises:
        SentBefore: the form was taken in already.
        NotDone: the mark is none of ours.
    """
    if not (nonce.isascii() and nonce.isalnum() and len(nonce) == 32):
        raise NotDone("the form carries no mark of this board; open it again")
    with store.write() as connection:
        mark = SENT_FORMS.c.nonce == nonce
        if connection.execute(select(SENT_FORMS.c.nonce).where(mark)).first() is not None:
            raise SentBefore("this form was taken in before; nothing was written twice")
        values = {"nonce": nonce, "made_at": instant_text(at), "made_by": by}
        connection.execute(insert(SENT_FORMS), values)
        yield connection
