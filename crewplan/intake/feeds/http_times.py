"""Times of HTTP headers that cannot be."""

from collections.abc import MutableMapping
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime


def not_in_the_future(
    headers: MutableMapping[str, str], raw: MutableMapping[str, str], now: datetime
) -> None:
    """Take away a `Last-Modified` that lies after now, or is none.

    Asked whether anything has changed since, the server would say no until that time has come.
    """
    told = headers.get("Last-Modified")
    if told is None:
        return
    try:
        changed = parsedate_to_datetime(told)
        changed = changed.replace(tzinfo=UTC) if changed.tzinfo is None else changed
        if changed <= now:
            return
    except (ValueError, OverflowError):
        pass
    for held in (headers, raw):
        held.pop("Last-Modified", None)
