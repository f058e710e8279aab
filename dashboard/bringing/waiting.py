"""Tables that were read and wait to be accepted by the person who sent them.

They are kept in memory: a board that is started again has forgotten them, and nothing was written.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from secrets import token_urlsafe
from threading import Lock

from crewplan.intake import OwnTables

WAITS = timedelta(minutes=30)
MOST_WAITING = 12
"""People; each has one lot of tables that waits (all assumed)."""
MOST_BYTES = 256_000_000
"""Sizes of all that waits, as it was sent."""
_MARK_BYTES = 24


@dataclass(frozen=True, slots=True)
class Lot:
    """What one person sent at once."""

    mark: str
    """Nobody can guess it."""
    own: OwnTables
    who: str
    until: datetime
    sent_bytes: int


class TooMuchWaits(Exception):
    """Others' tables fill the place; the text is one sentence."""


class Waiting:
    """All lots of one board."""

    def __init__(self) -> None:
        """Nothing waits yet."""
        self._lots: dict[str, Lot] = {}
        self._turn = Lock()

    def keep(self, own: OwnTables, who: str, sent_bytes: int, now: datetime) -> Lot:
        """Keep tables in place of what the same person sent before.

        Raises:
            TooMuchWaits: there is no room for them.
        """
        lot = Lot(token_urlsafe(_MARK_BYTES), own, who, now + WAITS, sent_bytes)
        with self._turn:
            others = [one for one in self._lots.values() if one.until > now and one.who != who]
            if len(others) >= MOST_WAITING or (
                sum(one.sent_bytes for one in others) + sent_bytes > MOST_BYTES
            ):
                raise TooMuchWaits(
                    "Other people's tables wait to be accepted, and there is no room for more; "
                    f"each waits for {WAITS.seconds // 60} minutes at most. Send yours again then."
                )
            self._lots = {one.mark: one for one in (*others, lot)}
        return lot

    def of(self, mark: str, who: str, now: datetime) -> Lot | None:
        """A person's own lot by its mark; None: it is not theirs, too old, or not there."""
        with self._turn:
            lot = self._lots.get(mark)
        return lot if lot is not None and lot.who == who and lot.until > now else None

    def drop(self, lot: Lot) -> None:
        """Forget a lot."""
        with self._turn:
            self._lots.pop(lot.mark, None)
