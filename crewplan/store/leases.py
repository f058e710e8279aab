"""One solve of a branch at a time, by a lease that runs out by itself where its holder died."""

from datetime import UTC, datetime, timedelta
from uuid import uuid4

from sqlalchemy import delete, insert, select

from crewplan.store.connecting import Store
from crewplan.store.faults import SolveUnderWay
from crewplan.store.schema import LEASES
from crewplan.store.versions import instant_text

SOLVE = "solve"


def take_lease(store: Store, holder: str, seconds: float, now: datetime | None = None) -> str:
    """Take the solve's lease for so long; the token that gives it back.

    Raises:
        SolveUnderWay: somebody else holds it.
    """
    at = now or datetime.now(UTC)
    token = uuid4().hex
    with store.write() as connection:
        held = connection.execute(select(LEASES).where(LEASES.c.name == SOLVE)).first()
        if held is not None and held.expires_at > instant_text(at):
            until = datetime.fromisoformat(held.expires_at)
            raise SolveUnderWay(
                f"{store.place.name}: {held.holder} is having a plan made; wait until it is "
                f"published, or {until:%H:%M:%S} UTC at the latest"
            )
        connection.execute(delete(LEASES).where(LEASES.c.name == SOLVE))
        values = {
            "name": SOLVE,
            "holder": holder,
            "token": token,
            "expires_at": instant_text(at + timedelta(seconds=seconds)),
        }
        connection.execute(insert(LEASES), values)
    return token


def give_back(store: Store, token: str) -> None:
    """End a lease; one that has run out and is somebody else's by now stays theirs."""
    with store.write() as connection:
        connection.execute(delete(LEASES).where(LEASES.c.token == token))
