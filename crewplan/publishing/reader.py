"""How dates and numbers are written for whoever reads a page, by the branch's `locale`.

Without a locale they are written as the terminal writes them: 'Mon 4 May', '1,234.5'. The board
sets it for each request; nothing that another program reads goes through here. By Babel, from
Unicode's Common Locale Data Repository.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date
from decimal import Decimal
from functools import lru_cache

_LOCALE: ContextVar[str] = ContextVar("locale of the reader", default="")


@contextmanager
def written_for(locale: str) -> Iterator[None]:
    """Dates and numbers inside are written by `locale`, such as en_US; empty: neither."""
    before = _LOCALE.set(locale)
    try:
        yield
    finally:
        _LOCALE.reset(before)


def write_for(locale: str) -> None:
    """From here on, in this thread of work."""
    _LOCALE.set(locale)


def reader() -> str:
    """The locale that is written by; empty: none."""
    return _LOCALE.get()


def decimal(value: float | Decimal, decimals: int, signed: bool = False) -> str:
    """'1,234.5' with so many decimals, in groups; `signed`: also with a plus."""
    locale = reader()
    if not locale:
        return f"{value:{'+' if signed else ''},.{decimals}f}"
    from babel.numbers import format_decimal

    # rounded as the terminal rounds, so that both tell the same
    exact = f"{value:.{decimals}f}"
    plus = "+" if signed and not exact.startswith("-") else ""
    return plus + format_decimal(exact, format=_pattern(locale, decimals), locale=locale)


@lru_cache(64)
def _pattern(locale: str, decimals: int) -> str:
    """The locale's own groups, with a fixed number of decimals."""
    from babel import Locale

    whole = Locale.parse(locale).decimal_formats[None].pattern.split(";")[0].split(".")[0]
    return f"{whole}.{'0' * decimals}" if decimals else str(whole)


def with_mark(text: str) -> str:
    """A number that stands written with a point and no groups, with the reader's decimal mark."""
    return text.replace(".", decimal_mark()) if reader() else text


def decimal_mark() -> str:
    """'.' or ','."""
    return separators()[0]


def separators() -> str:
    """Decimal mark and mark of groups, as figures take them: '.,'."""
    locale = reader()
    if not locale:
        return ".,"
    from babel.numbers import get_decimal_symbol, get_group_symbol

    return get_decimal_symbol(locale) + get_group_symbol(locale)


def day_by(locale: str, day: date, long: bool = False) -> str:
    """'Mon, May 4', or with month and year in full, as `locale` puts them."""
    from babel.dates import format_date, format_skeleton

    if long:
        return format_date(day, "full", locale=locale)
    return format_skeleton("MMMEd", day, locale=locale)
