"""Answers of feeds taken apart: whatever is not of its kind is missing, never an error."""

import json
import math
import re
from datetime import UTC, datetime
from typing import Any

from crewplan.intake.feeds.feed import FeedFault

HOUR_S = 3_600
_DURATION = re.compile(
    r"P(?:(?P<d>\d{1,3})D)?(?:T(?:(?P<h>\d{1,4})H)?(?:(?P<m>\d{1,4})M)?(?:(?P<s>\d{1,5})S)?)?"
)
_UNIT_S = {"d": 86_400, "h": HOUR_S, "m": 60, "s": 1}

Span = tuple[int, int]
"""Start and end, whole seconds since 1970-01-01 UTC; the end comes after the start."""


def parsed(body: bytes) -> Any:
    """JSON as Python's own types; NaN and infinities, which JSON does not have, as None.

    Raises:
        FeedFault: where it is none.
    """
    try:
        return json.loads(body, parse_constant=lambda _: None)
    except (ValueError, RecursionError):
        raise FeedFault("the answer cannot be read as JSON") from None


def part(value: Any, *keys: str) -> Any:
    """What lies under the keys, one inside the other; None where there is nothing."""
    for key in keys:
        if not isinstance(value, dict):
            return None
        value = value.get(key)
    return value


def items(value: Any) -> list[Any]:
    """A list; an empty one where it is none."""
    return value if isinstance(value, list) else []


def text(value: Any) -> str:
    """A text; empty where it is none."""
    return value if isinstance(value, str) else ""


def number(value: Any) -> float:
    """A finite number; NaN where it is none."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return math.nan
    try:
        found = float(value)
    except OverflowError:
        return math.nan
    return found if math.isfinite(found) else math.nan


def instant_s(value: Any) -> int | None:
    """ISO 8601 with an offset as whole seconds since 1970-01-01 UTC; None where it is none."""
    try:
        found = datetime.fromisoformat(text(value))
        if found.tzinfo is None:
            return None
        return int(found.timestamp())
    except (ValueError, OverflowError):
        return None


def instant(seconds: int) -> datetime:
    """The instant, in UTC."""
    return datetime.fromtimestamp(seconds, UTC)


def span(value: Any) -> Span | None:
    """An ISO 8601 interval: start and duration, or start and end; None where it is none."""
    first, _, rest = text(value).partition("/")
    start = instant_s(first)
    if start is None:
        return None
    length = _DURATION.fullmatch(rest)
    if length is not None:
        end: int | None = start + sum(
            int(length[unit] or 0) * seconds for unit, seconds in _UNIT_S.items()
        )
    else:
        end = instant_s(rest)
    return (start, end) if end is not None and end > start else None
