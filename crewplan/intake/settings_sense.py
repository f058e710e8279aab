"""Settings that are well written one by one and do not go together."""

from collections.abc import Iterator, Mapping
from datetime import timedelta
from typing import Any
from urllib.parse import urlsplit
from zoneinfo import ZoneInfo

from crewplan.intake.checks.order import circles
from crewplan.intake.holiday_names import unknown_holidays
from crewplan.model.asking_order import DEFAULT_ORDER
from crewplan.model.settings import FeedSettings, Holidays

Senseless = tuple[str, str, str, str]
"""Key, value, what was expected, what is wrong (empty: the value itself)."""


def senseless_settings(given: Mapping[str, Any]) -> Iterator[Senseless]:
    """What is wrong between settings; those at fault by themselves are not in `given`."""
    for keys, check in _CHECKS:
        if all(key in given for key in keys):
            yield from check(*(given[key] for key in keys))


def _go_over_gate(go: float, gate: float) -> Iterator[Senseless]:
    if go > gate:
        problem = f"{go:g} lies over gate_probability {gate:g}"
        yield "go_probability", f"{go:g}", f"{gate:g} or less", problem


def _no_time_to_work(rest_h: float, shift_h: float) -> Iterator[Senseless]:
    if rest_h >= shift_h:
        problem = f"{rest_h:g} leaves no time to work"
        yield "break_h", f"{rest_h:g}", f"less than shift_h, {shift_h:g}", problem


def _past_midnight(start: Any, shift_h: float, overtime_h: float) -> Iterator[Senseless]:
    length = shift_h + overtime_h
    begin = timedelta(hours=start.hour, minutes=start.minute)
    if begin + timedelta(hours=length) > timedelta(days=1):
        problem = f"{length:g} h from {start:%H:%M} on end after midnight"
        yield "shift_h", f"{length:g}", "a shift, overtime included, within its day", problem


def _no_workday(workdays: tuple[str, ...]) -> Iterator[Senseless]:
    if not workdays:
        yield "workdays", "", "at least one day of the week", "it is empty"


def _time_zone(name: str) -> Iterator[Senseless]:
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        yield "timezone", name, "the name of a time zone, such as America/Chicago", ""


def _locale(name: str) -> Iterator[Senseless]:
    if not name:
        return
    from babel import Locale, UnknownLocaleError

    try:
        Locale.parse(name)
    except (UnknownLocaleError, ValueError):
        yield "locale", name, "a language and a country, such as en_US or en_DE", ""


def _clock(demo: Any, invented: bool) -> Iterator[Senseless]:
    if demo is not None and not invented:
        problem = "a clock set by hand stands in a folder that is not invented"
        yield "demo", "", "invented = true beside it, or no [demo]", problem


def _feed(given: FeedSettings | None) -> Iterator[Senseless]:
    if given is None or given.kind == "table":
        return
    if not given.contact.strip():
        wish = "an address by which the provider can reach you, such as office@example.com"
        yield "feed.contact", "", wish, "it is empty"
    elif not given.contact.isprintable() or not given.contact.isascii():
        yield "feed.contact", given.contact, "plain letters, since it is sent along", ""
    if given.kind == "ensemble" and not given.host:
        yield (
            "feed.host",
            "",
            "the host of the ensemble, such as https://example.com",
            "it is empty",
        )
    elif given.host and not _is_host(given.host):
        yield "feed.host", given.host, "https:// and the name of a host", ""
    if not given.model.replace("_", "").isalnum() or not given.model.isascii():
        yield "feed.model", given.model, "a model's name of letters, digits and _", ""


def _is_host(host: str) -> bool:
    """Encrypted, or this machine itself; nothing after the name, so that no key hides there."""
    try:
        parts = urlsplit(host)
        named, _ = bool(parts.hostname), parts.port
    except ValueError:
        return False
    bare = parts.path in ("", "/") and not (parts.query or parts.fragment or parts.username)
    here = parts.scheme == "http" and parts.hostname in ("127.0.0.1", "localhost")
    return named and bare and (parts.scheme == "https" or here)


def _holidays(given: Holidays | None) -> Iterator[Senseless]:
    if given is None:
        return
    bad = unknown_holidays(given.country, given.subdivision)
    if bad is not None:
        which, wish = bad
        yield f"holidays.{which}", getattr(given, which), wish, ""


def _order(given: Mapping[str, tuple[str, ...]]) -> Iterator[Senseless]:
    wish = "an order with a beginning"
    for kind, first in given.items():
        if kind in first:
            yield f"comes_after.{kind}", str(list(first)), wish, f"{kind} comes after itself"
    order = {**{line.kind: (line.first,) for line in DEFAULT_ORDER}, **given}
    straight = {kind: tuple(f for f in first if f != kind) for kind, first in order.items()}
    for circle in circles(straight):
        problem = f"{' after '.join((*circle, circle[0]))} is a circle"
        at = next(kind for kind in circle if kind in given)
        yield f"comes_after.{at}", str(list(given[at])), wish, problem


_CHECKS: tuple[tuple[tuple[str, ...], Any], ...] = (
    (("timezone",), _time_zone),
    (("locale",), _locale),
    (("holidays",), _holidays),
    (("go_probability", "gate_probability"), _go_over_gate),
    (("break_h", "shift_h"), _no_time_to_work),
    (("shift_start", "shift_h", "overtime_max_h"), _past_midnight),
    (("workdays",), _no_workday),
    (("demo", "invented"), _clock),
    (("feed",), _feed),
    (("comes_after",), _order),
)
